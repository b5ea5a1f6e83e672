// The byte interface of the module, as the worker has it, for programs of Node.
import { readFile } from "node:fs/promises";
import { join } from "node:path";

const source = await readFile(join(import.meta.dirname, "host", "module.js"), "utf8");
export const callModule = new Function(`${source}; return callModule;`)();

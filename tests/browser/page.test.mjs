// The kitchen page in a real browser. Run by tests/page_browser.rs: node page.test.mjs ADDRESS BROWSER [PICTURES]
import { end } from "./harness.mjs";

await import("./plan.mjs");
await import("./views.mjs");
await import("./files.mjs");
await import("./looks.mjs");
await end();

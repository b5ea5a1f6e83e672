// Puts the page for a browser without a server together: node assemble.mjs MODULE.wasm FOLDER
// FOLDER/site is the folder to host, FOLDER/icefront.html the one file that opens from a disk.
import { createHash } from "node:crypto";
import { mkdir, readFile, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { gzipSync } from "node:zlib";

const [module, folder] = process.argv.slice(2);
const here = import.meta.dirname;
const site = join(folder, "site");
const host = (name) => readFile(join(here, "host", name), "utf8");
const all = async (...names) => (await Promise.all(names.map(host))).join("\n");

const wasm = await readFile(module);
const { style, page, icon, manifest } = await assets(wasm);
const worker = await all("module.js", "worker.js");
const scripts = ["files.js", "drafts.js", "pool.js", "device.js", "host.js", "boot.js"];
const app = `"use strict";\n(() => {\n${await all(...scripts)}})();\n`;
const shell = await host("index.html");

/** Files of the page, as the module itself has them. */
async function assets(wasm) {
  const { callModule } = await import("./module.mjs");
  const { instance } = await WebAssembly.instantiate(wasm, {});
  const text = (path) => callModule(instance, { path, form: null, today: "2026-11-25", few: 0 }, []).text;
  return { style: text("/page.css"), page: text("/page.js"), icon: text("/icon.svg"), manifest: text("/page.webmanifest") };
}

/** The manifest of a server stands at the root of an address; a folder may be anywhere. */
function manifestHere() {
  const image = (size) => ({ src: `icon-${size}.png`, sizes: `${size}x${size}`, type: "image/png" });
  const own = { ...JSON.parse(manifest), start_url: "./", scope: "./" };
  own.icons = [...own.icons.map((one) => ({ ...one, src: one.src.replace(/^\//, "") })), image(192), image(512)];
  return JSON.stringify(own, null, 2);
}

/** The shell with its parts; the rest of the policy is that nothing comes from elsewhere. */
const filled = (policy, head, tail) =>
  shell
    .replace("POLICY", () => `default-src 'none'; form-action 'none'; base-uri 'none'; ${policy}`)
    .replace("HEAD", () => head)
    .replace("TAIL", () => tail);

// The folder.
await rm(site, { recursive: true, force: true });
await mkdir(site, { recursive: true });
const files = {
  "index.html": filled(
    "script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data:; connect-src 'self'; worker-src 'self'; manifest-src 'self'",
    '<link rel="stylesheet" href="page.css">\n<link rel="manifest" href="page.webmanifest">\n' +
      '<link rel="icon" href="icon.svg">\n<link rel="apple-touch-icon" href="icon-192.png">',
    '<script src="app.js"></script>\n<script src="page.js"></script>',
  ),
  "page.css": style,
  "page.js": page,
  "app.js": app,
  "worker.js": worker,
  "icefront.wasm": wasm,
  "icon.svg": icon,
  "page.webmanifest": manifestHere(),
};
for (const name of ["icon-192.png", "icon-512.png"]) {
  files[name] = await readFile(join(here, "host", name));
}
const version = createHash("sha256");
Object.values(files).forEach((content) => version.update(content));
const kept = ["./", ...Object.keys(files).filter((name) => name !== "index.html")];
files["service.js"] =
  `const VERSION = "${version.digest("hex").slice(0, 16)}";\nconst FILES = ${JSON.stringify(kept)};\n` +
  (await host("service.js"));
for (const [name, content] of Object.entries(files)) {
  await writeFile(join(site, name), content);
}

// The one file.
const sha = (text) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
const block = (id, text) => `<script type="text/plain" id="${id}">${text}</script>`;
const inline = (text) => text.replaceAll("</script", "<\\/script").replaceAll("<!--", "<\\!--");
const [appInside, pageInside] = [app, page].map(inline);
const single = filled(
  `script-src ${sha(appInside)} ${sha(pageInside)} 'wasm-unsafe-eval' blob:; style-src ${sha(style)}; img-src data:; worker-src blob:`,
  `<style>${style}</style>\n<link rel="icon" href="data:image/svg+xml;base64,${Buffer.from(icon).toString("base64")}">\n` +
    block("worker", inline(worker)) + "\n" + block("module", gzipSync(wasm, { level: 9 }).toString("base64")),
  `<script>${appInside}</script>\n<script>${pageInside}</script>`,
);
await writeFile(join(folder, "icefront.html"), single);

// Sizes.
const kB = (bytes) => `${(bytes / 1000).toFixed(0)} kB`;
const sum = (size) => Object.values(files).reduce((total, content) => total + size(Buffer.from(content)), 0);
const packed = (content) => gzipSync(content, { level: 9 }).length;
console.log(`module: ${kB(wasm.length)}, compressed ${kB(packed(wasm))}`);
console.log(`site: ${Object.keys(files).length} files, ${kB(sum((content) => content.length))}, compressed ${kB(sum(packed))}`);
console.log(`icefront.html: ${kB(Buffer.byteLength(single))}`);

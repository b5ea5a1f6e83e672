// The page without a server in Chromium: the folder with the network off, and the one file from a disk.
// node tests/browser.test.mjs FOLDER BROWSER [PICTURES], FOLDER as build.sh made it
import assert from "node:assert/strict";
import { createReadStream } from "node:fs";
import { mkdir, mkdtemp, readFile, readdir, rm, writeFile } from "node:fs/promises";
import { createServer } from "node:http";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { extname, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const here = import.meta.dirname;
const modules = createRequire(join(here, "../../../tests/browser/page.test.mjs"));
const { default: puppeteer } = await import(pathToFileURL(modules.resolve("puppeteer-core")));
const axe = await readFile(modules.resolve("axe-core/axe.min.js"), "utf8");
const [built, executablePath, pictures] = process.argv.slice(2);
const PHONE = { width: 360, height: 740 };
const SLOW_MS = 90_000; // a whole answer on a busy computer
const count = { passed: 0, failed: 0 };

/** Serves the folder as any host of files does; `stop` takes it off the network. */
async function serve() {
  const kinds = { ".html": "text/html", ".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml", ".wasm": "application/wasm", ".png": "image/png", ".webmanifest": "application/manifest+json" };
  const server = createServer((request, response) => {
    const path = new URL(request.url, "http://x").pathname.replace(/\/$/, "/index.html").replace(/^\/kitchen/, "");
    const file = createReadStream(join(built, "site", path));
    file.on("open", () => response.setHeader("Content-Type", kinds[extname(path)] ?? "text/plain"));
    file.on("error", () => response.writeHead(404).end());
    file.pipe(response);
  });
  await new Promise((done) => server.listen(0, "127.0.0.1", done));
  const stop = () => new Promise((done) => (server.close(done), server.closeAllConnections()));
  // not at the root: the folder may be anywhere
  return { address: `http://127.0.0.1:${server.address().port}/kitchen/`, stop };
}

const launch = (userDataDir) => puppeteer.launch({ executablePath, userDataDir, args: ["--no-sandbox", "--disable-gpu"] });

/** A tab that notes whatever goes wrong or is asked for elsewhere. */
async function open(browser, url, viewport = PHONE) {
  const page = await browser.newPage();
  page.setDefaultTimeout(SLOW_MS);
  page.complaints = [];
  page.on("pageerror", (error) => page.complaints.push(error.message));
  page.on("console", (message) => message.type() === "error" && page.complaints.push(message.text()));
  page.on("request", (request) => {
    const own = new URL(url);
    const asked = request.url();
    const here = own.protocol === "file:" ? asked.startsWith("file:") : asked.startsWith(own.origin);
    if (!here && !/^(data|blob):/.test(asked)) {
      page.complaints.push("asked elsewhere: " + asked);
    }
  });
  await page.setViewport(viewport);
  await page.emulateMediaFeatures([{ name: "prefers-reduced-motion", value: "reduce" }]);
  await page.goto(url);
  await whole(page);
  return page;
}

const whole = (page) =>
  page.waitForFunction(() => document.querySelector("#bar")?.dataset.whole === "true" && !document.querySelector("#bar[aria-busy]"));
const sheet = (page) => page.$eval("#sheet", (input) => input.value);
const id = (name) => "#" + name.replaceAll(/[.:]/g, "\\$&");
const pause = (ms) => new Promise((done) => setTimeout(done, ms));

async function press(page, button) {
  await page.waitForSelector(button);
  await page.$eval(button, (element) => element.scrollIntoView({ block: "center", behavior: "instant" }));
  await page.click(button);
}

async function act(page, value) {
  await press(page, `button[value="${value}"]`);
  await pause(50);
  await whole(page);
}

/** Types over a field and leaves it; waits until the sheet has it. */
async function set(page, place, words, expected) {
  await page.waitForSelector(id("f." + place));
  await page.$eval(id("f." + place), (input) => {
    input.closest("details")?.setAttribute("open", "");
    input.focus();
    input.select();
  });
  await page.keyboard.type(words);
  await page.keyboard.press("Tab");
  await page.waitForFunction((part) => document.querySelector("#sheet").value.includes(part), {}, expected);
  await whole(page);
}

async function view(page, name) {
  await press(page, `nav button[value="view.${name}"]`);
  await page.waitForFunction((one) => !document.getElementById("v-" + one).hidden, {}, name);
  await whole(page);
}

async function save(page, name) {
  await view(page, "more");
  if (name) {
    await page.$eval(id("f.file"), (input) => input.select());
    await page.type(id("f.file"), name);
  }
  await press(page, '#file button[value="save"]');
}

const saved = (page, name) =>
  page.waitForFunction((file) => decodeURIComponent(location.hash) === "#/sheet/" + file && document.getElementById("h.file")?.textContent.includes("As it is in the file"), {}, name);

async function accessible(page) {
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() => window.axe.run(document, { resultTypes: ["violations"] }));
  const grave = violations.filter((one) => ["moderate", "serious", "critical"].includes(one.impact));
  assert.deepEqual(grave.map((one) => [one.id, one.nodes.slice(0, 3).map((node) => node.html)]), []);
}

async function picture(page, name) {
  if (pictures) {
    await mkdir(pictures, { recursive: true });
    await page.screenshot({ path: join(pictures, name + ".png"), fullPage: true });
  }
}

async function check(name, work) {
  const profile = await mkdtemp(join(tmpdir(), "icefront-profile-"));
  const began = performance.now();
  let browser = await launch(profile);
  const pages = [];
  const opened = async (url) => (pages.push(await open(browser, url)), pages.at(-1));
  /** Ends the browser as a crash does, and starts it again with what is on its disk. */
  const kill = async () => {
    browser.process().kill("SIGKILL");
    await pause(500);
    await Promise.all(["SingletonLock", "SingletonSocket", "SingletonCookie"].map((one) => rm(join(profile, one), { force: true })));
    browser = await launch(profile);
  };
  try {
    await work(opened, kill);
    assert.deepEqual(pages.flatMap((page) => page.complaints), []);
    count.passed += 1;
    console.log(`ok ${name} (${((performance.now() - began) / 1000).toFixed(0)} s)`);
  } catch (error) {
    count.failed += 1;
    console.log("FAILED", name, error.stack, pages.flatMap((page) => page.complaints));
    await Promise.all(pages.map((page, number) => picture(page, `failed-${count.failed}-${number}`).catch(() => {})));
  }
  browser.process().kill("SIGKILL");
  await pause(200);
  await rm(profile, { recursive: true, force: true, maxRetries: 5 });
}

/** A tray more and one less; the size of both that are left. */
async function twoTrays(page) {
  const trays = async (count) => {
    await page.waitForFunction((n) => document.querySelector("#sheet").value.split("[[tray]]").length - 1 === n, {}, count);
    await whole(page);
  };
  await trays(2);
  await press(page, 'button[value="add"]');
  await trays(3);
  await press(page, 'button[value="remove.2"]');
  await trays(2);
  const sizes = [["thickness", "7"], ["depth", "11"]];
  for (const [place, [key, mm]] of sizes.entries()) {
    if (!(await page.$(id(`f.tray.${place}.${key}`)))) {
      await act(page, `open.${place}`);
    }
    await set(page, `tray.${place}.${key}`, mm, `${key} = "${mm} mm"`);
  }
}

const { address, stop } = await serve();
const single = pathToFileURL(resolve(built, "icefront.html")).href;

await check("two trays are planned, saved, and there after a reload with the network off", async (opened) => {
  const page = await opened(address + "#/new");
  await twoTrays(page);
  await save(page, "mine.toml");
  await saved(page, "mine.toml");
  const before = await sheet(page);
  await page.waitForSelector('[data-download="mine.toml"]');
  await accessible(page);
  await picture(page, "more");
  await view(page, "plan");
  await accessible(page);
  await picture(page, "plan");
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => {}));
  await page.setOfflineMode(true);
  await page.reload();
  await whole(page);
  assert.equal(await sheet(page), before);
  assert.match(await page.$eval("h1", (one) => one.textContent), /mine/);
  const manifest = await page.$eval("link[rel=manifest]", (link) => link.href);
  assert.equal(manifest, address + "page.webmanifest");
});

await check("two tabs do not overwrite each other", async (opened) => {
  const one = await opened(address + "#/new");
  await set(one, "room", "23", 'room = "23 °C"');
  await save(one, "shared.toml");
  await saved(one, "shared.toml");
  const other = await opened(address + "#/sheet/shared.toml");
  await set(other, "room", "24", 'room = "24 °C"');
  await save(other);
  await saved(other, "shared.toml");
  await one.bringToFront();
  await view(one, "plan");
  await set(one, "room", "25", 'room = "25 °C"');
  await save(one);
  await one.waitForSelector("#saving-here .notice");
  assert.match(await one.$eval("#saving-here .notice", (notice) => notice.textContent), /changed after it was opened/);
  assert.match(await sheet(one), /room = "25 °C"/, "what was set is still there");
  await press(one, 'button[value="replace"]');
  await one.waitForFunction(() => !document.querySelector("#saving-here .notice"));
  await whole(one);
  await other.bringToFront();
  await other.reload();
  await whole(other);
  assert.match(await sheet(other), /room = "25 °C"/);
});

await check("a browser that is killed loses neither what was saved nor what was set", async (opened, kill) => {
  const page = await opened(address + "#/new");
  await set(page, "room", "26", 'room = "26 °C"');
  await save(page, "kept.toml");
  await saved(page, "kept.toml");
  await view(page, "plan");
  await set(page, "room", "28", 'room = "28 °C"');
  await kill();
  const again = await opened(address + "#/sheet/kept.toml");
  await again.waitForFunction(() => document.querySelector("#sheet").value.includes('room = "28 °C"'));
  assert.equal(await again.$eval("#kept", (notice) => notice.hidden), false, "it says that it is shown again");
  await press(again, "#drop");
  await again.waitForFunction(() => document.querySelector("#sheet").value.includes('room = "26 °C"'));
});

await check("files are opened from the device and saved to it as they are", async (opened) => {
  const folder = await mkdtemp(join(tmpdir(), "icefront-files-"));
  const text = '# mine\r\nicefront = 1\r\ndryer = "0.36 m2"\r\n\r\n[[tray]]\r\nfood = "cooked rice"\r\nshape = "layer"\r\ndepth = "8 mm"\r\n';
  await writeFile(join(folder, "rice.toml"), text);
  await writeFile(join(folder, "notes.txt"), "no sheet");
  const page = await opened(address);
  const device = await page.createCDPSession();
  await device.send("Browser.setDownloadBehavior", { behavior: "allow", downloadPath: folder });
  await view(page, "more");
  const choose = async (...names) => (await page.$("#device-open")).uploadFile(...names.map((name) => join(folder, name)));
  await choose("notes.txt");
  await page.waitForFunction(() => /must end with/.test(document.getElementById("device-words").textContent));
  await choose("rice.toml");
  await page.waitForFunction(() => location.hash === "#/sheet/rice.toml" && document.querySelector("#sheet")?.value.includes("cooked rice"));
  await whole(page);
  await view(page, "more");
  await choose("rice.toml");
  await page.waitForFunction(() => /kept as it is/.test(document.getElementById("device-words").textContent));
  await rm(join(folder, "rice.toml"));
  await press(page, '[data-download="rice.toml"]');
  for (let waits = 0; waits < 100 && !(await readdir(folder)).includes("rice.toml"); waits += 1) {
    await pause(100);
  }
  assert.equal(await readFile(join(folder, "rice.toml"), "utf8"), text);
  await press(page, '[data-remove="rice.toml"]');
  await press(page, "#device-words button");
  await page.waitForFunction(() => !document.querySelector('[data-remove="rice.toml"]'));
  await rm(folder, { recursive: true });
});

await check("input is never blocked, and the last thing set is what is answered", async (opened) => {
  const page = await opened(address + "#/new");
  const slider = await page.$eval("input.slider", (one) => one.id).catch(() => undefined);
  if (!slider) {
    await act(page, "open.0");
  }
  const chosen = id(slider ?? (await page.$eval("input.slider", (one) => one.id)));
  await page.evaluate(() => {
    window.longest = 0;
    new PerformanceObserver((list) => list.getEntries().forEach((task) => (window.longest = Math.max(window.longest, task.duration)))).observe({ entryTypes: ["longtask"] });
  });
  await page.focus(chosen);
  for (let step = 0; step < 12; step += 1) {
    await page.keyboard.press("ArrowRight");
    await pause(step % 4 === 3 ? 500 : 20); // now and then a whole answer begins, and is of no use any more
  }
  const shown = await page.$eval(chosen, (one) => one.value);
  await pause(400);
  await whole(page);
  assert.equal(await page.$eval(chosen, (one) => one.value), shown);
  assert.ok((await sheet(page)).includes(`"${shown} mm"`) || (await sheet(page)).includes(shown), "the last value is in the sheet");
  const longest = await page.evaluate(() => window.longest);
  assert.ok(longest < 1000, `the page itself was busy for ${longest} ms`);
  console.log(`   longest task of the page: ${longest.toFixed(0)} ms`);
});

await stop();

await check("the one file opens from a disk, computes, saves, and has it after a reload", async (opened) => {
  const page = await opened(single + "#/new");
  await twoTrays(page);
  await save(page, "disk.toml");
  await saved(page, "disk.toml");
  const before = await sheet(page);
  await accessible(page);
  await page.reload();
  await whole(page);
  assert.equal(await sheet(page), before);
});

console.log(`${count.passed} browser checks without a server passed, ${count.failed} failed`);
process.exit(count.failed ? 1 : 0);

// A browser, and what a hand does on the page.
import assert from "node:assert/strict";
import { mkdir, readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import puppeteer from "puppeteer-core";

export const [address, executablePath, pictures] = process.argv.slice(2);
const axe = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
export const PHONE = { width: 360, height: 740 };
export const TABLE = { width: 1400, height: 900 };
export const SLOW_MS = 60_000; // a whole answer on a busy computer

const browser = await puppeteer.launch({ executablePath, args: ["--no-sandbox", "--disable-gpu"] });
const count = { passed: 0, failed: 0 };

/** Does `work` on a page of its own; nothing may fail in it, or be asked for elsewhere. */
export async function check(name, viewport, path, work, { script = true, scheme = "light" } = {}) {
  const context = await browser.createBrowserContext();
  const page = await context.newPage();
  page.setDefaultTimeout(SLOW_MS);
  const complaints = [];
  page.on("pageerror", (error) => complaints.push(error.message));
  page.on("console", (message) => message.type() === "error" && complaints.push(message.text()));
  page.on("request", (request) => {
    if (!request.url().startsWith(address) && !request.url().startsWith("data:")) {
      complaints.push("asked elsewhere: " + request.url());
    }
  });
  try {
    await page.setViewport(viewport);
    await page.setJavaScriptEnabled(script);
    await page.emulateMediaFeatures([
      { name: "prefers-color-scheme", value: scheme },
      { name: "prefers-reduced-motion", value: "reduce" }, // a page that still scrolls is missed by the mouse
    ]);
    await page.goto(address + path);
    await work(page, context);
    const expected = (words) => /status of (4|5)\d\d|ERR_INTERNET_DISCONNECTED/.test(words);
    assert.deepEqual(complaints.filter((words) => !expected(words)), []);
    count.passed += 1;
    console.log("ok", name);
  } catch (error) {
    count.failed += 1;
    console.log("FAILED", name, error.stack);
  }
  await context.close();
}

export async function end() {
  await browser.close();
  console.log(`${count.passed} browser checks passed, ${count.failed} failed`);
  process.exit(count.failed ? 1 : 0);
}

/** Waits until the whole answer rests. */
export const whole = (page) =>
  page.waitForFunction(() => document.querySelector("#bar")?.dataset.whole === "true" && !document.querySelector("#bar[aria-busy]"));
export const ready = (page) => page.$eval("#ready", (data) => Number(data.value));
export const sheet = (page) => page.$eval("#sheet", (input) => input.value);
export const id = (name) => "#" + name.replaceAll(/[.:]/g, "\\$&");
export const text = (page, selector) => page.$eval(selector, (one) => one.textContent);
export const says = (page, selector, words) =>
  page.waitForFunction((one, part) => document.querySelector(one)?.textContent.includes(part), {}, selector, words);

/** Types over what a field holds. */
export async function write(page, field, words) {
  await page.focus(field);
  await page.$eval(field, (input) => input.select());
  await page.keyboard.type(words);
}

/** Taps in the middle of the window: above and below stand the bar and the views. */
export async function press(page, button) {
  await page.$eval(button, (element) => element.scrollIntoView({ block: "center", behavior: "instant" }));
  await page.click(button);
}

/** Presses a button of the form, and waits until what it does rests. */
export async function act(page, value) {
  await press(page, `button[value="${value}"]`);
  await new Promise((done) => setTimeout(done, 50));
  await whole(page);
}

export async function view(page, name) {
  await press(page, `nav button[value="view.${name}"]`);
  await page.waitForFunction((one) => !document.getElementById("v-" + one).hidden, {}, name);
  await whole(page);
}

/** Moves the mouse along a slider; gives what the bar said on the way. */
export async function drag(page, slider, from, to, step = () => undefined) {
  await page.$eval(slider, (element) => element.scrollIntoView({ block: "center", behavior: "instant" }));
  const box = await (await page.$(slider)).boundingBox();
  const at = (share) => box.x + share * box.width;
  const seen = new Set();
  await page.mouse.move(at(from), box.y + box.height / 2);
  await page.mouse.down();
  for (let count = 0; count <= 20; count += 1) {
    await page.mouse.move(at(from + ((to - from) * count) / 20), box.y + box.height / 2);
    await new Promise((done) => setTimeout(done, 40));
    seen.add(await text(page, "#bar"));
    await step();
  }
  await page.mouse.up();
  return seen;
}

/** Nothing stands out at the side, from the narrowest phone to a wide screen. */
export async function fits(page, viewport, widths = [320, 360, 768, 1024, 1400, 1920]) {
  for (const width of widths) {
    await page.setViewport({ ...viewport, width });
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= width, `${wide} px at ${width}`);
  }
  await page.setViewport(viewport);
}

export async function accessible(page) {
  await page.evaluate(await readFile(axe, "utf8"));
  const { violations } = await page.evaluate(() => window.axe.run(document, { resultTypes: ["violations"] }));
  const grave = violations.filter((one) => ["moderate", "serious", "critical"].includes(one.impact));
  assert.deepEqual(grave.map((one) => [one.id, one.nodes.slice(0, 3).map((node) => node.html)]), []);
}

/** Keeps what is in sight. */
export async function picture(page, name) {
  if (pictures) {
    await mkdir(pictures, { recursive: true });
    await page.screenshot({ path: `${pictures}/${name}.png` });
  }
}

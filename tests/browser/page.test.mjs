// The kitchen page in a real browser: set up a load, drag, save, reload, wrong inputs, keyboard, no script, looks.
// Run by tests/page_browser.rs: node page.test.mjs ADDRESS BROWSER [PICTURES]
import assert from "node:assert/strict";
import { mkdir, readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import puppeteer from "puppeteer-core";

const [address, executablePath, pictures] = process.argv.slice(2);
const axe = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
const PHONE = { width: 360, height: 740 };
const TABLE = { width: 1400, height: 900 };
const SLOW_MS = 30_000; // a whole answer on a busy computer

const browser = await puppeteer.launch({ executablePath, args: ["--no-sandbox", "--disable-gpu"] });
let failed = 0;

async function check(name, viewport, path, work, { script = true, scheme = "light" } = {}) {
  const context = await browser.createBrowserContext();
  const page = await context.newPage();
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
    console.log("ok", name);
  } catch (error) {
    failed += 1;
    console.log("FAILED", name, error.stack);
  }
  await context.close();
}

const whole = (page) =>
  page.waitForFunction(
    () => document.querySelector("#answer")?.dataset.whole === "true" && !document.querySelector("#answer[aria-busy]"),
    { timeout: SLOW_MS },
  );
const ready = (page) => page.$eval("#ready", (data) => Number(data.value));
const sheet = (page) => page.$eval("#sheet", (input) => input.value);
const id = (name) => "#" + name.replaceAll(".", "\\.");

/** Enters a reading and waits until it stands among the others. */
async function enter(page, time, kind, value) {
  await write(page, id("reading.time"), time);
  await page.select(id("reading.kind"), kind);
  await write(page, id("reading.value"), value);
  const before = await page.$eval("#readings pre", (lines) => lines.textContent);
  await press(page, 'button[value="read"]');
  await page.waitForFunction((old) => document.querySelector("#readings pre").textContent !== old, { timeout: SLOW_MS }, before);
  await whole(page);
}

/** Types over what a field holds. */
async function write(page, field, words) {
  await page.focus(field);
  await page.$eval(field, (input) => input.select());
  await page.keyboard.type(words);
}

/** Clicks in the middle of the window: at its foot stands the bar with the answer. */
async function press(page, button) {
  await page.$eval(button, (element) => element.scrollIntoView({ block: "center", behavior: "instant" }));
  await page.click(button);
}

/** Moves the mouse along a slider; gives the answers seen on the way. */
async function drag(page, slider, from, to) {
  await page.$eval(slider, (element) => element.scrollIntoView({ block: "center", behavior: "instant" }));
  const box = await (await page.$(slider)).boundingBox();
  const at = (share) => box.x + share * box.width;
  const seen = new Set();
  await page.mouse.move(at(from), box.y + box.height / 2);
  await page.mouse.down();
  for (let step = 0; step <= 20; step += 1) {
    await page.mouse.move(at(from + ((to - from) * step) / 20), box.y + box.height / 2);
    await new Promise((done) => setTimeout(done, 30));
    seen.add(await page.$eval("#now", (bar) => bar.textContent));
  }
  await page.mouse.up();
  return seen;
}

async function sideways(page, viewport) {
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= viewport.width, `nothing stands out at the side: ${wide}`);
}

async function accessible(page) {
  await page.evaluate(await readFile(axe, "utf8"));
  const { violations } = await page.evaluate(() => window.axe.run(document, { resultTypes: ["violations"] }));
  const serious = violations.filter((one) => ["serious", "critical"].includes(one.impact));
  assert.deepEqual(serious.map((one) => [one.id, one.nodes.slice(0, 3).map((node) => node.html)]), []);
}

async function picture(page, name) {
  if (pictures) {
    await mkdir(pictures, { recursive: true });
    await page.screenshot({ path: `${pictures}/${name}.png`, fullPage: true });
  }
}

for (const viewport of [PHONE, TABLE]) {
  await check(`a load is set up by hand at ${viewport.width} px`, viewport, "/new", async (page) => {
    await whole(page);
    const before = await ready(page);
    const seen = await drag(page, id("s.tray.1.depth"), 0.14, 0.3);
    assert.ok(seen.size > 2, "answers follow the slider: " + seen.size);
    await whole(page);
    assert.ok((await ready(page)) > before, "thicker takes longer");
    assert.match(await sheet(page), /depth = "2\d(\.5)? mm" +# or amount/);

    await page.select(id("f.tray.0.shape"), "cubes");
    await page.waitForSelector(id("f.tray.0.size"));
    await page.select(id("f.before_loading.method"), "already frozen");
    await page.waitForFunction(() => document.querySelector("#sheet").value.includes("already frozen"));
    await page.evaluate(() => document.querySelector('button[value="add"]').click());
    await page.waitForSelector(id("f.tray.2.food"));
    await write(page, id("f.tray.2.food"), "Carrots, raw");
    await page.keyboard.press("Tab");
    await page.waitForFunction(() => document.querySelector("#sheet").value.includes("Carrots, raw"));
    await whole(page);
    assert.match(await page.$eval(id("t.2") + " legend", (legend) => legend.textContent), /Carrots, raw/);
    await drag(page, id("s.tray.2.fat"), 0.0, 0.2);
    await page.waitForFunction(() => document.querySelector("#sheet").value.includes('like = "Carrots, raw"'));
    await drag(page, id("s.room"), 0.6, 0.8);
    await whole(page);
    assert.match(await page.$eval(".draws", (words) => words.textContent), /From \d+ samples/);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= viewport.width, `nothing stands out at the side: ${wide}`);
  });
}

await check("a sheet is saved, opened again, and not lost between two browsers", TABLE, "/new", async (page, context) => {
  await write(page, id("f.room"), "23 C");
  await write(page, id("f.file"), "browser.toml");
  await Promise.all([page.waitForNavigation(), press(page, 'button[value="save"]')]);
  assert.equal(new URL(page.url()).pathname, "/sheet/browser.toml");
  assert.match(await page.$eval(id("h.file"), (hint) => hint.textContent), /As it is in the file/);
  assert.match(await sheet(page), /room = "23 C"/);

  const other = await context.newPage();
  await other.goto(address + "/sheet/browser.toml");
  await write(other, id("f.room"), "24 C");
  await Promise.all([other.waitForNavigation(), press(other, 'button[value="save"]')]);

  await page.bringToFront();
  await write(page, id("f.room"), "25 C");
  await press(page, 'button[value="save"]');
  await page.waitForSelector("#saving-here .notice", { timeout: SLOW_MS });
  assert.match(await page.$eval("#saving-here .notice", (notice) => notice.textContent), /changed after it was opened/);
  assert.equal(await page.$eval(id("f.room"), (input) => input.value), "25 C", "what was set is still there");
  await Promise.all([page.waitForNavigation(), press(page, 'button[value="replace"]')]);
  await page.reload();
  assert.match(await sheet(page), /room = "25 C"/);
});

await check("why, what if and what would be better are told, with their charts", TABLE, "/demonstration", async (page) => {
  await whole(page);
  for (const [act, words] of [["explain", "Why so slow"], ["best", "A better arrangement"]]) {
    await press(page, `button[value="${act}"]`);
    await page.waitForFunction((title) => document.querySelector("#report h3")?.textContent === title, { timeout: SLOW_MS }, words);
    assert.match(await page.$eval("#report .command", (line) => line.textContent), new RegExp("icefront " + act));
    assert.equal(await page.evaluate(() => document.activeElement.id), "report", "the answer is gone to");
  }
  await page.type(id("vary.key"), "tray.1.depth");
  await page.type(id("vary.values"), "8 mm, 20 mm");
  await press(page, 'button[value="compare"]');
  await page.waitForFunction(() => document.querySelector("#report h3")?.textContent === "What if", { timeout: SLOW_MS });
  assert.ok(await page.$("#report svg"), "a chart of the comparison");
  assert.match(await page.$eval("#report .command", (line) => line.textContent), /compare load.toml --vary 'tray.1.depth=8 mm, 20 mm'/);
  await accessible(page);
});

await check("a reading is entered, taken back, and labels and packs are told", PHONE, "/new", async (page) => {
  await whole(page);
  await write(page, id("f.file"), "run.toml");
  await Promise.all([page.waitForNavigation(), press(page, 'button[value="save"]')]);
  await whole(page);
  await enter(page, "18:00", "event:started", "");
  await enter(page, "23:00", "energy_kWh", "3.5");
  await page.waitForFunction(() => document.querySelector("#report h3")?.textContent === "With the readings so far", { timeout: SLOW_MS });
  assert.match(await page.$eval("#report", (told) => told.textContent), /Ready .* from the last reading/);
  await accessible(page);
  const lines = await page.$eval("#readings pre", (all) => all.textContent.trim().split("\n").length);
  await press(page, 'button[value="unread"]');
  await page.waitForFunction((n) => document.querySelector("#readings pre").textContent.trim().split("\n").length === n - 1, { timeout: SLOW_MS }, lines);
  for (const [act, title] of [["pack", "Packs"], ["labels", "Labels"]]) {
    await press(page, `button[value="${act}"]`);
    await page.waitForFunction((words) => document.querySelector("#report h3")?.textContent === words, { timeout: SLOW_MS }, title);
  }
  assert.ok(await page.$(".labels svg"), "labels are drawn");
  await page.emulateMediaType("print");
  const printed = await page.evaluate(() => [...document.querySelectorAll("h1, h2, header, form")].filter((one) => one.offsetParent).length);
  assert.equal(printed, 0, "labels are printed alone");
  await page.emulateMediaType(null);
});

await check("what was set and not saved outlives a reload, and can be dropped", PHONE, "/new", async (page) => {
  await whole(page);
  await write(page, id("f.room"), "27 C");
  await page.keyboard.press("Tab");
  await page.waitForFunction(() => document.querySelector("#sheet").value.includes("27 C"));
  await whole(page);
  const back = () =>
    page.waitForFunction(() => document.getElementById("f.room").value === "27 C" && !document.querySelector("#kept").hidden, { timeout: SLOW_MS });
  await page.reload();
  await back();
  await page.goto(address + "/pantry");
  await page.goto(address + "/new");
  await back();
  await whole(page);
  assert.match(await sheet(page), /room = "27 C"/);
  await accessible(page);
  await Promise.all([page.waitForNavigation(), press(page, "#drop")]);
  await whole(page);
  assert.equal(await page.$eval(id("f.room"), (input) => input.value), "20 C");
  assert.equal(await page.$eval("#kept", (notice) => notice.hidden), true);
});

for (const viewport of [PHONE, TABLE]) {
  await check(`where to freeze, and a batch that teaches, at ${viewport.width} px`, viewport, "/new", async (page) => {
    const tell = async (act, title) => {
      await press(page, `button[value="${act}"]`);
      await page.waitForFunction((words) => document.querySelector("#report h3")?.textContent === words, { timeout: SLOW_MS }, title);
      await whole(page);
    };
    await whole(page);
    await write(page, id("night.temperature"), "-15 C");
    await tell("prefreeze", "Where to freeze");
    assert.ok(await page.$("#report svg"), "a chart of the night");
    assert.match(await page.$eval("#report .command", (line) => line.textContent), /prefreeze load.toml --temperature '-15 C'/);
    await picture(page, `night-${viewport.width}`);
    await write(page, id("f.file"), `batch-${viewport.width}.toml`);
    await Promise.all([page.waitForNavigation(), press(page, 'button[value="save"]')]);
    await whole(page);
    // other readings at each width: the same again would be the same batch
    for (const [time, kind, value] of [["18:00", "event:started", ""], ["23:00", "energy_kWh", String(viewport.width / 100)], ["09:30", "event:finished", ""]]) {
      await enter(page, time, kind, value);
    }
    await page.focus('button[value="log"]'); // by keyboard
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.querySelector("#report h3")?.textContent === "In the history", { timeout: SLOW_MS });
    await whole(page);
    await press(page, 'button[value="log"]');
    await page.waitForFunction(() => document.querySelector("#report-here .wrong")?.textContent.includes("already"), { timeout: SLOW_MS });
    await whole(page);
    await page.$eval(id("learn.force"), (box) => box.click());
    await tell("learn", "What was learned");
    const dryers = await page.$$eval(id("f.dryer") + " option", (all) => all.map((one) => one.value));
    assert.ok(dryers.some((name) => name.endsWith("-learned.toml")), dryers.join(", "));
    await accessible(page);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= viewport.width, `nothing stands out at the side: ${wide}`);
    await picture(page, `learned-${viewport.width}`);
  });
}

for (const viewport of [PHONE, TABLE]) {
  await check(`a page that cannot be reached says so and loses nothing at ${viewport.width} px`, viewport, "/new", async (page) => {
    const name = `gone-${viewport.width}.toml`;
    await whole(page);
    await page.setOfflineMode(true);
    await write(page, id("f.room"), "29 C");
    await page.keyboard.press("Tab");
    await page.waitForFunction(() => !document.querySelector("#lost").hidden, { timeout: SLOW_MS });
    assert.match(await page.$eval("#lost", (notice) => notice.textContent), /Not connected, showing the last answer/);
    assert.equal(await page.$eval("#answer", (answer) => answer.dataset.old), "true", "the old answer is marked");
    assert.match(await page.$eval("#now", (bar) => bar.textContent), /^Not connected, last answer/);
    await accessible(page);
    await write(page, id("f.file"), name);
    await press(page, 'button[value="save"]');
    await page.waitForSelector("#saving-here .notice");
    assert.match(await page.$eval("#saving-here", (notice) => notice.textContent), /Not saved.*Not connected/);
    assert.equal(await page.$eval(id("f.room"), (input) => input.value), "29 C");
    const kept = () => page.evaluate(() => sessionStorage.getItem("icefront " + location.pathname) || "");
    assert.match(await kept(), /29 C/, "what is not stored is not forgotten");
    await sideways(page, viewport);
    await picture(page, `gone-${viewport.width}`);

    await page.setOfflineMode(false);
    await page.reload(); // what was never answered outlives it too
    await page.waitForFunction(() => document.getElementById("f.room").value === "29 C", { timeout: SLOW_MS });
    await page.setOfflineMode(true);
    await write(page, id("f.room"), "28 C");
    await page.keyboard.press("Tab");
    await page.waitForFunction(() => !document.querySelector("#lost").hidden, { timeout: SLOW_MS });
    await page.setOfflineMode(false);
    await press(page, "#again");
    await page.waitForFunction(() => document.querySelector("#lost").hidden, { timeout: SLOW_MS });
    await whole(page);
    assert.match(await sheet(page), /room = "28 C"/);
    assert.doesNotMatch(await page.$eval("#now", (bar) => bar.textContent), /Not connected/);
    assert.equal(await page.$eval(id("f.file"), (input) => input.value), name);
    await Promise.all([page.waitForNavigation({ timeout: SLOW_MS }), press(page, 'button[value="save"]')]);
    assert.equal(new URL(page.url()).pathname, "/sheet/" + name);
    assert.match(await sheet(page), /room = "28 C"/);
    assert.equal(await page.evaluate(() => sessionStorage.length), 0, "once it is stored nothing is kept apart");
  });
}

await check("a tray is added once, though the whole answer follows later", TABLE, "/new", async (page) => {
  await whole(page);
  const trays = () => page.$$eval("fieldset.tray", (all) => all.length);
  const before = await trays();
  await page.evaluate(() => {
    const ask = window.fetch;
    window.followed = [];
    // as if another browser's whole answer were being computed
    window.fetch = async (path, options) => {
      const response = await ask(path, options);
      const act = new URLSearchParams(options.body).get("do");
      window.followed.push(act);
      const text = await response.text();
      return new Response(act === "add" ? text.replace('data-whole="true"', 'data-whole="false"') : text);
    };
  });
  await press(page, 'button[value="add"]');
  await page.waitForFunction(() => window.followed.length > 1, { timeout: SLOW_MS });
  await whole(page);
  assert.deepEqual(await page.evaluate(() => window.followed), ["add", null]);
  assert.equal(await trays(), before + 1);
});

await check("the first readings work on a phone, and bad ones are refused", PHONE, "/new", async (page) => {
  await whole(page);
  await write(page, id("f.file"), "first.toml");
  await Promise.all([page.waitForNavigation(), press(page, 'button[value="save"]')]);
  await whole(page);
  const answered = (words) =>
    page.waitForFunction((part) => document.querySelector("#report-here").textContent.includes(part), { timeout: SLOW_MS }, words);
  await write(page, id("reading.time"), "22:30"); // before the start is known
  await page.select(id("reading.kind"), "energy_kWh");
  await write(page, id("reading.value"), "3.5");
  await press(page, 'button[value="read"]');
  await answered("when did the run start?");
  await sideways(page, PHONE);
  await picture(page, "reading-refused-360");
  await enter(page, "18:00", "event:started", "");
  await answered("The start of the run is kept");
  assert.equal(await page.$("#report-here .wrong"), null, "the first reading is no mistake");
  await sideways(page, PHONE);
  await picture(page, "reading-first-360");
  const lines = () => page.$eval("#readings pre", (all) => all.textContent);
  const before = await lines();
  await write(page, id("reading.time"), "25:99");
  await page.select(id("reading.kind"), "energy_kWh");
  await write(page, id("reading.value"), "3");
  await press(page, 'button[value="read"]');
  await answered("the time cannot be read");
  assert.equal(await lines(), before, "nothing is written");
  await sideways(page, PHONE);
  await accessible(page);
});

await check("wrong inputs are told at their field, and mended", PHONE, "/new", async (page) => {
  await whole(page);
  await write(page, id("f.tray.1.depth"), "15 bananas");
  await page.keyboard.press("Tab");
  await page.waitForFunction(() => document.getElementById("w.tray.1.depth").textContent.includes("banana"));
  assert.equal(await page.$eval(id("f.tray.1.depth"), (input) => input.getAttribute("aria-invalid")), "true");
  assert.match(await page.$eval("#answer", (answer) => answer.textContent), /No answer/);
  await accessible(page);
  await write(page, id("f.tray.1.depth"), "0.6 in");
  await page.keyboard.press("Tab");
  await page.waitForSelector("#ready");
  assert.equal(await page.$eval(id("w.tray.1.depth"), (words) => words.textContent), "");
});

await check("it works by keyboard alone", TABLE, "/new", async (page) => {
  await whole(page);
  const reach = async (wanted) => {
    for (let presses = 0; presses < 200; presses += 1) {
      await page.keyboard.press("Tab");
      if (await page.evaluate((name) => document.activeElement.id === name, wanted)) {
        return;
      }
    }
    assert.fail(wanted + " is not reached");
  };
  await reach("s.tray.1.depth");
  for (let presses = 0; presses < 6; presses += 1) {
    await page.keyboard.press("ArrowRight");
  }
  await page.waitForFunction(() => document.querySelector("#sheet").value.includes('depth = "15 mm"'));
  assert.equal(await page.evaluate(() => document.activeElement.id), "s.tray.1.depth", "the place is kept");
  await reach("f.file");
  await page.keyboard.type("keys.toml");
  await Promise.all([page.waitForNavigation(), (async () => {
    await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
  })()]);
  assert.equal(new URL(page.url()).pathname, "/sheet/keys.toml");
});

await check("it works without a script", PHONE, "/new", async (page) => {
  assert.ok(await page.$("#ready"), "an answer is there at once");
  await page.$eval(id("f.room"), (input) => (input.value = "30 C"));
  await Promise.all([page.waitForNavigation({ timeout: SLOW_MS }), press(page, 'button.main[value="answer"]')]);
  assert.match(await sheet(page), /room = "30 C"/);
  assert.match(await page.$eval(".draws", (words) => words.textContent), /From \d+ samples/);
  assert.equal(await page.$eval(id("s.room"), (slider) => slider.hidden), true, "no slider that would do nothing");
}, { script: false });

for (const viewport of [PHONE, TABLE]) {
  for (const scheme of ["light", "dark"]) {
    await check(`looks and access at ${viewport.width} px, ${scheme}`, viewport, "/demonstration", async (page) => {
      await whole(page);
      await accessible(page);
      await picture(page, `page-${viewport.width}-${scheme}`);
    }, { scheme });
  }
}

await browser.close();
process.exit(failed ? 1 : 0);

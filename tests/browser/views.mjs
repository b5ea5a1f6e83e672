// Freeze, Run, Pack, More: each question's answer under its button.
import assert from "node:assert/strict";
import { PHONE, TABLE, accessible, act, check, fits, id, picture, press, ready, says, sheet, text, view, whole, write } from "./harness.mjs";

/** The answer to a question stands below its button, and is gone to. */
async function answered(page, command) {
  await page.waitForSelector(`${id("r." + command)} article, ${id("r." + command)} [role=alert]`);
  await whole(page);
  const below = await page.evaluate((name) => {
    const button = document.querySelector(`button[value="${name}"]`).getBoundingClientRect();
    return document.getElementById("r." + name).getBoundingClientRect().top - button.bottom;
  }, command);
  assert.ok(below >= 0 && below < 60, `${command}: ${below} px below its button`);
}

/** Enters a reading of a kind at a time. */
const START = "18:00";
const DAY_MS = 86_400_000;

/** Yesterday evening. */
async function begin(page) {
  await page.$eval("#start", (input, time) => (input.value = time), START);
  const day = new Date(Date.now() - DAY_MS).toISOString().slice(0, 10);
  await page.$eval(id("run.day"), (input, words) => (input.value = words), day);
  await press(page, 'button[value="begin"]');
  await page.waitForSelector(id("reading.value"));
  await whole(page);
}

async function read(page, time, kind, value) {
  const day = await page.$eval("#to-go", (one) => one.dataset.day);
  const on = new Date(Date.parse(day) + (time < START ? DAY_MS : 0)).toISOString().slice(0, 10);
  await page.$eval(id("reading.day"), (input, words) => (input.value = words), on);
  await page.select(id("reading.kind"), kind);
  await page.$eval(id("reading.time"), (input, words) => (input.value = words), time);
  if (value) {
    await write(page, id("reading.value"), value);
  }
  await press(page, 'button[value="read"]');
  await says(page, "#readings", time);
  await whole(page);
}

for (const viewport of [PHONE, TABLE]) {
  const at = `at ${viewport.width} px`;

  await check(`a run: begun, counted down, a weight entered, the new time read, ${at}`, viewport, "/new", async (page) => {
    await whole(page);
    await view(page, "run");
    await picture(page, `begin-${viewport.width}`);
    assert.match(await page.$eval(id("run.day"), (input) => input.value), /^\d{4}-\d\d-\d\d$/, "the day is filled in");
    await begin(page);
    assert.match(await text(page, "#left"), /About \d+ h to go, \d+ to \d+|Check it now/);
    assert.match(decodeURIComponent(await page.evaluate(() => location.pathname)), /\/sheet\/batch \d{4}-\d\d-\d\d.*\.toml/);
    const before = [await ready(page), await text(page, "#bar")];
    await page.select(id("reading.kind"), "event:finished");
    assert.equal(await page.$eval("#of-number", (one) => one.hidden), true, "an event has no number");
    assert.match(await page.$eval(id("reading.time"), (input) => input.value), /^\d\d:\d\d$/, "the time is filled in");
    await page.select(id("reading.kind"), "weight_g");
    assert.equal(await page.$eval("#of-tray", (one) => one.hidden), false, "a weight belongs to a tray");
    assert.equal(await text(page, "#reading-unit"), "g");
    const loaded = await page.$eval(id("row.1") + " .size", (one) => one.textContent);
    const grams = parseFloat(loaded.split(", ")[1]) * (loaded.includes("kg") ? 1000 : 1);
    await page.select(id("reading.tray"), "2");
    await read(page, "04:00", "weight_g", String(Math.round(0.75 * grams)));
    await page.waitForSelector(`${id("r.update")} article`);
    await whole(page);
    assert.match(await text(page, "#bar"), /with 1 reading/);
    assert.notDeepEqual([await ready(page), await text(page, "#bar")], before, "the bar has the new time");
    assert.equal(await page.$eval(id("reading.value"), (input) => input.value), "", "ready for the next");
    await fits(page, viewport);
    await accessible(page);
    await picture(page, `run-${viewport.width}`);
    await act(page, "dry");
    await answered(page, "dry");
    await press(page, 'button[value="unread"]');
    await page.waitForFunction(() => document.querySelectorAll("#readings li").length === 1);
    await whole(page);
    assert.doesNotMatch(await text(page, "#bar"), /with 1 reading/);
    await page.reload();
    await whole(page);
    await view(page, "run");
    assert.equal(await page.$$eval("#readings li", (all) => all.length), 1, "it is kept");
  });

  await check(`bad readings are refused, ${at}`, viewport, "/new", async (page) => {
    await whole(page);
    await view(page, "run");
    await press(page, 'button[value="begin"]');
    await page.waitForSelector(id("reading.value"));
    await whole(page);
    await page.select(id("reading.kind"), "energy_kWh");
    await write(page, id("reading.value"), "many");
    await press(page, 'button[value="read"]');
    await says(page, id("r.read"), "is not a number");
    await whole(page);
    assert.equal(await page.$$eval("#readings li", (all) => all.length), 1, "nothing is written");
    await fits(page, viewport);
    await accessible(page);
  });

  await check(`packs, labels, the bill, and the pantry by one row a lot, ${at}`, viewport, "/new", async (page) => {
    await whole(page);
    await write(page, "#start", "0700PM");
    await view(page, "pack");
    assert.match(await text(page, "#pantry"), /Pantry/);
    for (const command of ["pack", "labels"]) {
      await act(page, command);
      await answered(page, command);
    }
    assert.ok(await page.$(".labels svg"), "labels are drawn");
    await page.emulateMediaType("print");
    const printed = await page.evaluate(() => [...document.querySelectorAll("h1, h2, header, form")].filter((one) => one.offsetParent).length);
    assert.equal(printed, 0, "labels are printed alone");
    await page.emulateMediaType(null);
    // another width makes another batch: the same would be refused as put in already
    await page.evaluate((room) => {
      const hidden = document.getElementById("sheet");
      hidden.value = hidden.value.replace('room = "20 °C"', `room = "${room} °C"`).replace('depth = "12 mm"', `depth = "${room - 12} mm"`);
    }, viewport === PHONE ? 21 : 22);
    await act(page, "put");
    await page.waitForSelector(".lots li");
    const packs = () => page.$$eval(".lots li > span:not(.what)", (all) => all.reduce((sum, one) => sum + parseInt(one.textContent, 10), 0));
    const all = await packs();
    await press(page, ".lots li button");
    await page.waitForSelector('button[value="untake"]');
    await whole(page);
    assert.equal(await packs(), all - 1);
    await accessible(page);
    await fits(page, viewport);
    await picture(page, `pack-${viewport.width}`);
    await act(page, "untake");
    assert.equal(await packs(), all);
  });

  await check(`where to freeze, ${at}`, viewport, "/new", async (page) => {
    await whole(page);
    await view(page, "freeze");
    assert.equal(await page.evaluate(() => document.activeElement.id), "h-freeze");
    await write(page, id("night.temperature"), "-15 C");
    await act(page, "prefreeze");
    await answered(page, "prefreeze");
    assert.ok(await page.$(`${id("r.prefreeze")} svg`), "a chart of the night");
    await accessible(page);
    await fits(page, viewport);
    await picture(page, `freeze-${viewport.width}`);
  });

  await check(`why, what if and what would be better, ${at}`, viewport, "/demonstration", async (page) => {
    await whole(page);
    await act(page, "explain");
    await answered(page, "explain");
    assert.match(await text(page, "#status"), /Ready/, "the answer is said aloud");
    await view(page, "more");
    await write(page, id("vary.key"), "tray.1.depth");
    await write(page, id("vary.values"), "8 mm, 20 mm");
    await act(page, "compare");
    await says(page, id("r.compare"), "tray.1");
    await act(page, "best");
    await answered(page, "best");
    await accessible(page);
    await fits(page, viewport);
  });
}

await check("a batch that is over goes into the history, and teaches", TABLE, "/new", async (page) => {
  await whole(page);
  await view(page, "run");
  await begin(page);
  await read(page, "23:00", "energy_kWh", "6");
  await read(page, "11:00", "event:finished", "");
  await page.$eval('button[value="log"]', (button) => (button.closest("details").open = true));
  await act(page, "log");
  await says(page, id("r.log"), "In the history");
  await act(page, "log");
  await says(page, id("r.log"), "already");
  await page.$eval(id("learn.force"), (box) => box.click());
  await act(page, "learn");
  await says(page, id("r.learn"), "What was learned");
  await view(page, "plan");
  const dryers = await page.$$eval(id("f.dryer") + " option", (all) => all.map((one) => one.value));
  assert.ok(dryers.some((name) => name.endsWith("-learned.toml")), dryers.join(", "));
  assert.match(await sheet(page), /icefront = 1/);
});

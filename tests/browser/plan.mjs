// The first view: the answer, the stack, the sliders, undo, wrong inputs, the keyboard.
import assert from "node:assert/strict";
import { PHONE, TABLE, accessible, act, check, drag, fits, id, press, ready, says, sheet, text, whole, write } from "./harness.mjs";

for (const viewport of [PHONE, TABLE]) {
  const at = `at ${viewport.width} px`;

  await check(`the answer stands first, small and true, ${at}`, viewport, "/demonstration", async (page) => {
    const size = await page.evaluate(() => ({
      bytes: new Blob([document.documentElement.outerHTML]).size,
      words: document.body.innerText.split(/\s+/).length,
      fields: document.querySelectorAll("input:not([type=hidden]), select, textarea").length,
      below: document.querySelector("#bar").getBoundingClientRect().bottom,
      whole: document.querySelector("#bar").dataset.whole,
    }));
    assert.ok(size.bytes <= 120_000 && size.words <= 900 && size.fields <= 40, JSON.stringify(size));
    assert.ok(size.below < 260, `the answer is in sight: ${size.below} px`);
    assert.equal(size.whole, "true", "the first paint is the whole answer");
    assert.match(await text(page, "#bar"), /Ready \d\d:\d\d (the same day|the next day|\w+ days later)/);
    await page.evaluate(() => scrollTo(0, document.body.scrollHeight));
    const top = await page.$eval("#bar", (bar) => bar.getBoundingClientRect().top);
    assert.ok(top >= 0 && top < 100, `it stays in sight: ${top}`);
    assert.ok((await page.$$(".warning")).length <= 2);
    await fits(page, viewport);
    await accessible(page);
  });

  await check(`the trays stand as in the cabinet, one open at a time, ${at}`, viewport, "/demonstration", async (page) => {
    await whole(page);
    const numbers = await page.$$eval(".row .number", (all) => all.map((one) => Number(one.textContent)));
    assert.deepEqual(numbers, [6, 5, 4, 3, 2, 1], "the top one first");
    assert.equal(await page.$$eval(".until.last", (all) => all.length), 1, "the last one is marked");
    const bars = await page.$$eval(".until rect:not(.track)", (all) => all.map((one) => Number(one.getAttribute("width"))));
    assert.equal(Math.max(...bars), 100, "on one scale");
    for (const tray of [0, 4]) {
      await press(page, id(`row.${tray}`));
      await page.waitForSelector(id(`f.tray.${tray}.food`));
      assert.equal(await page.$$eval(".card", (all) => all.length), 1);
      assert.equal(await page.evaluate(() => document.activeElement.id), `row.${tray}`);
      await whole(page);
    }
    assert.match(await text(page, "#dry"), /Dry \d\d:\d\d .*\(\d+ to \d+ h/);
    assert.equal(await page.$eval(id("s.tray.4.depth"), (one) => getComputedStyle(one).touchAction), "pan-y");
    assert.equal(await page.$eval(id("f.tray.4.depth"), (one) => one.inputMode), "decimal");
    await fits(page, viewport);
    await accessible(page);
    await press(page, id("row.4"));
    await page.waitForFunction(() => !document.querySelector(".card"));
  });

  await check(`trays are copied, moved, removed, and each step taken back, ${at}`, viewport, "/new", async (page) => {
    await whole(page);
    const foods = () => page.$$eval(".row .food", (all) => all.map((one) => one.textContent).reverse());
    const first = await sheet(page);
    await act(page, "open.0");
    await act(page, "copy.0");
    assert.deepEqual((await foods()).slice(0, 2), [(await foods())[0], (await foods())[0]]);
    assert.equal(await page.evaluate(() => document.activeElement.id), "row.1", "the copy is gone to");
    await act(page, "up.1");
    assert.equal(await page.evaluate(() => document.activeElement.id), "row.2", "it is followed");
    await act(page, "remove.2");
    await act(page, "add");
    assert.equal((await foods()).length, 3);
    for (let step = 0; step < 4; step += 1) {
      await act(page, "undo");
    }
    assert.equal(await sheet(page), first, "all is as it was");
    assert.equal(await page.$eval("#undo", (button) => button.hidden), true);
  });

  await check(`depth by taps, by slider and typed with a decimal comma, ${at}`, viewport, "/new", async (page) => {
    await whole(page);
    await act(page, "open.1");
    const before = await ready(page);
    await press(page, `button.tap[data-for="s.tray.1.depth"][data-by="1"]`);
    await page.waitForFunction(() => document.querySelector("#sheet").value.includes('depth = "13 mm"'));
    await whole(page);
    assert.ok((await ready(page)) > before, "thicker takes longer");
    const heights = new Set();
    const seen = await drag(page, id("s.tray.1.depth"), 0.4, 0.7, async () =>
      heights.add(await page.$eval("#stack", (one) => one.getBoundingClientRect().top)));
    assert.ok(seen.size > 2, "answers follow the slider: " + seen.size);
    for (const words of seen) {
      assert.match(words, /between .* and /, "the range is always there");
    }
    assert.equal(heights.size, 1, "nothing moves while it is dragged");
    await whole(page);
    await write(page, id("f.tray.1.depth"), "9,5");
    assert.equal(await page.$eval(id("w.tray.1.depth"), (one) => one.textContent), "", "nothing is wrong while it is typed");
    await page.keyboard.press("Tab");
    await page.waitForFunction(() => document.querySelector("#sheet").value.includes('depth = "9.5 mm"'));
    await whole(page);
    await write(page, id("f.tray.1.amount"), "800");
    await page.keyboard.press("Tab");
    await page.waitForFunction(() => document.querySelector("#sheet").value.includes('amount = "800 g"'));
    await whole(page);
    assert.doesNotMatch(await sheet(page), /depth = "9.5 mm"/, "either follows from the other");
  });

  await check(`a food is picked by its exact name, and what was taken is said, ${at}`, viewport, "/new", async (page) => {
    await whole(page);
    await act(page, "open.1");
    await write(page, id("f.tray.1.food"), "chili");
    await says(page, id("took.1"), "Took:");
    await page.waitForSelector(`${id("took.1")} .choices button`);
    await page.$eval(`${id("took.1")} details`, (one) => (one.open = true));
    const name = await text(page, `${id("took.1")} .choices button`);
    await press(page, `${id("took.1")} .choices button`);
    await page.waitForFunction((food) => document.querySelector("#sheet").value.includes(`"${food}"`), {}, name);
    await whole(page);
    assert.equal(await page.$eval(id("f.tray.1.food"), (input) => input.value), name);
    await says(page, id("took.1"), name);
    await accessible(page);
  });

  await check(`a warning leads to its tray and its remedy is one tap, ${at}`, viewport, "/demonstration", async (page) => {
    await whole(page);
    // nothing suffers in the demonstration; eggs in place of its potatoes do
    await act(page, "open.4");
    await write(page, id("f.tray.4.food"), "scrambled eggs");
    await page.keyboard.press("Tab");
    await new Promise((done) => setTimeout(done, 60));
    await whole(page);
    const warnings = await page.$$eval(".warning", (all) => all.map((one) => one.textContent));
    assert.ok(warnings.length > 0 && /^Tray \d/.test(warnings[0]), warnings.join());
    const remedy = await page.$eval(".warning button:not(.plain)", (one) => one.value);
    await press(page, ".warning button:not(.plain)");
    await page.waitForFunction((words) => document.querySelector("#sheet").value.includes(words), {}, remedy.split("=")[1]);
    await whole(page);
    const now = await page.$$eval(".warning", (all) => all.map((one) => one.textContent));
    assert.notDeepEqual(now, warnings, "it helps");
    await act(page, "undo");
    assert.equal((await page.$$(".warning")).length, warnings.length);
  });

  await check(`a load of two trays in twelve taps, ${at}`, viewport, "/new", async (page) => {
    await whole(page);
    let taps = 0;
    const tap = async (button) => ((taps += 1), await press(page, button), await new Promise((done) => setTimeout(done, 60)), await whole(page));
    const enter = async (field, words) => {
      taps += 1;
      await write(page, field, words);
      await page.keyboard.press("Tab");
      await new Promise((done) => setTimeout(done, 60));
      await whole(page);
    };
    await tap(id("row.1"));
    await enter(id("f.tray.1.food"), "beef stew");
    await enter(id("f.tray.1.depth"), "15");
    await tap(id("row.0"));
    await enter(id("f.tray.0.food"), "strawberries, raw");
    await enter(id("f.tray.0.thickness"), "8");
    await enter("#start", "0730PM");
    assert.ok(taps <= 12, `${taps} taps`);
    assert.equal(await page.$("#answer .problems"), null, await sheet(page));
    assert.match(await text(page, "#bar"), /Ready \d\d:\d\d/);
    const [, food] = (await sheet(page)).match(/food = "(strawberries, raw)"/);
    assert.equal(food, "strawberries, raw");
    assert.match(await sheet(page), /depth = "15 mm"/);
  });

  await check(`wrong inputs are said at their field once it is left, and mended, ${at}`, viewport, "/new", async (page) => {
    await whole(page);
    await act(page, "open.1");
    await write(page, id("f.tray.1.depth"), "15 bananas");
    await new Promise((done) => setTimeout(done, 300));
    assert.equal(await text(page, id("w.tray.1.depth")), "");
    await page.keyboard.press("Tab");
    await says(page, id("w.tray.1.depth"), "banana");
    assert.equal(await page.$eval(id("f.tray.1.depth"), (input) => input.getAttribute("aria-invalid")), "true");
    assert.match(await text(page, "#bar"), /No answer/);
    await fits(page, viewport);
    await accessible(page);
    await write(page, id("f.tray.1.depth"), "0.6 in");
    await page.keyboard.press("Tab");
    await page.waitForSelector("#ready");
    await whole(page);
    assert.equal(await text(page, id("w.tray.1.depth")), "");
  });

  await check(`charts are drawn when they are opened, and readable, ${at}`, viewport, "/demonstration", async (page) => {
    await whole(page);
    if (viewport === PHONE) {
      assert.equal(await page.$("figure"), null, "none is drawn unasked");
      await press(page, id("c.batch") + " summary");
    }
    await page.waitForSelector(id("c.batch") + " figure");
    const letters = await page.$$eval("figure text, figure .ticks span, figure figcaption", (all) =>
      all.filter((one) => one.checkVisibility()).map((one) => {
        const svg = one.ownerSVGElement;
        const scale = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
        return parseFloat(getComputedStyle(one).fontSize) * scale;
      }));
    assert.ok(letters.length > 3 && Math.min(...letters) >= 11.9, `${Math.min(...letters)} px`);
    assert.ok(await page.$(id("c.batch") + " table"), "the same in figures");
    await fits(page, viewport, [320, 360, 768, 1400]);
    await accessible(page);
  });
}

await check("what is dragged is steady when it rests", TABLE, "/demonstration", async (page) => {
  await whole(page);
  const off = await page.evaluate(async () => {
    const send = async (fields) => {
      const body = new URLSearchParams(new FormData(document.getElementById("load")));
      fields.forEach(([name, value]) => body.set(name, value));
      const response = await fetch("/live", { method: "POST", headers: { "Content-Type": "application/x-www-form-urlencoded" }, body: body.toString() });
      const parts = new DOMParser().parseFromString(await response.text(), "text/html");
      const wanted = body.get("pace") === "rest" ? "true" : "false";
      if (parts.getElementById("bar").dataset.whole !== wanted) {
        return send(fields); // another answer was being computed
      }
      return ["ready", "ready-low", "ready-high"].map((name) => Number(parts.getElementById(name).value));
    };
    const all = [];
    for (let count = 0; count < 30; count += 1) {
      const fraction = (count * 0.618) % 1; // spread evenly, and the same each time
      const change = [[`tray.${[0, 3, 4][count % 3]}.depth`, `${(8 + 10 * fraction).toFixed(1)} mm`], ["room", `${Math.round(14 + 12 * fraction)} C`]][count % 2];
      const dragged = await send([change, ["pace", "drag"]]);
      const rested = await send([change, ["pace", "rest"]]);
      all.push(dragged.map((value, place) => Math.abs(value / rested[place] - 1)));
    }
    return all;
  });
  // 64 samples, of which the one that stands for all is less near the median than of 256
  const share = off.filter(([middle, low, high]) => middle <= 0.03 && low <= 0.05 && high <= 0.05).length / off.length;
  assert.ok(share >= 0.85, `${share} of the drags are steady: ${JSON.stringify(off)}`);
});

await check("it works by keyboard alone", TABLE, "/new", async (page) => {
  await whole(page);
  const reach = async (wanted) => {
    for (let presses = 0; presses < 200; presses += 1) {
      await page.keyboard.press("Tab");
      if (await page.evaluate((name) => document.activeElement.id === name || document.activeElement.value === name, wanted)) {
        return;
      }
    }
    assert.fail(wanted + " is not reached");
  };
  await reach("row.1");
  await page.keyboard.press("Enter");
  await page.waitForSelector(id("s.tray.1.depth"));
  await whole(page);
  await reach("s.tray.1.depth");
  for (let presses = 0; presses < 6; presses += 1) {
    await page.keyboard.press("ArrowRight");
  }
  await page.waitForFunction(() => document.querySelector("#sheet").value.includes('depth = "15 mm"'));
  assert.equal(await page.evaluate(() => document.activeElement.id), "s.tray.1.depth", "the place is kept");
  await whole(page);
  await page.focus('nav button[value="view.more"]');
  await page.keyboard.press("Enter");
  await page.waitForSelector(id("f.file"));
  assert.equal(await page.evaluate(() => document.activeElement.id), "h-more", "the view's heading is gone to");
  await reach("f.file");
  await page.keyboard.type("keys.toml");
  await reach("save");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => location.pathname === "/sheet/keys.toml");
});

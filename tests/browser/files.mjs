// Saving, reloading, two browsers, a page that cannot be reached, and no script at all.
import assert from "node:assert/strict";
import { PHONE, SLOW_MS, TABLE, accessible, act, address, check, fits, id, picture, press, sheet, text, view, whole, write } from "./harness.mjs";

async function save(page, name) {
  await view(page, "more");
  await write(page, id("f.file"), name);
  await press(page, 'button[value="save"]');
  await page.waitForFunction((file) => location.pathname === "/sheet/" + file, {}, name);
  await whole(page);
}

async function room(page, words) {
  await page.$eval("#whole", (one) => (one.open = true));
  await write(page, id("f.room"), words);
  await page.keyboard.press("Tab");
  await page.waitForFunction((value) => document.querySelector("#sheet").value.includes(`room = "${value} °C"`), {}, words);
  await whole(page);
}

await check("a sheet is saved, opened again, and not lost between two browsers", TABLE, "/new", async (page, context) => {
  await whole(page);
  await room(page, "23");
  await save(page, "browser.toml");
  assert.match(await text(page, id("h.file")), /As it is in the file/);
  assert.equal(await text(page, "h1"), "browser");

  const other = await context.newPage();
  other.setDefaultTimeout(SLOW_MS);
  await other.goto(address + "/sheet/browser.toml");
  await whole(other);
  assert.match(await sheet(other), /room = "23 °C"/);
  await room(other, "24");
  await view(other, "more");
  await press(other, 'button[value="save"]');
  await other.waitForFunction(() => document.getElementById("h.file").textContent.includes("As it is in the file"));

  await page.bringToFront();
  await view(page, "plan");
  await room(page, "25");
  await view(page, "more");
  await press(page, 'button[value="save"]');
  await page.waitForSelector("#saving-here .notice");
  assert.match(await text(page, "#saving-here .notice"), /changed after it was opened/);
  assert.match(await sheet(page), /room = "25 °C"/, "what was set is still there");
  await press(page, 'button[value="replace"]');
  await page.waitForFunction(() => !document.querySelector("#saving-here .notice"));
  await whole(page);
  await page.reload();
  assert.match(await sheet(page), /room = "25 °C"/);
});

await check("what was set and not saved outlives a reload, and can be dropped", PHONE, "/new", async (page) => {
  await whole(page);
  await room(page, "27");
  const back = () =>
    page.waitForFunction(() => document.getElementById("f.room").value === "27" && !document.querySelector("#kept").hidden);
  await page.reload();
  await back();
  await page.goto(address + "/demonstration");
  await page.goto(address + "/new");
  await back();
  await whole(page);
  assert.match(await sheet(page), /room = "27 °C"/);
  await accessible(page);
  await Promise.all([page.waitForNavigation(), press(page, "#drop")]);
  await whole(page);
  assert.equal(await page.$eval(id("f.room"), (input) => input.value), "20");
  assert.equal(await page.$eval("#kept", (notice) => notice.hidden), true);
});

for (const viewport of [PHONE, TABLE]) {
  await check(`a page that cannot be reached says so and loses nothing at ${viewport.width} px`, viewport, "/new", async (page) => {
    const name = `gone-${viewport.width}.toml`;
    await whole(page);
    await view(page, "more");
    await view(page, "plan");
    await page.setOfflineMode(true);
    await page.$eval("#whole", (one) => (one.open = true));
    await write(page, id("f.room"), "29");
    await page.keyboard.press("Tab");
    await page.waitForFunction(() => !document.querySelector("#lost").hidden);
    assert.match(await text(page, "#lost"), /Not connected, showing the last answer/);
    assert.equal(await page.$eval("#bar", (bar) => bar.dataset.old), "true", "the old answer is marked");
    assert.match(await text(page, "#bar"), /^Not connected\. Ready/);
    await accessible(page);
    await fits(page, viewport);
    await picture(page, `gone-${viewport.width}`);
    await press(page, 'nav button[value="view.more"]');
    await write(page, id("f.file"), name);
    await press(page, 'button[value="save"]');
    await page.waitForSelector("#saving-here .notice");
    assert.match(await text(page, "#saving-here"), /Not saved.*Not connected/);
    const kept = () => page.evaluate(() => sessionStorage.getItem("icefront " + location.pathname) || "");
    assert.match(await kept(), /"29"/, "what is not stored is not forgotten");

    await page.setOfflineMode(false);
    await page.reload(); // what was never answered outlives it too
    await page.waitForFunction(() => document.querySelector("#sheet").value.includes('room = "29 °C"'));
    await whole(page);
    await page.setOfflineMode(true);
    await page.$eval("#whole", (one) => (one.open = true));
    await write(page, id("f.room"), "28");
    await page.keyboard.press("Tab");
    await page.waitForFunction(() => !document.querySelector("#lost").hidden);
    await page.setOfflineMode(false);
    await press(page, "#again");
    await page.waitForFunction(() => document.querySelector("#lost").hidden);
    await whole(page);
    assert.match(await sheet(page), /room = "28 °C"/);
    assert.doesNotMatch(await text(page, "#bar"), /Not connected/);
    await save(page, name);
    assert.match(await sheet(page), /room = "28 °C"/);
    assert.equal(await page.evaluate(() => sessionStorage.length), 0, "once it is stored nothing is kept apart");
  });
}

await check("a tray is added once, though the whole answer follows later", TABLE, "/new", async (page) => {
  await whole(page);
  const trays = () => page.$$eval(".tray", (all) => all.length);
  const before = await trays();
  await page.evaluate(() => {
    const ask = window.fetch;
    window.followed = [];
    // as if another browser's whole answer were being computed
    window.fetch = async (path, options) => {
      const response = await ask(path, options);
      const act = new URLSearchParams(options.body).get("do");
      window.followed.push(act);
      const words = await response.text();
      return new Response(act === "add" ? words.replace('data-whole="true"', 'data-whole="false"') : words);
    };
  });
  await press(page, 'button[value="add"]');
  await page.waitForFunction(() => window.followed.length > 1);
  await whole(page);
  assert.deepEqual(await page.evaluate(() => window.followed), ["add", null]);
  assert.equal(await trays(), before + 1);
});

await check("it works without a script", PHONE, "/new", async (page) => {
  assert.ok(await page.$("#ready"), "an answer is there at once");
  const send = async (button) => Promise.all([page.waitForNavigation(), press(page, button)]);
  await send(id("row.1"));
  assert.equal(await page.$eval(id("s.tray.1.depth"), (slider) => slider.hidden), true, "no slider that would do nothing");
  await page.$eval(id("f.tray.1.depth"), (input) => (input.value = "10"));
  await send('button.main[value="answer"]');
  assert.match(await sheet(page), /depth = "10 mm"/);
  await send("#undo");
  assert.match(await sheet(page), /depth = "12 mm"/);
  await send('nav button[value="view.pack"]');
  await send('button[value="pack"]');
  assert.ok(await page.$(`${id("r.pack")} table`), "a question is answered");
  await send('nav button[value="view.plan"]');
  assert.ok(await page.$("#ready"));
}, { script: false });

await check("it can go on a home screen", PHONE, "/", async (page) => {
  const manifest = await page.evaluate(async () => (await fetch(document.querySelector("link[rel=manifest]").href)).json());
  assert.equal(manifest.display, "standalone");
  const icon = await page.evaluate(async (src) => (await fetch(src)).headers.get("content-type"), manifest.icons[0].src);
  assert.equal(icon, "image/svg+xml");
  await act(page, "open.0");
});

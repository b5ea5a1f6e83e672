// Looks: pictures at three widths, light and dark, and an accessibility check of each.
import { accessible, check, fits, id, picture, press, whole } from "./harness.mjs";

for (const width of [360, 768, 1400]) {
  for (const scheme of ["light", "dark"]) {
    const viewport = { width, height: width < 500 ? 740 : 900 };
    await check(`looks and access at ${width} px, ${scheme}`, viewport, "/demonstration", async (page) => {
      await whole(page);
      if (width > 1000) {
        await page.waitForSelector(id("c.batch") + " figure");
      }
      await accessible(page);
      await fits(page, viewport);
      await picture(page, `page-${width}-${scheme}`);
      await press(page, id("row.0"));
      await page.waitForSelector(".card");
      await whole(page);
      await accessible(page);
      await page.$eval(id("row.0"), (row) => row.blur());
      await page.$eval(id("t.0"), (tray) => tray.scrollIntoView({ block: "start", behavior: "instant" }));
      await picture(page, `tray-${width}-${scheme}`);
    }, { scheme });
  }
}

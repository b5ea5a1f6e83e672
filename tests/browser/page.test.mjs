// The kitchen page in a real browser. Run by tests/page_browser.rs: node page.test.mjs ADDRESS BROWSER [PICTURES]
import { end } from "./harness.mjs";

const only = process.env.ICEFRONT_CHECKS?.split(",");
for (const part of only ?? ["plan", "views", "files", "looks"]) {
  await import(`./${part}.mjs`);
}
await end();

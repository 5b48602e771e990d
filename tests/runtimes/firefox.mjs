// The interview in Firefox, driven over WebDriver BiDi.
//
//   node tests/runtimes/firefox.mjs firefox-esr http://127.0.0.1:8000/check/ PACK '{"worker": "licensed", ...}'     prints {asked, report}
import { readFileSync } from "node:fs";

import puppeteer from "puppeteer-core";

const [program, address, pack, answers] = process.argv.slice(2);
const browser = await puppeteer.launch({ browser: "firefox", executablePath: program, headless: true });
try {
  const page = await browser.newPage();
  await page.goto(address, { waitUntil: "load" });
  const drive = readFileSync(new URL("drive.js", import.meta.url), "utf8");
  process.stdout.write(JSON.stringify(await page.evaluate(`(${drive})(${JSON.stringify(pack)}, ${answers})`)));
} finally {
  await browser.close();
}

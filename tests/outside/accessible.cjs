// Opens each page named, light and dark, wide and narrow, as it is and with a card large, and prints
// as JSON what axe finds and which errors the page's own script had.
const fs = require("fs");
const { chromium } = require("playwright-core");
const axe = fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const flags = [
  "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
  "--disable-background-networking", "--disable-component-update", "--disable-sync",
];

const looked = async (browser, file, colorScheme, width) => {
  // axe is put into the page, which its content security policy would refuse
  const context = await browser.newContext({
    bypassCSP: true, colorScheme, viewport: { width, height: 900 },
  });
  const page = await context.newPage(), errors = [], found = [];
  page.on("pageerror", error => errors.push(error.message));
  page.on("console", said => said.type() === "error" && errors.push(said.text()));
  await page.goto("file://" + file);
  await page.evaluate(axe);
  for (const large of [false, true]) {
    if (large) {
      await page.keyboard.press("ArrowRight");
      await page.keyboard.press("Enter");
      await page.waitForSelector("dialog[open]");
    }
    const result = await page.evaluate(() => axe.run(document));
    const violations = result.violations.map(one => `${one.impact} ${one.id}: ${one.nodes[0].html}`);
    found.push({ file, colorScheme, width, large, errors, violations, passes: result.passes.length });
    if (process.env.PICTURES) {
      const name = [file.split("/").pop(), colorScheme, width, large].join("-");
      await page.screenshot({ path: `${process.env.PICTURES}/${name}.png` });
    }
  }
  await context.close();
  return found;
};

(async () => {
  const browser = await chromium.launch({ executablePath: process.env.BROWSER_PATH, args: flags });
  const found = [];
  for (const file of process.argv.slice(2))
    for (const scheme of ["light", "dark"])
      for (const width of [1200, 390]) found.push(...(await looked(browser, file, scheme, width)));
  await browser.close();
  console.log(JSON.stringify(found));
})();

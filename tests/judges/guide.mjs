// Visits HTML files in Chromium: axe-core's findings, page errors, requests that leave the folder, sideways scrolling.
// Usage: node guide.mjs FILE...   Each file is seen 375 and 1280 pixels wide, light and dark. Prints one JSON list of complaints.
import { pathToFileURL } from "node:url";
import { axeSource, openBrowser } from "./browser.mjs";

const WIDTHS = [375, 1280]; // a small phone, a laptop
const SCHEMES = ["light", "dark"];
// WCAG 2.2 up to AA, and axe-core's own best practices.
const RULES = { type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] };

async function visit(browser, file, width, colorScheme) {
  const found = [];
  const context = await browser.newContext({ viewport: { width, height: 800 }, colorScheme, offline: true });
  const page = await context.newPage();
  page.on("pageerror", (error) => found.push(`page error: ${error.message}`));
  page.on("console", (message) => ["error", "warning"].includes(message.type()) && found.push(`console: ${message.text()}`));
  page.on("requestfailed", (request) => found.push(`request failed: ${request.url()}`));
  page.on("request", (request) => /^(file|data):/.test(request.url()) || found.push(`request to ${request.url()}`));
  await page.goto(String(pathToFileURL(file)));
  const [content, window] = await page.evaluate(() => [document.documentElement.scrollWidth, globalThis.innerWidth]);
  if (content > window) found.push(`${content} pixels wide in a window of ${window}`);
  await page.evaluate(axeSource());
  const { violations } = await page.evaluate((runOnly) => globalThis.axe.run({ runOnly }), RULES);
  for (const { id, help, nodes } of violations) found.push(`axe ${id}: ${help} (${nodes.length} times, as ${nodes[0].html.slice(0, 120)})`);
  await context.close();
  return found.map((text) => `${text} [${width} px, ${colorScheme}]`);
}

const browser = await openBrowser();
const complaints = [];
for (const file of process.argv.slice(2))
  for (const width of WIDTHS)
    for (const scheme of SCHEMES)
      for (const text of await visit(browser, file, width, scheme)) complaints.push({ file, text });
await browser.close();
process.stdout.write(JSON.stringify(complaints));

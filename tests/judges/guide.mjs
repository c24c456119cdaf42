// Visits HTML files in Chromium: axe-core's findings, page errors, requests that leave the folder, sideways scrolling.
// It also works the picker of paper and size with the keyboard, as a reader would, and looks at the page again.
// Usage: node guide.mjs FILE...   Each file is seen at two widths, light and dark. Prints one JSON list of complaints.
import { pathToFileURL } from "node:url";
import { axeSource, openBrowser } from "./browser.mjs";

const WIDTHS = [320, 1280]; // the smallest phone, or a laptop at 400 % zoom (WCAG 2.2, 1.4.10); a laptop
const SCHEMES = ["light", "dark"];
// WCAG 2.2 up to AA, and axe-core's own best practices.
const RULES = { type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] };

/** What axe-core says of the page as it stands. */
async function axe(page) {
  const { violations } = await page.evaluate((runOnly) => globalThis.axe.run({ runOnly }), RULES);
  return violations.map(({ id, help, nodes }) => `axe ${id}: ${help} (${nodes.length} times, as ${nodes[0].html.slice(0, 120)})`);
}

/** How much wider than its window the page is, if at all. */
async function overflow(page) {
  const [content, window] = await page.evaluate(() => [document.documentElement.scrollWidth, globalThis.innerWidth]);
  return content > window ? [`${content} pixels wide in a window of ${window}`] : [];
}

/** Picks every size of every paper by keyboard; what is shown must be what the table of that paper says of that size. */
async function pick(page) {
  const found = [];
  if (!(await page.$("#picker"))) return found;
  if (!(await page.isVisible("#picker"))) return ["the picker stays hidden"];
  if (await page.isVisible("#picker-result")) found.push("the picker shows pages before a size is picked");
  const papers = await page.$$eval("#picker-paper option", (options) => options.map((option) => option.value));
  const sizes = await page.$$eval("#picker-size option", (options) => options.length);
  for (const [at, paper] of papers.entries()) {
    await page.focus("#picker-paper");
    await page.keyboard.press("Home");
    for (let step = 0; step < at; step++) await page.keyboard.press("ArrowDown");
    await page.keyboard.press("Tab");
    await page.keyboard.press("Home");
    for (let size = 1; size < sizes; size++) {
      await page.keyboard.press("ArrowDown");
      const said = await page.evaluate(([paper, size]) => {
        const text = (id) => document.getElementById(id).textContent;
        const row = document.querySelector(`table[data-paper="${paper}"]`).tBodies[0].rows[size - 1];
        const cells = (which) => [...document.querySelectorAll(which)].map((cell) => cell.dataset.sheet).join(" ");
        const map = document.querySelector(`figure[data-paper="${paper}"]`);
        const sheets = row.dataset.sheets;
        const rest = map ? [...map.querySelectorAll("[data-sheet]")].length - sheets.split(" ").length : 0;
        return {
          pages: text("picker-pages") === row.querySelector(".pages").textContent,
          sheets: text("picker-sheets") === sheets,
          row: document.querySelectorAll('tr[aria-current="true"]').length === 1 && row.getAttribute("aria-current") === "true",
          map: !map || cells("[data-sheet].on") === sheets,
          rest: document.querySelectorAll("[data-sheet].off").length === rest,
        };
      }, [paper, size]);
      for (const part of Object.keys(said)) if (!said[part]) found.push(`picker: ${part} of ${paper}, size ${size}, not as in the table`);
    }
  }
  if (!(await page.isVisible("#picker-result"))) found.push("the picker shows nothing");
  return found;
}

async function visit(browser, file, width, colorScheme) {
  const found = [];
  const context = await browser.newContext({ viewport: { width, height: 800 }, colorScheme, offline: true });
  const page = await context.newPage();
  page.on("pageerror", (error) => found.push(`page error: ${error.message}`));
  page.on("console", (message) => ["error", "warning"].includes(message.type()) && found.push(`console: ${message.text()}`));
  page.on("requestfailed", (request) => found.push(`request failed: ${request.url()}`));
  page.on("request", (request) => /^(file|data):/.test(request.url()) || found.push(`request to ${request.url()}`));
  await page.goto(String(pathToFileURL(file)));
  await page.evaluate(axeSource());
  found.push(...(await overflow(page)), ...(await axe(page)));
  found.push(...(await pick(page)), ...(await overflow(page)), ...(await axe(page)));
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

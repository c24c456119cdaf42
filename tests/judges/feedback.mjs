// Fills in a feedback form in Chromium by keyboard alone, or looks at the page of all answers. Prints JSON with complaints.
// Usage: node feedback.mjs form FORM.html TYPED.json SAVED.json   or   node feedback.mjs page PAGE.html
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { axeSource, openBrowser } from "./browser.mjs";

const RULES = { type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] };
const found = [];
const expect = (fine, text) => fine || found.push(text);

async function axe(page, where) {
  await page.evaluate(axeSource());
  const { violations } = await page.evaluate((runOnly) => globalThis.axe.run({ runOnly }), RULES);
  for (const { id, help, nodes } of violations) found.push(`axe ${id}: ${help} (as ${nodes[0].html.slice(0, 160)}) [${where}]`);
}

async function opened(context, file) {
  const page = await context.newPage();
  page.setDefaultTimeout(60_000);
  page.on("pageerror", (error) => found.push(`page error: ${error.message}`));
  page.on("console", (message) => ["error", "warning"].includes(message.type()) && found.push(`console: ${message.text()}`));
  const own = String(pathToFileURL(file));
  page.on("request", (request) => expect(/^(data|blob):/.test(request.url()) || request.url() === own, `request to ${request.url()}`));
  await page.goto(own);
  return page;
}

/** Light and dark, wide and narrow; no sideways scrolling of the whole page at 320 px (WCAG 2.2, 1.4.10). */
async function looks(browser, file, where) {
  for (const colorScheme of ["light", "dark"]) {
    for (const width of [320, 1100]) {
      const context = await browser.newContext({ viewport: { width, height: 800 }, offline: true, colorScheme });
      const page = await opened(context, file);
      await axe(page, `${where}, ${colorScheme}, ${width}`);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      expect(wide <= width, `${where} is ${wide} pixels wide in a window of ${width}`);
      expect(await page.evaluate(() => globalThis.ran === undefined), `${where}: what a tester wrote was run`);
      await context.close();
    }
  }
}

/** Tab until what is focused fits. */
async function to(page, selector) {
  for (let step = 0; step < 600; step++) {
    if (await page.evaluate((selector) => document.activeElement.matches(selector), selector)) return true;
    await page.keyboard.press("Tab");
  }
  found.push(`Tab never comes to ${selector}`);
  return false;
}
const type = async (page, selector, text) => {
  if (await to(page, selector)) await page.keyboard.insertText(text);
};
const press = async (page, ...keys) => {
  for (const key of keys) await page.keyboard.press(key);
};

async function first(page, typed) {
  await type(page, "[name=printer]", typed.printer);
  await type(page, "[name=across]", typed.across);
  await type(page, "[name=down]", typed.down);
  if (await page.$("[name=size]")) {
    await to(page, "[name=size]");
    await press(page, "Space");
  }
  // The second sheet of the first row, by arrow; Enter opens a note about it, and the focus goes there.
  await to(page, ".map button");
  await press(page, "ArrowRight", "Enter");
  expect(await page.evaluate(() => document.activeElement.matches("[data-part=kind]")), "a chosen sheet does not lead to its question");
  await press(page, "ArrowDown", "Tab", "ArrowDown", "ArrowDown", "ArrowDown");
  await type(page, "[data-part=note]", typed.sheet);
}

async function second(page, typed) {
  await to(page, ".step input");
  await press(page, "Space", "ArrowDown");
  await type(page, ".step textarea", typed.step);
  await type(page, "[name=fit]", typed.fit);
  await to(page, "[name=overall]");
  await press(page, "Space", "ArrowDown", "ArrowDown");
  await type(page, "[name=more]", typed.more);
}

/** All values of the form, in its order. */
const values = (page) =>
  page.$$eval("#form :is(input, select, textarea)", (all) => all.map((one) => (one.type === "radio" ? `${one.value} ${one.checked}` : one.value)));

async function fill(browser, file, typed, saved) {
  const context = await browser.newContext({ viewport: { width: 1000, height: 900 }, offline: true, acceptDownloads: true });
  let page = await opened(context, file);
  expect((await page.textContent("#kept")) === (await page.getAttribute("#kept", "data-kept")), "it is not said that answers are kept");
  await first(page, typed);
  await second(page, typed);
  const before = await values(page);
  await page.close();
  page = await opened(context, file);
  expect(JSON.stringify(await values(page)) === JSON.stringify(before), "what was typed is not kept when the page is closed");
  await axe(page, "the form, filled in");
  await to(page, "#save");
  const [download] = await Promise.all([page.waitForEvent("download"), page.keyboard.press("Enter")]);
  const name = await page.evaluate(() => document.documentElement.dataset.file);
  expect(download.suggestedFilename() === name, `the file is called ${download.suggestedFilename()}, not ${name}`);
  await download.saveAs(saved);
  expect((await page.textContent("#saved")).includes(name), "it is not said how the file is called");
  // On paper: everything is there, and nothing to press.
  await page.emulateMedia({ media: "print" });
  for (const what of ["#save", "#print", ".remove"]) expect(!(await page.isVisible(what)), `${what} is printed`);
  expect(await page.isVisible(".by-hand"), "there is no room to write by hand on paper");
  await page.emulateMedia({ media: "screen" });
  // Taking a note back, and emptying the form.
  await page.evaluate(() => document.activeElement.blur());
  await page.focus(".remove");
  await press(page, "Enter");
  expect((await page.$(".problem")) === null, "a note cannot be taken back");
  page.on("dialog", (dialog) => dialog.accept());
  await page.focus("#clear");
  await press(page, "Enter");
  await page.reload();
  expect((await page.inputValue("[name=fit]")) === "", "what was emptied comes back");
  await context.close();
}

/** Where a browser refuses to keep anything, the form says so and works. */
async function refused(browser, file, typed) {
  const context = await browser.newContext({ offline: true, acceptDownloads: true });
  await context.addInitScript(() => {
    Object.defineProperty(globalThis, "localStorage", { get: () => { throw new DOMException("no", "SecurityError"); } });
  });
  const page = await opened(context, file);
  expect((await page.textContent("#kept")) === (await page.getAttribute("#kept", "data-refused")), "it is not said that answers are not kept");
  await type(page, "[name=fit]", typed.fit);
  await to(page, "#save");
  const [download] = await Promise.all([page.waitForEvent("download"), page.keyboard.press("Enter")]);
  const text = readFileSync(await download.path(), "utf-8");
  expect(JSON.parse(text).fit === typed.fit, "without storage the file is saved without the answers");
  await context.close();
}

const [mode, file, typed, saved] = process.argv.slice(2);
const browser = await openBrowser();
if (mode === "form") {
  const texts = JSON.parse(readFileSync(typed, "utf-8"));
  // What a broken form does not let one do is a complaint too, and no reason to stop.
  for (const walk of [() => fill(browser, file, texts, saved), () => refused(browser, file, texts)])
    await walk().catch((error) => found.push(error.message.split("\n")[0]));
}
await looks(browser, file, mode === "form" ? "the form" : "the page");
await browser.close();
process.stdout.write(JSON.stringify(found));

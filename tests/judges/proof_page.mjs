// Visits a proof in Chromium, as a file and as it is served while its kit is edited. Prints one JSON list of complaints.
// Usage: node proof_page.mjs file PAGE PLAN.json [quick]   (quick: light alone, smallest and largest width)   or   node proof_page.mjs watch TOOL KIT
import { spawn } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { createInterface } from "node:readline";
import { pathToFileURL } from "node:url";
import { axeSource, openBrowser } from "./browser.mjs";

const RULES = { type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] };
const found = [];
const expect = (fine, text) => fine || found.push(text);

async function axe(page, where) {
  await page.evaluate(axeSource());
  const { violations } = await page.evaluate((runOnly) => globalThis.axe.run({ runOnly }), RULES);
  for (const { id, help, nodes } of violations)
    found.push(`axe ${id}: ${help} (${nodes.length} times, as ${nodes[0].html.slice(0, 160)}) [${where}]`);
}

async function opened(browser, address, options, where) {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  // Long enough for a machine on which much else is judged at once.
  page.setDefaultTimeout(60_000);
  const own = new URL(address).origin;
  page.on("pageerror", (error) => found.push(`page error: ${error.message} [${where}]`));
  page.on("console", (message) => ["error", "warning"].includes(message.type()) && page.watched !== true && found.push(`console: ${message.text()} [${where}]`));
  page.on("request", (request) => {
    const url = request.url();
    expect(/^data:/.test(url) || url === String(address) || (own !== "null" && url.startsWith(`${own}/`)), `request to ${url} [${where}]`);
  });
  await page.goto(String(address));
  return page;
}

/** Ids of the sheets that are seen, whether they are faded, and what a screen reader is told of them. */
const sheets = (page) =>
  page.$$eval(".paper:not([hidden]) .table .sheet", (all) =>
    all.map((sheet) => ({ id: sheet.id, faded: sheet.classList.contains("unneeded"), says: sheet.textContent, off: !sheet.querySelector(".off").hidden })),
  );
const focused = (page) => page.evaluate(() => document.activeElement.id);
const title = (page) => page.textContent("#viewer-title");
const stop = async (page, wanted, most = 60) => {
  for (let step = 0; step < most; step++) {
    await page.keyboard.press("Tab");
    if (await page.evaluate(wanted)) return true;
  }
  return false;
};

/** From the top of the page with Tab, Enter, arrows and Escape alone. */
async function byKeyboard(page, plan) {
  const papers = plan.layouts;
  await page.evaluate(() => document.activeElement.blur());
  if (papers.length > 1) {
    expect(await stop(page, () => document.activeElement.getAttribute("role") === "tab"), "Tab never comes to the papers");
    for (const layout of [...papers.slice(1), papers[0]]) {
      await page.keyboard.press("ArrowRight");
      expect((await focused(page)) === `tab-${layout.paper}`, `an arrow does not lead to the tab of ${layout.paper}`);
      const seen = await sheets(page);
      expect(JSON.stringify(seen.map((sheet) => sheet.id)) === JSON.stringify(layout.sheets.map((sheet) => `${layout.paper}-${sheet.label}`)), `${layout.paper} shows other sheets than the plan`);
      layout.sheets.forEach((sheet, index) => expect(seen[index]?.says.includes(`page ${sheet.page}`), `${layout.paper} ${sheet.label} is not told with its page`));
    }
  }
  expect(await stop(page, () => document.activeElement.matches(".table .sheet")), "Tab never comes to the sheets");
  const [first] = papers;
  const at = (label) => [label.replace(/\d+$/, ""), Number(label.replace(/^\D+/, ""))];
  expect((await focused(page)) === `${first.paper}-${first.sheets[0].label}`, "Tab does not come to the first sheet");
  // Along the first row and back, then enlarged.
  const row = first.sheets.filter((sheet) => at(sheet.label)[0] === at(first.sheets[0].label)[0]);
  for (const sheet of row.slice(1)) {
    await page.keyboard.press("ArrowRight");
    expect((await focused(page)) === `${first.paper}-${sheet.label}`, `an arrow does not lead to sheet ${sheet.label}`);
  }
  for (const _ of row.slice(1)) await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("Enter");
  expect(await page.isVisible("#viewer"), "Enter does not enlarge a sheet");
  expect((await title(page)).endsWith(first.sheets[0].label), "another sheet is enlarged");
  const [small, large] = await page.evaluate((id) => [document.querySelector(`#${id} svg`), document.querySelector("#stage svg")].map((svg) => svg.getBoundingClientRect().width), `${first.paper}-${first.sheets[0].label}`);
  expect(large > small * 1.2, `a sheet of ${small} pixels is enlarged to ${large}`);
  await axe(page, "a sheet enlarged");
  await page.keyboard.press("+");
  const larger = await page.$eval("#stage svg", (svg) => svg.getBoundingClientRect().width);
  expect(larger > large * 1.2, "+ does not make the picture larger");
  await page.keyboard.press("0");
  let last = first.sheets[0].label;
  for (const sheet of row.slice(1)) {
    await page.keyboard.press("ArrowRight");
    expect((await title(page)).endsWith(sheet.label), `an arrow does not walk to ${sheet.label}`);
    last = sheet.label;
  }
  await page.keyboard.press("Tab");
  expect(await page.evaluate(() => document.getElementById("viewer").contains(document.activeElement)), "Tab leaves the enlarged sheet");
  await page.keyboard.press("Escape");
  expect(!(await page.isVisible("#viewer")), "Escape does not close the enlarged sheet");
  expect((await focused(page)) === `${first.paper}-${last}`, `Escape leaves the keyboard at ${await focused(page)}, not at ${last}`);
}

/** How much of what is seen is drawn: pixels of the table that are neither white nor grey ground. */
const drawn = async (page) => (await page.locator(".paper:not([hidden]) .table").screenshot({ animations: "disabled" })).length;

/** Each size alone: what is faded and which pages are told is what the plan says. */
async function sizes(page, plan) {
  const names = plan.layouts[0].sizes.map((size) => size.size);
  if (names.length < 2) return;
  const whole = await drawn(page);
  for (const [index, name] of names.entries()) {
    await page.click("#none");
    const box = page.locator(`[data-size="${index}"]`);
    await box.focus();
    await page.keyboard.press("Space");
    expect(await box.isChecked(), `Space does not switch size ${name} on`);
    for (const layout of plan.layouts) {
      const told = await page.textContent(`#paper-${layout.paper} .needed`);
      const { page_ranges: pages, sheet_count: count } = layout.sizes[index];
      expect(told.endsWith(` ${pages.replaceAll(",", ", ")}`), `${layout.paper}, size ${name}: “${told}”, but the plan says ${pages}`);
      expect(layout.sheets.length === 1 || told.includes(String(count)), `${layout.paper}, size ${name}: “${told}”, but the plan says ${count} sheets`);
    }
    const seen = await sheets(page);
    expect(seen.filter((sheet) => !sheet.faded).length === plan.layouts[0].sizes[index].sheet_count, `size ${name}: not the sheets of the plan`);
    expect(seen.every((sheet) => sheet.faded === sheet.off), `size ${name}: fading is not told`);
    const shown = await page.evaluate((on) => [...document.querySelectorAll("defs > [class^=s]")].every((piece) => (getComputedStyle(piece).display !== "none") === (piece.getAttribute("class") === on)), `s${index}`);
    expect(shown, `size ${name}: other lines than its own are shown`);
  }
  const one = await drawn(page);
  expect(one < whole, "switching sizes off changes no picture");
  await page.click("#all");
  await page.check("#joined");
  expect((await drawn(page)) !== whole, "joining the sheets changes no picture");
  await axe(page, "joined");
  await page.uncheck("#joined");
}

async function file(path, planPath, quick) {
  const plan = JSON.parse(readFileSync(planPath, "utf8"));
  const address = pathToFileURL(path);
  const browser = await openBrowser();
  for (const width of quick ? [320, 1360] : [320, 768, 1360])
    for (const colorScheme of quick ? ["light"] : ["light", "dark"]) {
      const where = `${width} px, ${colorScheme}`;
      const page = await opened(browser, address, { viewport: { width, height: 900 }, colorScheme, offline: true }, where);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      expect(wide <= width, `${wide} pixels wide in a window of ${width}`);
      await axe(page, where);
      if (width === 1360 && colorScheme === "light") {
        // What is not there cannot be worked, and is a complaint like others.
        await byKeyboard(page, plan).catch((error) => found.push(`by keyboard: ${error.message}`));
        await sizes(page, plan).catch((error) => found.push(`sizes: ${error.message}`));
      }
      await page.context().close();
    }
  // On paper every sheet of every paper is there, whatever tab is open; so it is where no script runs.
  const all = plan.layouts.flatMap((layout) => layout.sheets).length;
  const shown = (page) => page.$$eval(".table .sheet", (all) => all.filter((sheet) => sheet.checkVisibility()).length);
  const plain = await opened(browser, address, { javaScriptEnabled: false, offline: true }, "without script");
  expect((await shown(plain)) === all, "without script some sheets are not shown");
  const printed = await opened(browser, address, { offline: true }, "in print");
  await printed.emulateMedia({ media: "print" });
  expect((await shown(printed)) === all, "some sheets are not printed");
  await browser.close();
}

/** Serves a kit, edits it, and looks at the page that is open all the while. */
async function watch(tool, kit) {
  const child = spawn(tool, ["proof", kit, "--watch"], { stdio: ["ignore", "pipe", "ignore"] });
  const browser = await openBrowser();
  try {
    const [address] = await new Promise((done, failed) => {
      createInterface({ input: child.stdout }).once("line", (line) => done([line]));
      child.once("exit", (code) => failed(new Error(`proof --watch ended with ${code}`)));
    });
    const page = await opened(browser, address, { viewport: { width: 1360, height: 700 } }, "watched");
    const until = (what, wanted, argument) => page.waitForFunction(wanted, argument, { timeout: 120_000 }).catch(() => found.push(`${what} was waited for in vain`));
    // The last thing that the page's script does: until then not all of the page may be there.
    const follows = () => document.getElementById("follow")?.dataset.state === "follows";
    await until("a word that the page follows", follows);
    await axe(page, "watched");
    // A place to stay at: the last paper, some way down, and there a sheet enlarged.
    await page.click("[role=tab]:last-child");
    await page.evaluate(() => scrollTo({ top: 300, behavior: "instant" }));
    const scrolled = await page.evaluate(() => scrollY);
    const paper = await page.getAttribute("[role=tab]:last-child", "id");
    const manifest = `${kit}/kit.yaml`;
    const good = readFileSync(manifest, "utf8");
    const stays = async (when) => {
      expect((await page.getAttribute(`#${paper}`, "aria-selected")) === "true", `${when} another paper is shown`);
      expect(Math.abs((await page.evaluate(() => scrollY)) - scrolled) < 3, `${when} the page stands at ${await page.evaluate(() => scrollY)}, not at ${scrolled}`);
    };

    writeFileSync(manifest, good.replace(/^title: .*$/m, "title: Another name"));
    await until("a new title", () => document.querySelector("h1")?.textContent === "Another name");
    await until("a word that the page follows again", follows);
    await stays("once refreshed");

    await page.locator(".paper:not([hidden]) .table .sheet").first().click();
    const open = await title(page);
    writeFileSync(manifest, `${good}\nnonsense: [`);
    await until("the fault", () => document.querySelector(".verdict.bad") !== null);
    await until("a word that the page follows the broken kit", follows);
    expect(await page.isVisible("#viewer"), "the enlarged sheet is closed by a refresh");
    expect((await title(page)) === open, "another sheet is enlarged by a refresh");
    expect((await page.$$(".table .sheet")).length > 0, "a broken kit takes the pictures away");
    await page.keyboard.press("Escape");
    await axe(page, "broken");

    writeFileSync(manifest, good);
    await until("the mended kit", () => document.querySelector(".verdict") !== null && document.querySelector(".verdict.bad") === null);
    await until("a word that the page follows the mended kit", follows);
    page.watched = true;
    child.kill();
    await until("a word that kitwright has stopped", () => document.getElementById("follow")?.dataset.state === "lost");
  } finally {
    child.kill();
    await browser.close();
  }
}

const [what, ...rest] = process.argv.slice(2);
await { file, watch }[what](...rest);
process.stdout.write(JSON.stringify(found));

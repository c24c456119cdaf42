// A picture of an SVG as Chromium draws it. Usage: node shot.mjs FILE.svg OUT.png WIDTH HEIGHT (in pixels)
import { pathToFileURL } from "node:url";
import { openBrowser } from "./browser.mjs";

const [file, out, width, height] = process.argv.slice(2);
const browser = await openBrowser();
const page = await browser.newPage({ viewport: { width: Number(width), height: Number(height) }, offline: true });
const image = `<img src="${pathToFileURL(file)}" style="position:absolute;left:0;top:0;width:${width}px;height:${height}px">`;
// A page of its own beside the file: a blank page may not show files.
const { writeFileSync } = await import("node:fs");
writeFileSync(`${out}.html`, `<!doctype html><body style="margin:0;background:white">${image}`);
await page.goto(String(pathToFileURL(`${out}.html`)));
await page.waitForFunction(() => document.images[0].complete && document.images[0].naturalWidth > 0);
await page.screenshot({ path: out });
await browser.close();
process.stdout.write("{}");

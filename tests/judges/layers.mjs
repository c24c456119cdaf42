// Which layers PDF.js (Firefox and many web viewers) shows and prints, as a file is opened and with each layer switched off in turn.
// Usage: node layers.mjs FILE...   JUDGES_HOME names the folder with node_modules. Prints one JSON list.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";

const require = createRequire(`${process.env.JUDGES_HOME}/`);
console.log = console.warn = console.info = () => {};
const { getDocument } = await import(pathToFileURL(require.resolve("pdfjs-dist/legacy/build/pdf.mjs")));

const flat = (order) => (order ?? []).flatMap((entry) => (typeof entry === "string" ? [entry] : flat(entry.order)));
const state = (config, id) => config.isVisible({ type: "OCG", id });

async function look(file) {
  const pdf = await getDocument({ data: new Uint8Array(readFileSync(file)), verbosity: 0 }).promise;
  const [display, print] = await Promise.all(["display", "print"].map((intent) => pdf.getOptionalContentConfig({ intent })));
  const ids = flat(display.getOrder());
  const named = (config) => ids.filter((id) => state(config, id)).map((id) => config.getGroup(id).name);
  const result = { file, shown: named(display), printed: named(print), switched: [] };
  for (const id of ids) {
    // A viewer hands the states that it shows to its print job.
    for (const config of [display, print]) config.setVisibility(id, false);
    result.switched.push({ name: display.getGroup(id).name, display: state(display, id), print: state(print, id) });
  }
  return result;
}

const found = [];
for (const file of process.argv.slice(2)) found.push(await look(file));
process.stdout.write(JSON.stringify(found));

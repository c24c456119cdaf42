// What PDF.js (Firefox and many web viewers) makes of PDF files: every warning, the layers in their order, the page labels.
// Usage: node pdfjs.mjs FILE...   JUDGES_HOME names the folder with node_modules. Prints one JSON list.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";

const require = createRequire(`${process.env.JUDGES_HOME}/`);
const complaints = [];
console.log = console.warn = console.info = (...words) => complaints.push(words.join(" "));
const { getDocument } = await import(pathToFileURL(require.resolve("pdfjs-dist/legacy/build/pdf.mjs")));
// Loading the library may warn about optional drawing packages, which says nothing about a file.
complaints.length = 0;

/** Names of layers in the order in which a panel shows them. */
async function layersOf(pdf) {
  const config = await pdf.getOptionalContentConfig();
  const flat = (order) => (order ?? []).flatMap((entry) => (typeof entry === "string" ? [entry] : flat(entry.order)));
  return flat(config.getOrder()).map((id) => config.getGroup(id).name);
}

async function look(file) {
  complaints.length = 0;
  const result = { file, pages: 0, layers: [], labels: null, complaints: [] };
  try {
    const pdf = await getDocument({ data: new Uint8Array(readFileSync(file)), verbosity: 1, stopAtErrors: true }).promise;
    for (let number = 1; number <= pdf.numPages; number++) {
      const page = await pdf.getPage(number);
      await page.getOperatorList();
      await page.getTextContent();
    }
    Object.assign(result, { pages: pdf.numPages, layers: await layersOf(pdf), labels: await pdf.getPageLabels() });
  } catch (error) {
    complaints.push(String(error));
  }
  result.complaints = [...complaints];
  return result;
}

const found = [];
for (const file of process.argv.slice(2)) found.push(await look(file));
process.stdout.write(JSON.stringify(found));

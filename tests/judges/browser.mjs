// The installed Chromium for the other scripts, by playwright-core, offline and quiet.
import { createRequire } from "node:module";

const require = createRequire(`${process.env.JUDGES_HOME}/`);

/** A browser that makes no request of its own. */
export async function openBrowser() {
  const { chromium } = require("playwright-core");
  const switches = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"];
  switches.push("--disable-component-update", "--disable-sync", "--allow-file-access-from-files");
  return chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: switches });
}

/** Source text of axe-core, to be run inside a page. */
export function axeSource() {
  return require("axe-core").source;
}

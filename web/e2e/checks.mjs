// What the walks in a browser have in common: what is expected and said, pictures, axe, the end.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const axeSource = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
let failed = 0;

export const complaints = []; // what the pages complained of: listen() in browser.mjs

export function expect(fine, what) {
  console.log(fine ? "ok  " : "FAIL", what);
  if (!fine) ++failed;
}

/** Expected within some seconds. */
export async function soon(what, test) {
  for (let i = 0; i < 150; ++i) {
    if (await test()) return expect(true, what);
    await new Promise((r) => setTimeout(r, 100));
  }
  expect(false, what);
}

/** axe-core finds nothing on the page as it stands, by WCAG 2.1 A and AA. */
export async function axe(page, what) {
  await page.evaluate(axeSource);
  const found = await page.evaluate(async () => {
    const { violations } = await globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"] });
    return violations.map((v) => `${v.id}: ${v.nodes.length} × ${v.nodes[0].target} ${v.nodes[0].failureSummary?.slice(0, 160)}`);
  });
  expect(found.length === 0, `axe finds nothing: ${what}${found.length ? "\n     " + found.join("\n     ") : ""}`);
}

/** Takes pictures into a folder, none where no folder is given. */
export function pictureTaker(folder, prefix = "") {
  return async (page, name) => folder && (await page.screenshot({ path: join(folder, `${prefix}${name}.png`) }));
}

/** The last check, then the end of the walk. */
export async function end(browser, server, words) {
  expect(complaints.length === 0, `the page complains of nothing${complaints.length ? "\n     " + complaints.join("\n     ") : ""}`);
  await browser.close();
  await server.kill();
  console.log(failed ? `${failed} failed` : words);
  process.exit(failed ? 1 : 0);
}

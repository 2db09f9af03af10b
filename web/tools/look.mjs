// Pictures of the page to look at, and what axe finds there. Needs a served page and Debian's chromium.
//   node tools/look.mjs ADDRESS FOLDER [only]
import { mkdirSync, readFileSync } from "node:fs";
import { chromium } from "playwright-core";

const [address = "http://127.0.0.1:8710/", folder = "look", only = ""] = process.argv.slice(2);
const axe = readFileSync(new URL("../node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
mkdirSync(folder, { recursive: true });
const sizes = [[1440, 900], [1024, 768], [390, 844]];
const press = (page, name) => page.getByRole("button", { name, exact: false }).first().click();

const scenes = {
  table: async () => {},
  hub: async (page, w) => {
    if (w < 760) await press(page, "bench");
    await page.locator(".tag", { hasText: "hub" }).first().click();
    await page.waitForTimeout(300);
  },
  blades: async (page, w) => {
    if (w < 760) await press(page, "bench");
    await page.locator(".tag", { hasText: "blades" }).first().click();
    await page.waitForTimeout(300);
  },
  layout: async (page) => {
    await press(page, /^lay out/);
    await page.waitForTimeout(300);
    await press(page, /^steps/);
    await page.waitForTimeout(500);
  },
  side: async (page) => press(page, /^side/),
  slip: async (page, w) => {
    if (w < 760) await press(page, "slip");
  },
  solid: async (page) => {
    await press(page, "solid");
    await page.waitForTimeout(6000);
  },
  sheets: async (page) => {
    await press(page, "print");
    await page.waitForTimeout(3500);
  },
  find: async (page) => {
    await page.keyboard.press("Control+k");
    await page.keyboard.type("clear");
    await page.waitForTimeout(200);
  },
  history: async (page) => {
    await page.locator(".title-block button").nth(1).click();
    await page.waitForTimeout(500);
  },
  jobs: async (page) => page.locator(".title-block button").first().click(),
};

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--disable-background-networking", "--no-first-run"],
});
let found = 0;
for (const colorScheme of ["light", "dark"]) {
  for (const [width, height] of sizes) {
    for (const [name, go] of Object.entries(scenes)) {
      if (only && !`${name}-${width}-${colorScheme}`.match(only)) continue;
      const context = await browser.newContext({ viewport: { width, height }, colorScheme });
      const page = await context.newPage();
      page.on("console", (m) => ["error", "warning"].includes(m.type()) && console.log(`${name}: ${m.text().slice(0, 300)}`));
      page.on("pageerror", (e) => console.log(`${name}: ${String(e).slice(0, 300)}`));
      await page.goto(address);
      await page.waitForSelector(".words", { timeout: 15000 });
      await page.waitForTimeout(400);
      try {
        await go(page, width);
        await page.waitForTimeout(400);
      } catch (e) {
        console.log(`${name} ${width}: ${String(e).split("\n")[0]}`);
      }
      await page.screenshot({ path: `${folder}/${name}-${width}-${colorScheme}.png` });
      await page.evaluate(axe).catch(() => undefined);
      const result = await page.evaluate(() => globalThis.axe?.run(document, { resultTypes: ["violations"] })).catch((e) => { console.log(String(e)); });
      for (const v of result?.violations ?? []) {
        found += 1;
        console.log(`axe ${name} ${width} ${colorScheme}: ${v.id} ${v.nodes.length}x ${v.nodes[0].html.slice(0, 160)} ${v.nodes[0].failureSummary?.split("\n")[1] ?? ""}`);
      }
      await context.close();
    }
  }
}
await browser.close();
console.log(`axe found ${found}`);

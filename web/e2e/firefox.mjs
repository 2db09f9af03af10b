// The page in Debian's Firefox: a fork from nothing, another hub and tyre, undo, sheets, the solid or a plain word why
// there is none, a window as small as a phone, and all of it still there after the page is opened again.
//
//   node web/e2e/firefox.mjs PROGRAM [FOLDER for pictures]
import puppeteer from "puppeteer-core";
import { listen } from "./browser.mjs";
import { complaints, end, expect, pictureTaker } from "./checks.mjs";
import { folder, serve } from "./server.mjs";

const kExecutable = process.env.HALFROUND_FIREFOX ?? "/usr/bin/firefox-esr";
const [program, pictures] = process.argv.slice(2);

const server = await serve(program, folder(), 0);
const browser = await puppeteer.launch({ browser: "firefox", executablePath: kExecutable, headless: true });
const page = await browser.newPage();
page.setDefaultTimeout(20000);
listen(page, complaints);

const button = (name) => page.locator(`::-p-aria([role="button"][name="${name}"])`);
const field = (name) => page.locator(`::-p-aria([role="textbox"][name="${name}"])`);
const words = (selector) => page.$eval(selector, (e) => e.textContent);
const shows = (selector, text) => page.waitForFunction(
  (s, t) => [...document.querySelectorAll(s)].some((e) => e.textContent.trim() === t), {}, selector, text);
const inTheBook = () => shows(".state b", "saved");
const take = pictureTaker(pictures, "firefox-"), picture = (name) => take(page, name);
const lines = () => page.$$eval(".table svg path.stroke", (all) => all.map((p) => p.getAttribute("d")).join());
const jobText = () => page.evaluate(async () => {
  const job = (await (await fetch("/api/jobs")).json()).find((j) => j.name === "in the fox");
  return (await fetch(`/api/jobs/${job.id}/job.toml`)).text();
});
/** What is true of the job's text soon is enough: the book is written behind the page's back. */
async function written(test) {
  for (let i = 0; i < 100; ++i) {
    if (test(await jobText())) return true;
    await new Promise((r) => setTimeout(r, 100));
  }
  return false;
}

async function type(tag, name, typed) {
  if (!(await page.$(`section[aria-label="Fields of ${tag}"]`))) await page.locator(`.tag ::-p-text(${tag})`).click();
  await field(name).fill(typed);
  await page.keyboard.press("Enter");
  await inTheBook();
}

async function open(width, height) {
  await page.setViewport({ width, height });
  await page.goto(server.address);
  await page.waitForSelector(".table svg path.stroke");
}

await open(1440, 900);
expect((await page.title()).length > 0, `opens on a living fork, in ${await browser.version()}`);
await picture("first");

await page.locator(".title-block .name").click();
await field("Name of the new one").fill("in the fox");
await button("start from the plain fork").click();
await shows(".title-block .name b", "in the fox");
await page.waitForSelector(".table svg path.stroke");
expect(true, "a fork from the plain one");

const atFirst = await lines();
const margins = await words(".slip");
await type("hub", "over locknut", "4 1/4 in");
expect(await written((t) => t.includes("4 1/4 in")), "the hub stands as it was typed");
await type("tyre", "tyre", "50-559");
expect(await written((t) => /^tyre\s*=\s*"50-559"/m.test(t)), "the tyre is another");
expect((await lines()) !== atFirst, "the drawing followed");
expect((await words(".slip")) !== margins, "the numbers followed");
await picture("typed");

await button("undo").click();
expect(await written((t) => !t.includes("50-559")), "undo");
await button("redo").click();
expect(await written((t) => t.includes("50-559")), "redo");

await button("print").click();
await page.waitForSelector(".tiles img");
const sheet = await page.waitForFunction(() => {
  const img = document.querySelector(".tiles img");
  return img?.complete && img.naturalWidth > 100 && img.naturalWidth;
});
expect((await sheet.jsonValue()) > 100, "a sheet is seen as it will be printed");
await picture("sheets");
await button("Close").click();

await button("solid").click();
await page.waitForSelector(".solid canvas, .solid-said");
await new Promise((r) => setTimeout(r, 1500));
await picture("solid");
const seen = await page.evaluate(() => {
  const gl = document.querySelector(".solid canvas")?.getContext("webgl2");
  return gl ? "drawn" : (document.querySelector(".solid-said, .solid .problem")?.textContent ?? "");
});
expect(seen === "drawn" || seen.length > 20, `the solid, or plainly why not: ${seen}`);
await button("front").click();
await page.waitForSelector(".table svg path.stroke");

await open(390, 844);
await shows(".title-block .name b", "in the fox");
const wide = await page.evaluate(() => document.documentElement.scrollWidth);
expect(wide <= 390, `nothing hangs over a small window: ${wide} px`);
await picture("small");
await button("bench").click();
await page.locator(".tag ::-p-text(hub)").click();
await page.waitForSelector(".fields");
await button("slip").click();
expect((await page.$(".fields")) === null, "the slip comes from under an open tag");
await picture("small-slip");

await open(1440, 900);
await shows(".title-block .name b", "in the fox");
expect(await written((t) => t.includes("4 1/4 in") && t.includes("50-559")), "opened again, all is there");
await button("undo").click();
expect(await written((t) => !t.includes("50-559")), "and can still be undone");

await end(browser, server, "all round in Firefox");

// The phone at the mill on a bad day: no line, the page closed and opened again, two forks with steps of the same name, a slip
// of the finger, the pairing withdrawn. What was ticked gets to its own fork, or it is said that it did not.
//
//   node web/e2e/phone.mjs PROGRAM [FOLDER for pictures]
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { launch, listen } from "./browser.mjs";
import { folder, serve } from "./server.mjs";

const [program, pictures] = process.argv.slice(2);
const axeSource = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const complaints = [];
let failed = 0;

function expect(fine, what) {
  console.log(fine ? "ok  " : "FAIL", what);
  if (!fine) ++failed;
}
async function picture(page, name) {
  if (pictures) await page.screenshot({ path: join(pictures, `phone-${name}.png`) });
}
async function axe(page, what) {
  await page.evaluate(axeSource);
  const found = await page.evaluate(async () => {
    const { violations } = await globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"] });
    return violations.map((v) => `${v.id}: ${v.nodes.length} × ${v.nodes[0].target}`);
  });
  expect(found.length === 0, `axe finds nothing: ${what}${found.length ? "\n     " + found.join("\n     ") : ""}`);
}

const data = folder();
let server = await serve(program, data, 0);
const api = async (path, body) => (await fetch(`${server.address}/api/${path}`, body && { method: "POST", body: JSON.stringify(body) })).json();
const first = (await api("jobs"))[0];
const { id: second } = await api("jobs", { name: "second", from: first.id });
const steps = async (job) => (await api(`jobs/${job}/steps`)).steps;
const done = async (job) => Object.values(await steps(job)).filter((t) => t.done).length;
const log = async (job) => api(`jobs/${job}/log`);
async function soon(what, test) {
  for (let i = 0; i < 150; ++i) {
    if (await test()) return expect(true, what);
    await new Promise((r) => setTimeout(r, 100));
  }
  expect(false, what);
}

const browser = await launch({ solid: false });
const small = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
let phone = await small.newPage();
listen(phone, complaints);
await phone.goto(`${server.address}/#phone`); // on the machine itself: a browser's secure context, and no token needed
const title = phone.locator(".phone-step h1");
const fork = phone.getByRole("combobox", { name: "Fork", exact: true });
const big = phone.getByRole("button", { name: "done", exact: true });
const state = (words) => phone.locator(".phone-head [role=status]").filter({ hasText: words }).waitFor({ timeout: 20000 });
await title.waitFor({ timeout: 20000 });
await fork.selectOption(first.id);
await state("up to date");

// a slip of the finger
const measured = phone.getByRole("textbox", { name: "measured" });
const write = phone.locator(".phone-measured button[type=submit]");
const said = phone.locator(".phone-measured");
while (!/scribe/i.test(await phone.locator(".phone-big span").innerText())) await phone.getByRole("button", { name: /^(done|next)$/ }).click();
const wanted = Number(await phone.locator(".phone-big b").innerText());
await measured.fill("banana");
await write.click();
await said.locator(".problem").waitFor();
expect(/can't be read/.test(await said.innerText()) && (await log(first.id)).length === 0, `a banana is no measure: ${(await said.locator(".problem").innerText()).replace(/\s+/g, " ")}`);
await picture(phone, "banana");
await measured.fill(String(wanted + 37.15));
expect(/37\.\d mm more than wanted/.test(await said.innerText()), "the measured is held against the wanted while it is typed");
await write.click();
await said.locator(".problem", { hasText: "Far from what is wanted" }).waitFor();
expect((await log(first.id)).length === 0, `what is far from the wanted is asked about: ${(await said.locator(".problem").innerText()).replace(/\s+/g, " ")}`);
await picture(phone, "far");
await axe(phone, "a doubtful measure");
await write.click();
await soon("pressed again it is written down", async () => (await log(first.id)).length === 1);
await measured.fill(String(wanted + 0.2).replace(".", ","));
await write.click();
await soon("what is near is written at once, with what was wanted", async () => (await log(first.id)).some((l) => /, wanted /.test(l.what) && l.typed === String(wanted + 0.2).replace(".", ",")));

// the wifi goes; the server too, and the page is opened again
await phone.waitForTimeout(2500); // the page's own files are kept by now
await phone.reload();
await title.waitFor();
const before = await done(first.id);
await server.kill();
await state("offline");
await big.click();
await big.click();
await measured.fill("banana");
await write.click();
await said.locator(".problem").waitFor();
await measured.fill("12,5");
await write.click();
if (await said.locator(".problem").count()) await write.click();
await state(/3 waiting/);
await phone.close();
phone = await small.newPage();
listen(phone, complaints);
await phone.goto(`${server.address}/#phone`);
await phone.locator(".phone-step h1").waitFor({ timeout: 20000 });
expect(/offline, 3 waiting/.test(await phone.locator(".phone-head").innerText()), `the page opens without the server, with its steps and what waits: ${(await phone.locator(".phone-head").innerText()).replace(/\s+/g, " ")}`);
await phone.locator(".phone-picture").waitFor({ timeout: 10000 });
await picture(phone, "without-server");
await axe(phone, "without a server");
await phone.getByRole("combobox", { name: "Fork", exact: true }).selectOption(second);
await phone.waitForTimeout(300);
server = await serve(program, data, server.port);
await soon("what was ticked without a line is brought to its own fork, though another is looked at", async () => (await done(first.id)) === before + 2 && (await done(second)) === 0);
await soon("and what was measured", async () => (await log(first.id)).some((l) => l.typed === "12,5"));

// two forks chosen quickly: the late answer belongs to the one it was asked for
const cardsOf = /\/api\/cards\//;
await fetch(`${server.address}/api/jobs/${second}/edits`, { method: "POST", body: JSON.stringify({ base: 0, edits: [{ key: "blades.stock_length", typed: "480" }] }) });
await phone.route(cardsOf, async (route) => {
  if (route.request().url().includes(first.id)) await new Promise((r) => setTimeout(r, 900));
  await route.continue();
});
const choose = phone.getByRole("combobox", { name: "Fork", exact: true });
await choose.selectOption(first.id);
await choose.selectOption(second);
await phone.waitForTimeout(2500);
const go = async () => { while ((await phone.getByRole("button", { name: "back", exact: true }).isEnabled())) await phone.getByRole("button", { name: "back", exact: true }).click(); };
await go();
expect((await phone.locator(".phone-big b").innerText()) === "480.0", `a late answer of the one fork does not stand under the other's name: ${await phone.locator(".phone-big b").innerText()}`);
await measuredOn(phone).fill("479,8");
await choose.selectOption(first.id);
await go();
expect((await measuredOn(phone).inputValue()) === "", "what is typed at a step of the one fork does not stand at the same step of the other");
await phone.waitForTimeout(1500);
await phone.unroute(cardsOf);
function measuredOn(page) {
  return page.getByRole("textbox", { name: "measured" });
}

// ticked otherwise at the bench meanwhile
await small.setOffline(true);
await phone.waitForTimeout(300);
const step = (await api(`cards/${first.id}`)).cards[0];
if (await phone.getByRole("button", { name: /take back/ }).count()) await phone.getByRole("button", { name: /take back/ }).click();
await api(`jobs/${first.id}/steps`, { step: step.id, done: false, who: "at the bench" });
await new Promise((r) => setTimeout(r, 1100)); // times are kept to the second
await api(`jobs/${first.id}/steps`, { step: step.id, done: true, who: "at the bench" });
await small.setOffline(false);
const left = phone.locator(".phone-not", { hasText: "Left out" });
await left.waitFor({ timeout: 20000 });
expect((await steps(first.id))[step.id].done, `a step that was ticked elsewhere meanwhile is left as it is, and said: ${(await left.innerText()).replace(/\s+/g, " ").slice(0, 120)}`);
await picture(phone, "left-out");
await left.getByRole("button", { name: "leave it" }).click();

// withdrawn
const on = await api("network", { on: true });
if (on.on) {
  const { link, token_id } = await api("pairing", {});
  const outside = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
  const paired = await outside.newPage();
  listen(paired, complaints);
  await paired.goto(link);
  await paired.locator(".phone-step h1").waitFor({ timeout: 20000 });
  await paired.waitForFunction(() => document.querySelector(".phone-head [role=status]").textContent === "up to date");
  await fetch(`${server.address}/api/pairing/${token_id}`, { method: "DELETE" });
  const not = paired.locator(".phone-not");
  await not.getByText("was withdrawn at the machine").waitFor({ timeout: 20000 });
  expect(/Everything that was done here has been delivered/.test(await not.innerText()), "a withdrawn phone says so, and that nothing is left to deliver");
  const heading = (await paired.locator(".phone-step h1").innerText()).slice(0, 20);
  await paired.getByRole("button", { name: "done", exact: true }).click();
  await not.locator("li").waitFor();
  expect((await not.innerText()).includes(heading), `and which ticks were not delivered: ${(await not.locator("li").innerText()).replace(/\s+/g, " ")}`);
  await picture(paired, "withdrawn");
  await axe(paired, "a withdrawn phone");
  const total = (await done(first.id)) + (await done(second));
  const anew = await api("pairing", {});
  await paired.goto(anew.link);
  await paired.reload();
  await soon("paired again it brings them", async () => (await done(first.id)) + (await done(second)) === total + 1);
  await outside.close();
} else {
  console.log("skip the withdrawn phone: this machine has no network address");
}

if (pictures) {
  for (const scheme of ["light", "dark"]) {
    for (const [width, height] of [[1024, 768], [390, 844]]) {
      const again = await browser.newContext({ viewport: { width, height }, colorScheme: scheme });
      const p = await again.newPage();
      await p.goto(`${server.address}/#phone`);
      await p.locator(".phone-step h1").waitFor();
      await p.getByRole("textbox", { name: "measured" }).fill("9");
      await p.getByRole("textbox", { name: "measured" }).press("Enter");
      await p.waitForTimeout(400);
      await picture(p, `${scheme}-${width}`);
      await again.close();
    }
  }
}
expect(complaints.length === 0, `the page complains of nothing${complaints.length ? "\n     " + complaints.join("\n     ") : ""}`);
await browser.close();
await server.kill();
console.log(failed ? `${failed} failed` : "the phone keeps its word");
process.exit(failed ? 1 : 0);

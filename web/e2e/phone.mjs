// The phone at the mill on a bad day: no line, the page closed and opened again, two forks with steps of the same name, a slip
// of the finger, the network switched off, the pairing withdrawn. What was ticked gets to its own fork, or it is said that it did not.
//
//   node web/e2e/phone.mjs PROGRAM [FOLDER for pictures]
import { launch, listen } from "./browser.mjs";
import { axe, complaints, end, expect, pictureTaker, soon } from "./checks.mjs";
import { folder, serve } from "./server.mjs";

const [program, pictures] = process.argv.slice(2);
const picture = pictureTaker(pictures, "phone-");

const data = folder();
let server = await serve(program, data, 0);
const api = async (path, body) => (await fetch(`${server.address}/api/${path}`, body && { method: "POST", body: JSON.stringify(body) })).json();
const first = (await api("jobs"))[0];
const { id: second } = await api("jobs", { name: "second", from: first.id });
const steps = async (job) => (await api(`jobs/${job}/steps`)).steps;
const done = async (job) => Object.values(await steps(job)).filter((t) => t.done).length;
const log = async (job) => api(`jobs/${job}/log`);

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

// by the shop's network: plain http on an address that is not 127.0.0.1, where a browser keeps no page without its server
const all = async () => (await done(first.id)) + (await done(second));
const on = await api("network", { on: true });
if (on.on) {
  const { link, token_id } = await api("pairing", {});
  const outside = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
  const paired = await outside.newPage();
  listen(paired, complaints);
  await paired.addInitScript(() => {
    window.lines = [];
    window.WebSocket = class extends WebSocket {
      constructor(...all) {
        super(...all);
        window.lines.push(this);
      }
    };
  });
  const listens = () => paired.waitForFunction(() => window.lines.some((s) => s.readyState === WebSocket.OPEN), undefined, { timeout: 20000 });
  const stands = (words) => paired.waitForFunction((w) => document.querySelector(".phone-head [role=status]")?.textContent === w, words, { timeout: 20000 });
  const press = () => paired.getByRole("button", { name: "done", exact: true }).click();
  const heading = () => paired.locator(".phone-step h1").innerText();
  await paired.goto(link);
  await paired.locator(".phone-step h1").waitFor({ timeout: 20000 });
  await stands("up to date");
  await paired.locator(".phone-picture").waitFor({ timeout: 10000 });
  expect(!(await paired.evaluate(() => window.isSecureContext)) && !link.includes("127.0.0.1"), `on plain http the browser keeps no page: ${new URL(link).origin} is no secure context`);

  let total = await all();
  const stood = await heading();
  await server.kill();
  await stands("offline");
  await press();
  await press();
  await paired.getByRole("textbox", { name: "measured" }).fill("77,7");
  await paired.locator(".phone-measured button[type=submit]").click();
  if (await paired.locator(".phone-measured .problem").count()) await paired.locator(".phone-measured button[type=submit]").click();
  await stands("offline, 3 waiting");
  await paired.locator(".phone-picture").waitFor({ timeout: 10000 });
  expect((await heading()) !== stood, "the page that is open goes on without the server, with its steps and pictures");
  await picture(paired, "network-without-server");
  const opened = await paired.goto(`${new URL(link).origin}/#phone`).then(() => paired.reload()).then(() => true, () => false);
  expect(!opened, "put away and opened again it is not there without the server, as docs/serve.md says");
  server = await serve(program, data, server.port, ["--open-network"]);
  await paired.goto(`${new URL(link).origin}/#phone`);
  await paired.reload();
  await soon("what it had not brought is still there then, and is brought", async () => (await all()) === total + 2 && [...(await log(first.id)), ...(await log(second))].some((l) => l.typed === "77,7"));
  await stands("up to date");

  // switched off at the machine: only the live socket can tell
  await listens();
  total = await all();
  await paired.route("**/api/**", (route) => route.abort());
  await api("network", { on: false });
  const not = paired.locator(".phone-not");
  await not.getByText("switched off at the machine").waitFor({ timeout: 20000 });
  await press();
  await not.locator("li").waitFor();
  expect(/^network off, 1 waiting/.test(await paired.locator(".phone-head [role=status]").innerText()), `a phone whose network was switched off says so, and what was not delivered: ${(await not.locator("li").innerText()).replace(/\s+/g, " ")}`);
  await picture(paired, "network-off");
  await axe(paired, "the network switched off");
  await paired.unroute("**/api/**");
  await api("network", { on: true });
  await soon("switched on again it is brought without a press", async () => (await all()) === total + 1);
  await stands("up to date");

  // withdrawn: the live socket tells it at once
  await listens();
  total = await all();
  await paired.route("**/api/**", (route) => route.abort());
  await fetch(`${server.address}/api/pairing/${token_id}`, { method: "DELETE" });
  await not.getByText("was withdrawn at the machine").waitFor({ timeout: 20000 });
  await paired.unroute("**/api/**");
  expect(/Everything that was done here has been delivered/.test(await not.innerText()), "a withdrawn phone says so, and that nothing is left to deliver");
  const ticked = (await heading()).slice(0, 20);
  await press();
  await not.locator("li").waitFor();
  expect((await not.innerText()).includes(ticked), `and which ticks were not delivered: ${(await not.locator("li").innerText()).replace(/\s+/g, " ")}`);
  await picture(paired, "withdrawn");
  await axe(paired, "a withdrawn phone");
  const anew = await api("pairing", {});
  await paired.goto(anew.link);
  await paired.reload();
  await soon("paired again it brings them", async () => (await all()) === total + 1);
  await outside.close();
} else {
  console.log("skip the phone by the network: this machine has no network address");
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
await end(browser, server, "the phone keeps its word");

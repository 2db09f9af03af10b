// What a clumsy day brings: two entries in one field within a blink, the server away while one types, the page reloaded, two
// windows at the same key, two forks pressed quickly, the way back to an old revision. Nothing may be lost without a word.
//
//   node web/e2e/losing.mjs PROGRAM [FOLDER for pictures]
import { launch, listen } from "./browser.mjs";
import { axe, complaints, end, expect, pictureTaker, soon } from "./checks.mjs";
import { folder, serve } from "./server.mjs";

const [program, pictures] = process.argv.slice(2);
const picture = pictureTaker(pictures, "losing-");

const kKey = "over_locknut";
const data = folder();
let server = await serve(program, data, 0);
const browser = await launch({ solid: false });
const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });

async function opened(where = context) {
  const page = await where.newPage();
  listen(page, complaints);
  page.sockets = new Set();
  page.on("websocket", (s) => {
    page.sockets.add(s);
    s.on("close", () => page.sockets.delete(s));
  });
  await page.goto(server.address);
  await page.locator(".table svg path.stroke").first().waitFor();
  return page;
}
const state = (page, words) => page.locator(".state b").filter({ hasText: words }).waitFor({ timeout: 20000 });
const field = (page, tag, name) => page.getByRole("region", { name: `Fields of ${tag}` }).getByRole("textbox", { name: new RegExp(`^${name}\\b`) }).first();
async function openTag(page, tag) {
  if (await page.getByRole("region", { name: `Fields of ${tag}` }).isVisible()) return;
  await page.locator(".tag", { has: page.locator(".tag-name", { hasText: new RegExp(`^${tag}`) }) }).click();
}
async function enter(page, tag, name, typed) {
  await openTag(page, tag);
  const input = field(page, tag, name);
  await input.fill(typed);
  await input.press("Enter");
}
const jobs = async () => (await fetch(`${server.address}/api/jobs`)).json();
const whole = async (id) => (await fetch(`${server.address}/api/jobs/${id}`)).json();
async function stands(id, key) {
  const { toml } = await whole(id);
  return (toml.match(new RegExp(`^${key}\\s*=\\s*(.*?)\\s*(#.*)?$`, "m"))?.[1] ?? "").replace(/"/g, "");
}
const edit = async (id, key, typed) => fetch(`${server.address}/api/jobs/${id}/edits`, {
  method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ base: 0, edits: [{ key, typed }] }),
});

const page = await opened();
const id = (await jobs())[0].id;

// two entries in one field, one quickly after the other
for (const [a, b] of [["101", "102"], ["103", "104.5"], ["4 1/4 in", "106,5"]]) {
  await openTag(page, "hub");
  const input = field(page, "hub", "over locknut");
  const begun = Date.now();
  await input.fill(a);
  await input.press("Enter");
  await input.fill(b);
  await input.press("Enter");
  const took = Date.now() - begun;
  await state(page, /^saved$/);
  expect((await stands(id, kKey)).startsWith(b) && (await page.locator(".asking").count()) === 0 && (await input.inputValue()) === b,
    `two entries within ${took} ms: ${b} stands on the disk and in the field, nobody is asked`);
}

// within a blink, quicker than any hand
{
  const took = await page.evaluate(async () => {
    const input = document.activeElement, put = Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, "value").set;
    const key = (name) => input.dispatchEvent(new KeyboardEvent("keydown", { key: name, bubbles: true, cancelable: true }));
    const begun = performance.now();
    for (const typed of ["107", "108", "109"]) {
      put.call(input, typed);
      input.dispatchEvent(new Event("input", { bubbles: true }));
      key("Enter");
      await new Promise((r) => setTimeout(r));
    }
    return performance.now() - begun;
  });
  await page.waitForTimeout(100);
  await state(page, /^saved$/);
  expect((await stands(id, kKey)) === "109" && (await page.locator(".asking").count()) === 0, `three entries within ${took.toFixed(0)} ms: the last stands, nobody is asked`);
}

// the same without a server, and the page closed on it
await server.kill();
await state(page, /^offline$/);
await enter(page, "hub", "over locknut", "111");
await enter(page, "hub", "over locknut", "112");
await enter(page, "hub", "axle", "9");
await field(page, "steering", "offset").count();
await openTag(page, "steering");
await field(page, "steering", "offset").fill("47");
expect((await page.locator(".state b").innerText()) === "offline, 2 waiting", `an entry that waits is replaced by the next of its field: ${await page.locator(".state b").innerText()}`);
await picture(page, "offline");
await page.waitForTimeout(400);
let warned = 0;
page.on("dialog", (d) => {
  if (d.type() === "beforeunload") ++warned;
  void d.accept();
});
await page.reload().catch(() => undefined);
expect(warned === 1, "who leaves with something that is not saved is warned");
const asking = page.locator(".asking");
await asking.waitFor({ timeout: 20000 });
expect(/can't be reached/.test(await asking.innerText()), `the page opens without the server, and says what waits: ${(await asking.innerText()).replace(/\s+/g, " ")}`);
await picture(page, "without-server");
server = await serve(program, data, server.port);
await page.locator(".table svg path.stroke").first().waitFor({ timeout: 20000 });
await soon("what was entered without a server, before the page was reloaded, is on the disk", async () => (await stands(id, kKey)) === "112" && (await stands(id, "axle")) === "9");
await asking.getByText("was typed before the page was closed").waitFor();
await picture(page, "draft");
expect((await stands(id, "offset")) !== "47", "what was typed and not entered is not entered by itself");
await asking.getByRole("button", { name: "enter it" }).click();
await state(page, /^saved$/);
expect((await stands(id, "offset")) === "47", "the draft is still there, and one press enters it");
await page.reload();
await page.locator(".table svg path.stroke").first().waitFor();
expect(warned === 1 && (await asking.count()) === 0, "with everything saved nobody is warned, and nothing waits any more");

// two windows, the same key
const other = await opened();
await openTag(page, "hub");
await openTag(other, "hub");
await field(page, "hub", "over locknut").fill("115"); // typing has begun here
await enter(other, "hub", "over locknut", "120");
await state(other, /^saved$/);
await page.waitForTimeout(500); // the news is there before it is entered
await field(page, "hub", "over locknut").press("Enter");
await asking.getByText("was changed in another window").waitFor();
expect((await stands(id, kKey)) === "120", "the same key in two windows: what the other entered is not overwritten");
expect(/There now: 120\. Typed here: 115/.test((await asking.innerText()).replace(/\s+/g, " ")) && (await page.locator(".state b").innerText()) === "1 not saved",
  `it is asked about: ${(await asking.innerText()).replace(/\s+/g, " ")}`);
expect((await page.locator(".field .problem").count()) === 0 && (await page.locator(".field.wrong").count()) === 1, "it is asked in one place; its field is only marked");
await axe(page, "a question about a key that was changed in another window");
for (const colorScheme of pictures ? ["dark", "light"] : []) {
  await page.emulateMedia({ colorScheme });
  for (const [width, height] of [[390, 844], [1024, 768], [1440, 900]]) {
    await page.setViewportSize({ width, height });
    await page.waitForTimeout(300);
    await picture(page, `asked-${colorScheme}-${width}`);
  }
}
await edit(id, "hub.over_locknut", "121"); // a third meanwhile: the answer is to what was seen
await page.waitForTimeout(500);
await asking.getByRole("button", { name: "make it 115" }).click();
await asking.getByText("There now: 121").waitFor();
await asking.getByRole("button", { name: "make it 115" }).click();
await soon("one press takes the one typed here, once what is there was seen", async () => (await stands(id, kKey)) === "115");
await asking.waitFor({ state: "detached" });
await enter(other, "hub", "axle", "10");
await field(page, "hub", "over locknut").fill("116");
await enter(other, "steering", "offset", "48");
await field(page, "hub", "over locknut").press("Enter");
await state(page, /^saved$/);
expect((await stands(id, kKey)) === "116" && (await stands(id, "offset")) === "48" && (await asking.count()) === 0, "different keys in two windows are merged");

// undo is of what is seen
await page.route("**/api/live**", () => undefined);
const before = await whole(id);
const stale = await page.evaluate(async ([job, base]) => (await fetch(`/api/jobs/${job}/undo`, { method: "POST", body: JSON.stringify({ base }) })).status, [id, before.revision - 1]);
expect(stale === 409 && (await whole(id)).revision === before.revision, "undo on a revision that is not the newest does nothing");
await page.unroute("**/api/live**");
await openTag(page, "hub");
await field(page, "hub", "over locknut").fill("117");
await field(page, "hub", "over locknut").press("Enter");
await field(page, "hub", "over locknut").press("Escape");
await page.getByRole("button", { name: "undo", exact: true }).click();
await soon("an entry and undo quickly after it leave what was there before", async () => (await stands(id, kKey)) === "116" && (await whole(id)).revision === before.revision + 2);

// a name, and its undo
const called = (await jobs()).find((j) => j.id === id).name;
await edit(id, "job.name", "for the ferry");
await page.locator(".title-block .name b", { hasText: "for the ferry" }).waitFor();
await page.getByRole("button", { name: "undo", exact: true }).click();
await page.locator(".title-block .name b", { hasText: called }).waitFor();
await page.locator(".title-block .name").click();
await page.locator(".job-list .here b", { hasText: called }).waitFor();
expect((await page.locator(".job-open", { hasText: "for the ferry" }).count()) === 0, "a name that was undone does not stand in the list of forks any more");
await page.getByRole("button", { name: "Close", exact: true }).click();

// back to any revision in one press
await page.locator("button.cell", { hasText: "revision" }).click();
const list = page.getByRole("region", { name: "Revisions" });
await list.locator("li").nth(3).waitFor();
await axe(page, "the revisions");
await picture(page, "revisions");
const first = await whole(id);
await list.getByRole("button", { name: "Go back to revision 1", exact: true }).click();
const then = await fetch(`${server.address}/api/jobs/${id}/revisions`).then((r) => r.json());
await soon("one press goes back to the first revision", async () => (await whole(id)).paper === then.find((r) => r.revision === 1).paper && (await whole(id)).revision === first.revision + 1);
await page.locator("button.cell .on-paper", { hasText: (await whole(id)).paper }).waitFor();
const sheets = await fetch(`${server.address}/api/jobs/${id}/sheets`).then((r) => r.json());
const svg = await fetch(`${server.address}/api/jobs/${id}/sheets/${sheets.find((s) => s.name.endsWith(".svg")).name}`).then((r) => r.text());
const now = await whole(id), both = `${now.revision} (${now.paper})`;
const shown = (await page.locator("button.cell", { hasText: "revision" }).locator("b").innerText()).replace(/\s+/g, " ");
expect(svg.includes(both) && shown === both, `the sheets bear what the page shows: ${shown}`);
await page.getByRole("button", { name: "undo", exact: true }).click();
await soon("undo takes the way back back", async () => (await whole(id)).paper === first.paper);
await list.getByRole("button", { name: "Close revisions" }).click();

// two forks pressed quickly
for (const name of ["second", "third"]) await fetch(`${server.address}/api/jobs`, { method: "POST", body: JSON.stringify({ name, from: id }) });
page.sockets.clear(); // those of the page before
await page.reload();
await page.locator(".table svg path.stroke").first().waitFor();
await page.locator(".title-block .name").click();
await page.locator(".job-open", { hasText: "third" }).waitFor();
let late = true; // the first answer comes after the second
await page.route(/\/api\/jobs\/[^/]+$/, async (route) => {
  if (late) {
    late = false;
    await new Promise((r) => setTimeout(r, 700));
  }
  await route.continue();
});
await page.evaluate(() => {
  const press = (name) => [...document.querySelectorAll(".job-open")].find((b) => b.textContent.includes(name)).click();
  press("second");
  press("third");
});
await page.waitForTimeout(1800);
expect((await page.locator(".title-block .name b").innerText()) === "third" && page.sockets.size === 1, `two forks pressed quickly: the last is on the table, with one live socket (${page.sockets.size})`);
const third = (await jobs()).find((j) => j.name === "third").id;
await enter(page, "hub", "over locknut", "131");
await state(page, /^saved$/);
expect((await stands(third, kKey)) === "131" && (await stands(id, kKey)) === "116", "what is entered goes into the fork that is seen");
await page.unroute(/\/api\/jobs\/[^/]+$/);

// entered without a server, then another fork is opened: it reaches its own fork all the same
await server.kill();
await state(page, /^offline$/);
await enter(page, "hub", "over locknut", "132");
await page.waitForTimeout(300);
await page.evaluate((job) => localStorage.setItem("halfround.job", job), id); // the page opens on another one
await page.close({ runBeforeUnload: false });
server = await serve(program, data, server.port);
const again = await opened();
expect((await again.locator(".title-block .name b").innerText()) !== "third", "the page opens on another fork");
await soon("what waited for a fork that is not open is brought to it", async () => (await stands(third, kKey)) === "132" && (await stands(id, kKey)) === "116");
expect((await again.locator(".asking").count()) === 0, "and nothing is asked about it");

await end(browser, server, "nothing lost");

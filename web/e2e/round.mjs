// Once round the page, as a builder goes: a fork from nothing, hub and tyre changed, the server killed in between, undo,
// the sheets, a phone paired, a step ticked there and seen here; nothing for axe to find, light and dark.
//
//   node web/e2e/round.mjs PROGRAM [FOLDER for pictures]
import { launch, listen } from "./browser.mjs";
import { axe, complaints, end, expect, pictureTaker } from "./checks.mjs";
import { folder, serve } from "./server.mjs";

const [program, pictures] = process.argv.slice(2);
const picture = pictureTaker(pictures);

/** The fork has been drawn and stands in sight: a stroke is there before it is fitted to the table. */
const drawn = (page) => page.waitForFunction(() => {
  const table = document.querySelector(".table svg")?.getBoundingClientRect();
  if (!table) return true;
  const inSight = [...document.querySelectorAll(".table svg path.stroke")].map((p) => p.getBoundingClientRect()).filter((b) =>
    b.width + b.height > 20 && b.right > table.left && b.left < table.right && b.bottom > table.top && b.top < table.bottom);
  return inSight.length > 10;
}, null, { timeout: 15000 });

const inTheBook = (page) => page.locator(".state b").filter({ hasText: /^saved$/ }).waitFor({ timeout: 15000 });
const close = (page) => page.getByRole("button", { name: "Close", exact: true }).click();

async function type(page, tag, field, typed, taken = inTheBook) {
  const open = page.getByRole("region", { name: `Fields of ${tag}` });
  if (!(await open.isVisible())) await page.locator(".tag", { has: page.locator(".tag-name", { hasText: new RegExp(`^${tag}`) }) }).click();
  const input = open.getByRole("textbox", { name: new RegExp(`^${field}\\b`) }).first();
  await input.fill(typed);
  await input.press("Enter");
  await taken(page);
}
const notTaken = (page) => page.locator(".state b").filter({ hasText: /^1 not saved$/ }).waitFor({ timeout: 15000 });
const value = (page, key) => page.evaluate(async (k) => {
  const jobs = await (await fetch("/api/jobs")).json();
  const name = document.querySelector(".title-block .name b").textContent;
  const id = jobs.find((j) => j.name === name).id;
  const text = await (await fetch(`/api/jobs/${id}/job.toml`)).text();
  return text.match(new RegExp(`^${k}\\s*=\\s*(.*)$`, "m"))?.[1] ?? null;
}, key);

const data = folder();
let server = await serve(program, data, 0); // any free port
const browser = await launch();
const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
const page = await context.newPage();
listen(page, complaints);

await page.goto(server.address);
await page.locator(".table svg path.stroke").first().waitFor();
await drawn(page);
expect((await page.title()).length > 0, "opens on a living fork");
await picture(page, "first");
await axe(page, "the table, light");

// from nothing
await page.locator(".title-block .name").click();
await page.getByLabel("Name of the new one").fill("round about");
await page.getByRole("button", { name: "start from the plain fork" }).click();
await page.locator(".title-block .name b", { hasText: "round about" }).waitFor();
await page.locator(".table svg path.stroke").first().waitFor();
expect(true, "a fork from the plain one");
await picture(page, "begun");

// hub and tyre
await type(page, "hub", "over locknut", "4 1/4 in");
expect((await value(page, "over_locknut"))?.includes("4 1/4 in"), "the hub stands as it was typed");
const before = await value(page, "tyre");
await type(page, "tyre", "tyre", "50-559");
expect((await value(page, "tyre")) === '"50-559"', "the tyre is another");

const questions = await page.locator(".first-five button").allInnerTexts();
expect(!questions.includes("hub ?") && !questions.includes("tyre ?") && questions.includes("offset ?"), `what was typed is not asked for any more: ${questions.join(", ")}`);

// typed by hand, the drawing comes with the key, and is the one that comes to who pastes the same
const hub = page.getByRole("region", { name: "Fields of hub" }).getByRole("textbox", { name: /^over locknut\b/ });
await page.evaluate(() => (globalThis.outline = () => [...document.querySelectorAll(".group-outline path")].map((p) => p.getAttribute("d")).join()));
const outline = () => page.evaluate(() => globalThis.outline());
await page.locator(".tag", { has: page.locator(".tag-name", { hasText: /^hub/ }) }).click();
await hub.fill("10");
await page.waitForTimeout(1500); // time enough to foresee
const stood = await outline();
const withTheKey = page.evaluate(() => new Promise((done) => globalThis.addEventListener("input", () => // behind the page's own
  done(globalThis.outline()), { once: true })));
await hub.press("4");
const foreseen = await withTheKey;
expect(foreseen !== stood, "the drawing changes with the key itself");
await page.waitForTimeout(500);
expect((await outline()) === foreseen && (await page.locator(".state b").innerText()) === "trying", "its numbers leave it as it is");
await hub.fill("110");
await page.waitForFunction((was) => globalThis.outline() !== was, foreseen, { timeout: 10000 });
await hub.fill("104");
await page.waitForFunction((wanted) => globalThis.outline() === wanted, foreseen, { timeout: 10000 });
expect(true, "it is what comes to who pastes the same");
await hub.press("Escape");

// what stops the fork at another tag is said where one types
await type(page, "steering", "axle to crown", "300");
const elsewhere = page.locator(".fields .stops");
await elsewhere.waitFor();
expect(/clearance/.test(await elsewhere.innerText()), `a fork stopped elsewhere is said at the open tag: ${(await elsewhere.innerText()).replace(/\s+/g, " ").slice(0, 110)}`);
await axe(page, "a fork stopped elsewhere");
await page.getByRole("button", { name: "undo", exact: true }).click();
await elsewhere.waitFor({ state: "detached" });
await inTheBook(page);

// a wish that can't be had is answered at its field
await type(page, "steering", "axle to crown", "900", notTaken);
const refused = page.locator(".problem, .stops").first();
await refused.waitFor();
expect((await refused.innerText()).length > 20, `what can't be had is said: ${(await refused.innerText()).replace(/\s+/g, " ").slice(0, 110)}`);
await picture(page, "refused");
await axe(page, "a refusal");
const input = page.getByRole("region", { name: "Fields of steering" }).getByRole("textbox", { name: /^axle to crown\b/ }).first();
await input.press("Escape");
await inTheBook(page);

// killed, and up again
await server.kill();
await page.locator(".state b.down").waitFor({ timeout: 15000 });
expect(true, "the page says that the line is down");
server = await serve(program, data, server.port);
await page.locator(".state b:not(.down)").waitFor({ timeout: 30000 });
await inTheBook(page);
expect((await value(page, "tyre")) === '"50-559"', "kill -9 lost nothing");

// undo survives it
await page.getByRole("button", { name: "undo", exact: true }).click();
await page.waitForFunction(async (was) => {
  const jobs = await (await fetch("/api/jobs")).json();
  const id = jobs.find((j) => j.name === "round about").id;
  return (await (await fetch(`/api/jobs/${id}/job.toml`)).text()).includes(`tyre = ${was}`);
}, before, { timeout: 10000 });
expect(true, "undo after the restart");
await page.getByRole("button", { name: "redo", exact: true }).click();
await inTheBook(page);

// the drawing is another in every view
await page.getByRole("button", { name: "Close steering" }).click();
for (const name of ["side", "template left", "section", "front"]) {
  await page.getByRole("button", { name, exact: true }).click();
  await page.waitForTimeout(250);
  expect((await page.locator(".table svg path.stroke").count()) > 2, `drawn: ${name}`);
}
const overlays = { stress: "+ stress", sweep: "+ tyre room" };
for (const [over, name] of Object.entries(overlays)) {
  await page.getByRole("button", { name, exact: true }).click();
  await page.locator(`.group-over-${over} path`).first().waitFor();
}
expect(true, "stress and tyre room lie over the drawing");
await picture(page, "over");
for (const name of Object.values(overlays)) await page.getByRole("button", { name, exact: true }).click();
await page.getByRole("button", { name: "solid", exact: true }).click();
await page.locator("canvas").first().waitFor({ timeout: 20000 });
await page.waitForTimeout(800);
await picture(page, "solid");
expect(true, "the solid turns up");
/** How many pieces of the fork a level line just above the axle meets. */
async function pieces() {
  await page.waitForTimeout(500);
  const shot = (await page.locator("canvas").first().screenshot()).toString("base64");
  return page.evaluate(async (data) => {
    const image = new Image();
    image.src = `data:image/png;base64,${data}`;
    await image.decode();
    const { width, height } = image;
    const paper = new OffscreenCanvas(width, height).getContext("2d");
    paper.drawImage(image, 0, 0);
    const row = paper.getImageData(0, Math.round(0.7 * height), width, 1).data;
    const away = (x) => Math.abs(row[4 * x] - row[0]) + Math.abs(row[4 * x + 1] - row[1]) + Math.abs(row[4 * x + 2] - row[2]) > 40;
    let runs = 0;
    for (let x = 1; x < width; ++x) if (away(x) && !away(x - 1)) ++runs;
    return runs;
  }, shot);
}
await page.getByRole("button", { name: "ahead", exact: true }).click();
expect((await pieces()) === 2, "from ahead one sees two blades");
await page.getByRole("button", { name: "left", exact: true }).click();
expect((await pieces()) === 1, "from the left they stand behind each other");
await page.getByRole("button", { name: "ahead", exact: true }).click();
await page.locator(".solid select").selectOption("x");
expect((await pieces()) === 1, "cut from the left, the left blade is away");
await picture(page, "solid-cut");
await page.getByRole("button", { name: "front", exact: true }).click();

// mending: cut short, said in the log, taken up by a way
await page.getByRole("button", { name: "shop log", exact: true }).click();
await page.getByRole("textbox", { name: "What" }).fill("left blade cut short");
await page.getByRole("textbox", { name: "Measured" }).fill("1,6");
await page.getByRole("button", { name: "write it down" }).click();
await page.getByRole("button", { name: /^it is so: left blade, short by/ }).click();
await page.locator(".way").first().waitFor({ timeout: 20000 });
expect((await value(page, "short_by"))?.includes("1,6"), "a line of the log becomes a fact of the job");
await picture(page, "mending");
await axe(page, "mending");
await page.getByRole("button", { name: "take way 1" }).click();
await page.waitForFunction(() => /^Taken/.test(document.querySelector(".page > [role=status].away")?.textContent ?? ""), null, { timeout: 15000 });
await inTheBook(page);
expect((await value(page, "short_by")) === null, "one press takes a way: the shortfall became a length");
await page.locator(".said li", { hasText: "left blade, length" }).waitFor();
await page.getByRole("button", { name: "Close mending" }).click();
await page.getByRole("button", { name: /^cut/ }).click();
await page.getByRole("button", { name: /^steps/ }).click();
await page.getByRole("button", { name: "I cut it short" }).click();
await page.locator(".way").first().waitFor({ timeout: 20000 });
expect(true, "mending is reached from the order of work");
await page.getByRole("button", { name: /^steps/ }).click();
await page.getByRole("button", { name: "Close mending" }).click();

// a tyre traced, a picture under it
await page.keyboard.press("Control+k");
await page.keyboard.type("trace");
await page.keyboard.press("Enter");
const paper = page.locator(".trace-paper svg");
await paper.waitFor();
const press = async (x, y) => {
  const at = await paper.evaluate((svg, [u, v]) => {
    const p = new DOMPoint(u, v).matrixTransform(svg.getScreenCTM());
    return [p.x, p.y];
  }, [x, y]);
  await page.mouse.click(...at);
};
await page.locator("input[type=file]").setInputFiles(new URL("../../docs/pictures/template.png", import.meta.url).pathname);
await paper.locator("image").waitFor();
await press(-10, 10);
await press(30, 10);
await page.getByRole("textbox", { name: "between them" }).fill("50");
await page.getByRole("button", { name: "that long" }).click();
await press(0, 4);
await press(0, 40);
await page.getByText("It lies true.").waitFor();
expect(true, "a picture lies under the grid, true to scale");
for (const [x, y] of [[12, 3], [-20.1, 9.9], [25, 20], [26, 34], [21, 44]]) await press(x, y);
await page.getByRole("button", { name: /^Point 6/ }).focus();
await page.keyboard.press("ArrowLeft");
await page.keyboard.press("Shift+ArrowDown");
await page.getByLabel("outside diameter of the tyre").fill("655");
await page.waitForTimeout(400);
await picture(page, "tracing");
await axe(page, "tracing");
await page.getByRole("button", { name: "keep this profile" }).click();
await inTheBook(page);
const profile = await value(page, "half_profile");
expect(profile === "[[0, 0], [12, 3], [20, 10], [25, 20], [26, 34], [20, 44.1]]", `the traced profile stands in the job: ${profile}`);
await page.getByRole("button", { name: "undo", exact: true }).click();
await page.waitForFunction(() => /^saved$/.test(document.querySelector(".state b").textContent));

// the shop's library
{
  await page.getByRole("button", { name: "shop", exact: true }).click();
  await page.locator(".thing").first().waitFor();
  const things = await page.locator(".thing").count();
  await page.getByRole("button", { name: "add a cutter" }).click();
  const made = page.getByRole("region", { name: "A new cutter" });
  await made.getByRole("combobox", { name: /^kind/ }).selectOption("end mill");
  await made.getByRole("textbox", { name: /^diameter/ }).fill("7/8 in");
  await made.getByRole("button", { name: "put it on the shelf" }).click();
  await page.locator("li.thing").nth(things).waitFor();
  const shelf = page.locator("li.thing.open");
  await shelf.getByRole("textbox", { name: /^lot/ }).fill("K 12");
  await shelf.getByRole("textbox", { name: /^measured/ }).fill("22.4");
  await shelf.getByRole("textbox", { name: /^measured/ }).press("Enter");
  await shelf.locator(".thing-size b", { hasText: "22.4" }).waitFor();
  expect(await shelf.getByText("sold as 7/8 in").isVisible(), "a tool is put on the shelf with its lot and what was measured");
  await picture(page, "library");
  await axe(page, "the library");
  const diameter = shelf.getByRole("textbox", { name: /^diameter/ });
  await diameter.fill("wide");
  await diameter.press("Enter");
  await shelf.locator(".problem").waitFor();
  expect((await diameter.inputValue()) === "wide", "what is no length stays in its cell, and why is said");
  await diameter.press("Escape");
  await page.getByRole("button", { name: /^fixtures/ }).click();
  await page.locator(".thing").first().waitFor();
  await axe(page, "a shelf of fixtures");
  await close(page);
}

// long work can be stopped
await page.route("**/sheets", async (route) => {
  await new Promise((r) => setTimeout(r, 1500));
  await route.continue().catch(() => undefined);
});
await page.getByRole("button", { name: "print", exact: true }).click();
await page.getByRole("button", { name: "stop", exact: true }).click();
await page.getByRole("button", { name: "go on", exact: true }).waitFor();
await axe(page, "sheets that were stopped");
await page.unroute("**/sheets");
await page.getByRole("button", { name: "go on", exact: true }).click();
await page.getByRole("link", { name: "open the PDF to print" }).waitFor({ timeout: 30000 });
expect(true, "long work is stopped, and taken up again");
await close(page);

// command search
await page.keyboard.press("Control+k");
await page.getByRole("dialog").waitFor();
await picture(page, "find");
await axe(page, "the search");
await page.keyboard.press("Escape");

// help
await page.keyboard.press("Control+k");
await page.keyboard.type("help");
await page.keyboard.press("Enter");
const help = page.locator(".help");
await help.getByText("Make it yours.").waitFor();
await picture(page, "help");
await axe(page, "the help");
await page.getByRole("button", { name: "What can hurt" }).click();
await help.getByText(/fumes/).waitFor();
expect(/closed tube/.test(await help.innerText()) && /fails hurts/.test(await help.innerText()), "help says what can hurt: fumes, hot closed tubes, a fork that fails");
await page.getByRole("button", { name: "Where to measure" }).click();
await help.locator("img.measuring").nth(8).waitFor();
await picture(page, "help-measure");
await axe(page, "where to measure");
await close(page);

// print
await page.getByRole("button", { name: "print", exact: true }).click();
const pdf = page.getByRole("link", { name: "open the PDF to print" });
await pdf.waitFor({ timeout: 30000 });
const bytes = await page.evaluate(async (href) => {
  const r = await fetch(href);
  const b = new Uint8Array(await r.arrayBuffer());
  return [r.status, String.fromCharCode(...b.slice(0, 5)), b.length];
}, await pdf.getAttribute("href"));
expect(bytes[0] === 200 && bytes[1] === "%PDF-" && bytes[2] > 5000, `a PDF to print, ${bytes[2]} bytes`);
await page.waitForTimeout(600);
await picture(page, "sheets");
await axe(page, "the sheets");
await close(page);

// a printer is taught, and another tab knows it by its name
await page.getByRole("button", { name: "print", exact: true }).click();
await page.getByRole("button", { name: "Teach it the printer" }).click();
await page.getByRole("textbox", { name: "across" }).fill("99,6");
await page.getByRole("textbox", { name: "up" }).fill("100.2");
await page.getByRole("textbox", { name: "paper's thickness" }).fill("0.11");
await page.getByRole("textbox", { name: "printer", exact: true }).fill("the one by the door");
await page.getByRole("button", { name: "remember this printer" }).click();
await page.getByText("The sheets are now made for the one by the door.").waitFor({ timeout: 10000 });
await inTheBook(page);
const printer = await Promise.all(["bar_x", "bar_y", "paper_thickness"].map((k) => value(page, k)));
expect(/99,6/.test(printer[0]) && /100\.2/.test(printer[1]) && /0\.11/.test(printer[2]), `the printer stands in the job: ${printer.join(", ")}`);
await picture(page, "printer");
await axe(page, "the printer");
// the corrected print comes out right: nothing moves
for (const name of ["across", "up"]) await page.getByRole("textbox", { name }).fill("100");
await page.getByRole("textbox", { name: "printer", exact: true }).fill("the one by the door");
await page.getByRole("button", { name: "remember this printer" }).click();
await page.waitForFunction(() => document.querySelector(".calibrate input").value === "");
await inTheBook(page);
expect(/^99\.6\b/.test(await value(page, "bar_x")), `a corrected print that measures 100 leaves the correction as it is: ${await value(page, "bar_x")}`);
await close(page);
await page.getByRole("button", { name: "undo", exact: true }).click();
await page.getByRole("button", { name: "undo", exact: true }).click();
await page.waitForFunction(async () => {
  const id = (await (await fetch("/api/jobs")).json()).find((j) => j.name === "round about").id;
  return !/^bar_x/m.test(await (await fetch(`/api/jobs/${id}/job.toml`)).text());
}, null, { timeout: 10000 });
const other = await (await browser.newContext({ viewport: { width: 1440, height: 900 } })).newPage();
listen(other, complaints);
await other.goto(server.address);
await other.locator(".title-block .name b").waitFor();
await other.getByRole("button", { name: "print", exact: true }).click();
await other.getByRole("button", { name: "Teach it the printer" }).click();
const shopPrinters = await other.evaluate(async () => (await (await fetch("/api/shop")).json()).toml.match(/the one by the door/g).length);
await other.getByRole("button", { name: /^the one by the door/ }).click();
await other.getByText("The sheets are now made for the one by the door.").waitFor();
await other.locator(".state b").filter({ hasText: /^saved$/ }).waitFor();
expect(shopPrinters === 1, "a browser that never saw it knows the printer, once");
await other.context().close();

// the phone
await page.getByRole("button", { name: "phone", exact: true }).click();
await page.getByRole("button", { name: "switch the shop network on" }).click();
await page.getByRole("button", { name: "pair a phone" }).click();
await page.locator(".link-words").waitFor();
await picture(page, "pairing");
const link = (await page.locator(".link-words").innerText()).trim();
const small = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
const phone = await small.newPage();
listen(phone, complaints);
await phone.goto(link);
await phone.locator(".phone-step h1").waitFor({ timeout: 20000 });
const fork = phone.getByRole("combobox", { name: "Fork", exact: true });
if (await fork.count()) await fork.selectOption({ label: "round about" });
await phone.waitForTimeout(700);
expect(!phone.url().includes("token="), "the token is taken out of the address");
await picture(phone, "phone");
await axe(phone, "the phone");
await close(page);
const ticked = () => page.evaluate(async () => {
  const jobs = await (await fetch("/api/jobs")).json();
  const id = jobs.find((j) => j.name === "round about").id;
  return Object.values((await (await fetch(`/api/jobs/${id}/steps`)).json()).steps).filter((t) => t.done).length;
});
await phone.getByRole("button", { name: "done", exact: true }).click();
await page.waitForFunction(() => /^1 of/.test(document.querySelector(".stage-count")?.textContent ?? ""), null, { timeout: 10000 });
expect((await ticked()) === 1, "a step ticked on the phone is seen at the bench at once");

// off the line for a moment
await small.setOffline(true);
await phone.getByRole("button", { name: "done", exact: true }).click();
await phone.waitForTimeout(300);
await small.setOffline(false);
for (let i = 0; i < 60 && (await ticked()) < 2; ++i) await phone.waitForTimeout(500);
expect((await ticked()) === 2, "what was ticked without a line is merged");

// withdrawn at once
await page.getByRole("button", { name: "phone", exact: true }).click();
const status = await phone.evaluate(() => fetch("/api/jobs", { headers: { Authorization: `Bearer ${localStorage.getItem("halfround.token")}` } }).then((r) => r.status));
await page.evaluate(() => fetch("/api/pairing/1", { method: "DELETE" }));
const after = await phone.evaluate(() => fetch("/api/jobs", { headers: { Authorization: `Bearer ${localStorage.getItem("halfround.token")}` } }).then((r) => r.status));
expect(status === 200 && after >= 400, `a withdrawn phone is refused at once: ${status}, then ${after}`);
await close(page);

// from the first look to the print by keys alone
const keyed = await (await browser.newContext({ viewport: { width: 1440, height: 900 } })).newPage();
listen(keyed, complaints);
await keyed.goto(server.address);
await keyed.locator(".table svg path.stroke").first().waitFor();
const at = (words) => keyed.waitForFunction((w) => {
  const here = document.activeElement;
  return here.matches("input, a, button") && `${here.getAttribute("aria-label") ?? ""} ${here.labels?.[0]?.textContent ?? ""} ${here.textContent}`.includes(w);
}, words, { timeout: 40000 }); // the sheets are drawn first, which takes its time on a busy machine
const keys = async (...all) => { for (const k of all) await (k.length > 1 && !/^[A-Z]/.test(k) ? keyed.keyboard.type(k) : keyed.keyboard.press(k)); };
await keys("Control+k", "begin one");
await keyed.locator("[role=option]", { hasText: "forks in the book" }).waitFor();
await keys("Enter");
await at("Name of the new one");
await keys("by keys", "Enter");
await at("hub ?");
await keys("Enter");
await at("over locknut");
await keys("4 1/4 in", "Enter");
await keyed.locator(".state b").filter({ hasText: /^saved$/ }).waitFor();
await keys("Escape");
await at("4 1/4 in");
await keys("Control+p");
await at("open the PDF to print");
expect(true, "from the first look to the print by keys alone");
await keyed.context().close();

// dark, and smaller
for (const scheme of ["light", "dark"]) {
  for (const [width, height] of [[1440, 900], [1024, 768], [390, 844]]) {
    const again = await browser.newContext({ viewport: { width, height }, colorScheme: scheme });
    const p = await again.newPage();
    listen(p, complaints);
    await p.goto(server.address);
    await p.locator(".table svg path.stroke").first().waitFor();
    await p.waitForTimeout(500);
    await picture(p, `${scheme}-${width}`);
    await axe(p, `${scheme}, ${width} × ${height}`);
    await again.close();
  }
}
await end(browser, server, "all round");

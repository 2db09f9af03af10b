// Digits typed into the hub's width, and how long it takes until what they change is on the screen.
import { launch } from "../../web/e2e/browser.mjs";

export const kPace = 150, kQuickPace = 100; // ms from one key to the next: eighty words a minute, and a hundred and twenty
export const quantile = (all, q) => [...all].sort((a, b) => a - b)[Math.min(all.length - 1, Math.floor(q * all.length))];
export const both = (all) => `${quantile(all, 0.5).toFixed(1)} / ${quantile(all, 0.99).toFixed(1)} ms`;
export const row = (what, value, goal) => console.log(what.padEnd(80), value.padStart(16), `  goal ${goal}`);

/** The page with the cursor in the hub's width; `early` runs in it before anything else. */
export async function openHub(address, early = () => undefined) {
  const browser = await launch({ solid: false });
  const page = await (await browser.newContext({ viewport: { width: 1440, height: 900 } })).newPage();
  await page.addInitScript(early);
  await page.goto(address);
  await page.locator(".table svg .group-outline path").first().waitFor({ state: "attached" });
  await page.locator(".tag", { hasText: /^hub/ }).click();
  const fields = page.getByRole("region", { name: "Fields of hub" });
  await fields.getByRole("textbox", { name: /^over locknut\b/ }).click();
  await page.waitForTimeout(1500);
  return { browser, page };
}

/** For `early`: of the tries that can be drawn, how many were foreseen. */
export function countForeseen() {
  const tries = (globalThis.tries = { all: 0, foreseen: 0 });
  const Real = globalThis.WebSocket;
  globalThis.WebSocket = class extends Real {
    send(text) {
      const message = JSON.parse(text);
      if (message.do === "try" && message.edits.every((e) => Number(e.typed) >= 100)) ++tries.all, (tries.foreseen += "foreseen" in message ? 1 : 0);
      super.send(text);
    }
  };
}

/** For `early`: nothing is asked for before it is typed. */
export function foreseeNothing() {
  const Real = globalThis.WebSocket;
  globalThis.WebSocket = class extends Real {
    send(text) {
      if (JSON.parse(text).do !== "foresee") super.send(text);
    }
  };
}

/** Notes for every key when the page, the drawing on the screen and the numbers on the screen have changed. */
export function watch(page) {
  return page.evaluate(() => {
    globalThis.times = { changed: [], shown: [], numbers: [] };
    let from = 0, awaited = 0;
    globalThis.addEventListener("keydown", (e) => (from = awaited = e.timeStamp), true);
    const outline = () => [...document.querySelectorAll(".group-outline path")].map((p) => p.getAttribute("d")).join("");
    const painted = (then) =>
      requestAnimationFrame(() => {
        const channel = new MessageChannel(); // after the frame is painted
        channel.port1.onmessage = then;
        channel.port2.postMessage(0);
      });
    let before = outline();
    new MutationObserver(() => {
      const now = outline();
      if (!from || now === before) return;
      before = now;
      const start = from;
      from = 0;
      globalThis.times.changed.push(performance.now() - start);
      painted(() => globalThis.times.shown.push(performance.now() - start));
    }).observe(document.querySelector(".table svg"), { subtree: true, childList: true, attributes: true });
    let told = document.querySelector(".numbers").textContent;
    new MutationObserver(() => {
      const now = document.querySelector(".numbers").textContent;
      if (!awaited || now === told) return;
      told = now;
      const start = awaited;
      awaited = 0;
      painted(() => globalThis.times.numbers.push(performance.now() - start));
    }).observe(document.querySelector(".slip"), { subtree: true, childList: true, characterData: true });
  });
}

const kHeld = 50; // ms a key is held down

/** A key pressed as a hand does it, then a rest: `pace` ms from one key to the next. */
async function press(page, key, pace) {
  await page.keyboard.press(key, { delay: kHeld });
  await page.waitForTimeout(pace - kHeld);
}

/** The last digit taken away and another one typed, so often, from `first` on. */
export async function typeDigits(page, count, first = 0, pace = kPace) {
  for (let i = first; i < first + count; ++i) {
    await press(page, "Backspace", pace);
    await press(page, String(i % 10), pace);
  }
  return page.evaluate(() => ({ ...globalThis.times, tries: globalThis.tries }));
}

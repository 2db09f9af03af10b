// Page logic of the library, of mending and of tracing, and of long questions.
import { describe, expect, test, vi } from "vitest";
import type { Move, Way } from "../src/contract/types";
import type { Fields, LogLine, Row } from "../src/contract/types";
import { groupsOf, offered, saidDone, sidedKey, sideSaid, withRivals, wordsOf } from "../src/job/asBuilt";
import { asking, type Asking } from "../src/job/asking";
import { readFileSync } from "node:fs";
import { manual } from "../src/help/manual";
import { allAsked, stillAsked } from "../src/job/firstSteps";
import { signed } from "../src/job/numbers";
import { inWords, wanted } from "../src/job/tags";
import { fitted } from "../src/table/camera";
import { barOf, dayOf, inUse, kept, printersOf, uncorrected, used } from "../src/job/printers";
import { another, at, cell, insideOf, keyOf, nodeText, pathOf, placesOf, planted, problemsIn, readNode, telling, treeOf } from "../src/job/shelf";
import { added, folded, laidUnder, moved, next, profileText, reach, scaledBy, snapped, stoodUp, traced, without, type Laid, type Point } from "../src/job/trace";
import { allRead, inTheLog, readingsIn } from "../src/job/readings";
import { byHowMuch, moves, needs, priceOf } from "../src/job/ways";

const row = (key: string, more: Partial<Row> = {}): Row =>
  ({ key, form: "length", need: "optional", least: 0, most: 100, fallback: "", choices: [], example: "", meaning: "", picture: "", ...more }) as Row;
const field = (typed: string, assumed = false) => ({ typed, value: Number(typed), form: "length", ...(assumed ? { assumed } : {}) });
const fieldsOf = (all: Record<string, ReturnType<typeof field>>) => all as unknown as Fields;
const line = (what: string, typed = "", key = ""): LogLine => ({ who: "at the mill", what, typed, key });

describe("what is made already", () => {
  test("goes to its side, or to both", () => {
    expect(sidedKey("done.blades.length", "left")).toBe("done.blades.left.length");
    expect(sidedKey("done.inserts.bore", "right")).toBe("done.inserts.right.bore");
    expect(sidedKey("done.blades.length", "both")).toBe("done.blades.length");
    expect(sidedKey("done.offset", "left")).toBe("done.offset");
  });
  test("is what the builder said, not what is assumed", () => {
    const f = fieldsOf({ "done.offset": field("44"), "done.as_cut": field("no", true), "freedoms.offset": field("1"), "hub.axle": field("12") });
    expect(saidDone(f)).toEqual(["done.offset"]);
  });
  test("opens on the side of which something is said", () => {
    expect(sideSaid({}, null)).toBe("left");
    expect(sideSaid(fieldsOf({ "done.blades.right.length": field("371") }), null)).toBe("right");
    expect(sideSaid(fieldsOf({ "done.blades.length": field("371") }), null)).toBe("both");
    expect(sideSaid({}, "done.blades.right.length")).toBe("right");
    expect(sideSaid({}, "done.offset")).toBe("left");
  });
  test("has words", () => {
    expect(wordsOf("done.blades.left.short_by")).toBe("left blade, short by");
    expect(wordsOf("done.inserts.bore")).toBe("both inserts, bore");
    expect(wordsOf("done.axle_to_crown")).toBe("axle to crown");
  });
  test("lies in drawers that exist", () => {
    const groups = groupsOf([row("done.blades.length"), row("done.offset"), row("hub.axle"), row("freedoms.splay")]);
    expect(groups.map((g) => g.name)).toEqual(["blade", "tacked fork", "what may move"]);
  });
});

describe("a line of the shop log", () => {
  test("that says how a piece came out becomes its key", () => {
    expect(offered(line("left blade length 371.2"))).toEqual({ key: "done.blades.left.length", typed: "371.2" });
    expect(offered(line("right blade, lower trim", "12,5"))).toEqual({ key: "done.blades.right.lower_trim", typed: "12,5" });
    expect(offered(line("Left insert: bore 12.1 mm."))).toEqual({ key: "done.inserts.left.bore", typed: "12.1 mm" });
    expect(offered(line("offset on the tacked fork 43,2"))).toEqual({ key: "done.offset", typed: "43,2" });
    expect(offered(line("axle-to-crown 16 in"))).toEqual({ key: "done.axle_to_crown", typed: "16 in" });
    expect(offered(line("steerer cut to length", "9 1/2 in"))).toEqual({ key: "done.steerer_length", typed: "9 1/2 in" });
  });
  test("short by a little is a shortfall, by a lot a length", () => {
    expect(offered(line("left blade cut short", "1.6"))).toEqual({ key: "done.blades.left.short_by", typed: "1.6" });
    expect(offered(line("left blade cut short", "371,2"))).toEqual({ key: "done.blades.left.length", typed: "371,2" });
  });
  test("that says its key is believed, one that says nothing of the kind is left alone", () => {
    expect(offered(line("step 4", "371", "done.blades.length"))).toEqual({ key: "done.blades.length", typed: "371" });
    expect(offered(line("bought rods", "3"))).toBeNull();
    expect(offered(line("left blade cut"))).toBeNull();
  });
  test("takes the other way of saying the same out", () => {
    const f = fieldsOf({ "done.blades.left.short_by": field("1.6") });
    expect(withRivals({ key: "done.blades.left.length", typed: "338" }, f)).toEqual([
      { key: "done.blades.left.length", typed: "338" }, { key: "done.blades.left.short_by", typed: null },
    ]);
    expect(withRivals({ key: "done.offset", typed: "44" }, f)).toHaveLength(1);
    expect(withRivals({ key: "done.inserts.left.length", typed: "20" }, f)).toHaveLength(1);
  });
});

describe("a way to mend", () => {
  const move = (more: Partial<Move>): Move => ({ key: "splay", what: "splay", unit: "deg", was: 2.44, is: 2.69, difference: 0.25, freedom: 0.5, only_a_loss_counts: false, ...more });
  const way = (more: Partial<Way>): Way => ({ title: "", cost: 1, scrapped: 0, cut_again: 0, moves: [], pieces: [], set: [], take_out: [], not_met: [], ...more });
  test("tells moves with sign and unit, and leaves out what stays", () => {
    expect(byHowMuch(move({}))).toBe("+0.25°");
    expect(byHowMuch(move({ unit: "mm", difference: -1.352 }))).toBe("−1.4 mm");
    expect(moves(move({ unit: "mm", difference: 0.01 }))).toBe(false);
  });
  test("says its price", () => {
    expect(priceOf(way({}))).toBe("nothing is lost");
    expect(priceOf(way({ scrapped: 2, not_met: ["a"] }))).toBe("both blades thrown away, a wish not met");
  });
  test("beyond the freedoms says what it would need", () => {
    const over = move({ unit: "mm", what: "offset", difference: -1.6, freedom: 1.5 });
    expect(needs(way({ moves: [over, move({})] }))).toBe("offset −1.6 mm, 1.5 mm is allowed");
    expect(needs(way({ moves: [move({ unit: "mm", difference: 3, freedom: 0, what: "height" })] }))).toBe("height +3.0 mm, it may not move");
    expect(needs(way({ moves: [move({ difference: 3, only_a_loss_counts: true })] }))).toBe("");
  });
});

describe("the help", () => {
  test("is made of paragraphs and steps, pictures and links left out", () => {
    const [one, ...more] = manual("# T\n\nopening\n\n## How\n\n1. **Go.** Press *it*,\n   then `100 + 2`.\n\n   ![p](p.png)\n\n2. Read [there](x.md#y) ([x.md](x.md)).\n\nEnd.\n\n## How quick\n\nvery\n");
    expect(more).toEqual([]);
    expect(one!.title).toBe("How");
    expect(one!.blocks.map((b) => [b.kind, b.words.map((w) => w.text).join("")])).toEqual([
      ["step", "Go. Press it, then 100 + 2."], ["step", "Read there."], ["paragraph", "End."],
    ]);
    expect(one!.blocks[0]!.words.map((w) => w.kind)).toEqual(["bold", "plain", "leaning", "plain", "typed", "plain"]);
  });
  test("leaves no mark of the document it is made from", () => {
    const all = manual(readFileSync(new URL("../../docs/page.md", import.meta.url), "utf8"));
    expect(all.length).toBeGreaterThan(4);
    for (const s of all) for (const b of s.blocks) expect(b.words.filter((w) => w.kind !== "typed").map((w) => w.text).join("")).not.toMatch(/\]\(|\*|`|!\[/);
  });
});

describe("the questions of a begun fork", () => {
  const begun = fieldsOf({ "hub.over_locknut": field("100"), "wheel.tyre": field("54-559"), "steering.offset": field("44"), "hub.axle": field("12", true) });
  const first = stillAsked(allAsked(), begun);
  test("stand open until what they ask for is another", () => {
    expect(Object.keys(first)).toHaveLength(5);
    expect(stillAsked(first, begun)).toEqual(first);
    const now = fieldsOf({ ...begun, "hub.over_locknut": field("4 1/4 in"), "wheel.tyre.outside_diameter": field("665") } as never);
    expect(Object.keys(stillAsked(first, now))).toEqual(["steering.axle_to_crown", "steering.offset", "blades"]);
  });
  test("are not answered by what was merely assumed", () => {
    expect(stillAsked(first, fieldsOf({ ...begun, "hub.axle": field("9", true) } as never))).toEqual(first);
  });
});

describe("words and numbers of the engine", () => {
  test("have keys spoken and minus signs for minus signs", () => {
    expect(inWords("steering.axle_to_crown: 408, now 16.5 mm")).toBe("steering, axle to crown: 408, now 16.5 mm");
    expect(signed("between -1 and 1 mm (-0.5), tube-to-tube, 54-559")).toBe("between −1 and 1 mm (−0.5), tube-to-tube, 54-559");
  });
  test("are asked for only where they mean something", () => {
    const none = fieldsOf({ "brake.mount": field("none", true), "brake.post": field("14", true) });
    expect([row("brake.mount"), row("brake.rotor"), row("brake.post")].map((r) => wanted(r, none))).toEqual([true, false, false]);
    expect(wanted(row("brake.rotor"), fieldsOf({ "brake.mount": field("post") }))).toBe(true);
    expect(wanted(row("brake.rotor"), fieldsOf({ "brake.rotor": field("160") }))).toBe(true);
  });
  test("leave room for the tools' second row on a narrow table", () => {
    const page = { width: 200, height: 700 };
    const y = (width: number) => fitted(page, { width, height: 700 }).y;
    expect(y(390)).toBeGreaterThan(y(800) + 20);
  });
});

describe("printers", () => {
  const shop = treeOf({ printers: { typed: '[{name = "by the door", bar_x = 99.6, bar_y = 100.2, note = "slow"}]' } });
  const door = { name: "by the door", bar_x: "99.4", bar_y: "100.1", paper_thickness: "", measured: "2026-11-27" };
  test("are read from the shop", () => {
    expect(printersOf(shop)).toEqual([{ name: "by the door", bar_x: "99.6", bar_y: "100.2", paper_thickness: "", measured: "" }]);
    expect(printersOf({})).toEqual([]);
  });
  test("have one row a name: typed again, its cells are typed over", () => {
    expect(kept(shop, { ...door, name: " By the door" })).toEqual([
      { key: "printers[1].bar_x", typed: "99.4" }, { key: "printers[1].bar_y", typed: "100.1" }, { key: "printers[1].measured", typed: "2026-11-27" },
    ]);
  });
  test("of a new name go below the others, which stay as they are", () => {
    const [edit, ...more] = kept(shop, { ...door, name: "upstairs", paper_thickness: "0,11" });
    expect(more).toEqual([]);
    expect(readNode(edit!.typed!)).toEqual([
      { name: "by the door", bar_x: "99.6", bar_y: "100.2", note: "slow" },
      { name: "upstairs", bar_x: "99.4", bar_y: "100.1", paper_thickness: "0,11", measured: "2026-11-27" },
    ]);
    expect(kept({}, door)[0]!.key).toBe("printers");
  });
  test("set all that is known of them in a job, and nothing else", () => {
    expect(used(door).map((e) => e.key)).toEqual(["printer.bar_x", "printer.bar_y"]);
    expect(used({ ...door, paper_thickness: "0.11" })).toContainEqual({ key: "printer.paper_thickness", typed: "0.11" });
    const now = fieldsOf({ "printer.bar_x": field("99.4"), "printer.bar_y": field("100.1") });
    expect([inUse(door, now), inUse({ ...door, bar_y: "100" }, now)]).toEqual([true, false]);
  });
  test("measured on a corrected print are reckoned back", () => {
    const now = fieldsOf({ "printer.bar_x": field("99.2") });
    expect([barOf(now, "bar_x"), barOf(now, "bar_y")]).toEqual([99.2, 100]);
    expect(uncorrected(100, 99.2)).toBe("99.2"); // it comes out right: nothing changes
    expect(uncorrected(100.5, 99.2)).toBe("99.7");
  });
  test("know the day", () => {
    expect(dayOf(new Date(2026, 0, 9, 23, 59))).toBe("2026-01-09");
  });
});

describe("a shelf of the library", () => {
  const list = '[{kind = "hole saw", diameter = "1 1/8 in", lot = "B 7"}, # kept dry\n {kind = "end mill", diameter = 24}]';
  const bed = '[{name = "bed", steerer_clamp = {least = 25, most = "1 1/4 in"}, dummy_axles = [{over_locknut = 92, axle = 9}]}]';
  test("is read and written back", () => {
    expect(readNode(list)).toEqual([{ kind: "hole saw", diameter: "1 1/8 in", lot: "B 7" }, { kind: "end mill", diameter: "24" }]);
    for (const text of [bed, "[]", '[[0, 1.5], [90, "1 in"]]']) expect(nodeText(readNode(text)!)).toBe(text);
    expect(readNode("[{steerer_clamp.least = 25}]")).toEqual([{ steerer_clamp: { least: "25" } }]);
  });
  test("that is none is not read", () => {
    for (const text of ["[{kind}]", "[1, 2", "{a = }", "[1] 2", ""]) expect(readNode(text)).toBeNull();
  });
  test("is the same told as one key or cell by cell", () => {
    const whole = treeOf({ "shop.name": { typed: "the shed" }, fixtures: { typed: bed } });
    const cells = treeOf({
      "shop.name": { typed: "the shed" }, "fixtures[1].name": { typed: "bed" }, "fixtures[1].steerer_clamp.least": { typed: "25" },
      "fixtures[1].steerer_clamp.most": { typed: "1 1/4 in" }, "fixtures[1].dummy_axles[1].over_locknut": { typed: "92" }, "fixtures[1].dummy_axles[1].axle": { typed: "9" },
    });
    expect(cells).toEqual(whole);
    expect(cell(whole, ["fixtures", 0, "steerer_clamp", "most"])).toBe("1 1/4 in");
    expect(cell(whole, ["fixtures", 3, "name"])).toBe("");
    expect(at(whole, ["fixtures", 0, "dummy_axles"])).toHaveLength(1);
  });
  test("counts its rows from one", () => {
    expect(keyOf(["fixtures", 0, "adjusters", 2, "zero"])).toBe("fixtures[1].adjusters[3].zero");
    expect(pathOf("fixtures[1].adjusters[3].zero")).toEqual(["fixtures", 0, "adjusters", 2, "zero"]);
    expect(planted(["a", "b"], [1], "c")).toEqual(["a", "c"]);
  });
  test("knows its columns and the lists inside", () => {
    const schema = [row("version"), row("shop.name"), row("fixtures"), row("fixtures[].name"), row("fixtures[].steerer_clamp.least"), row("fixtures[].dummy_axles"), row("fixtures[].dummy_axles[].axle")];
    const inside = insideOf(schema, "fixtures");
    expect(inside.cells.map((r) => r.key)).toEqual(["fixtures[].name", "fixtures[].steerer_clamp.least"]);
    expect(inside.lists.map((r) => r.key)).toEqual(["fixtures[].dummy_axles"]);
    expect(insideOf(schema, "fixtures[].dummy_axles").cells).toHaveLength(1);
    expect(placesOf(schema).map((p) => [p.id, p.list])).toEqual([["shop", false], ["fixtures", true]]);
  });
  test("tells what was measured before what it was sold as", () => {
    expect(telling({ kind: "hole saw", diameter: "1 1/8 in" })).toEqual({ name: "hole saw", size: "1 1/8 in", sold: "", beside: "" });
    expect(telling({ name: "the ground one", kind: "hole saw", diameter: "1 1/8 in", measured: "28.9", lot: "B 7" })).toEqual({
      name: "the ground one", size: "28.9", sold: "1 1/8 in", beside: "hole saw, lot B 7",
    });
    expect(telling({ over_locknut: "92" }, "dummy axle").name).toBe("dummy axle");
  });
  test("tells a printer by its bars and when they were measured", () => {
    expect(telling({ name: "by the door", bar_x: "99.6", bar_y: "100.2", measured: "2026-11-27" }, "printer")).toEqual({
      name: "by the door", size: "99.6 × 100.2", sold: "", beside: "measured 2026-11-27",
    });
  });
  test("another of the same was not measured", () => {
    expect(another({ kind: "bar", diameter: "25", measured: "24.98", lot: "3" })).toEqual({ kind: "bar", diameter: "25" });
  });
  test("keeps the problems of its rows apart", () => {
    const said = (key: string) => ({ code: "", where: { file: "", line: 0, column: 0, key }, what: "", fits: "" });
    expect(problemsIn([said("cutters[1].diameter"), said("cutters[10].reach")], "cutters[1]")).toHaveLength(1);
  });
});

describe("a traced tyre", () => {
  const points: Point[] = [{ x: 0, y: 0 }, { x: 18, y: 9 }, { x: 27, y: 27 }];
  test("is read from the job and written back", () => {
    expect(traced("[[0, 0], [18, 9], [27, 27]]")).toEqual(points);
    expect(traced('[{half_width = "8,5", below_top = 1}]')).toEqual([{ x: 8.5, y: 1 }]);
    expect(traced("")).toEqual([{ x: 0, y: 0 }]);
    expect(profileText(points)).toBe("[[0, 0], [18, 9], [27, 27]]");
  });
  test("takes a point between its neighbours, from either half", () => {
    expect(added(points, snapped(folded({ x: -23.1, y: 17.8 }), 0.5))).toEqual({ points: [points[0], points[1], { x: 23, y: 18 }, points[2]], at: 2 });
    expect(added(points, { x: 20, y: 9.04 })).toEqual({ points: [points[0], { x: 20, y: 9.04 }, points[2]], at: 1 });
    expect(added(points, { x: 24, y: -3 }).points[0]).toEqual({ x: 24, y: 0 });
  });
  test("keeps its points falling, the first at the top", () => {
    expect(moved(points, 1, { x: 18, y: 40 })[1]).toEqual({ x: 18, y: 26.9 });
    expect(moved(points, 1, { x: -4, y: -2 })[1]).toEqual({ x: 0, y: 0.1 });
    expect(moved(points, 0, { x: 3, y: 5 })[0]).toEqual({ x: 3, y: 0 });
    expect(without(points, 0)).toHaveLength(3);
    expect(without(points, 1)).toHaveLength(2);
  });
  test("grows by the keyboard", () => {
    expect(next(points, 1)).toEqual({ points: [points[0], points[1], { x: 22.5, y: 18 }, points[2]], at: 2 });
    expect(next(points, 2)).toEqual({ points: [...points, { x: 27, y: 32 }], at: 3 });
  });
  test("lies on paper that reaches past it", () => {
    expect(reach(points)).toEqual({ x: 40, y: 60 });
    expect(reach([{ x: 51, y: 78 }])).toEqual({ x: 60, y: 90 });
  });

  /** Where a pixel of the picture lies on the paper. */
  const placeOf = (l: Laid, u: number, v: number): Point => ({
    x: l.x + l.scale * (u * Math.cos(l.turn) - v * Math.sin(l.turn)), y: l.y + l.scale * (u * Math.sin(l.turn) + v * Math.cos(l.turn)),
  });
  test("has its picture to scale after two presses", () => {
    const laid = laidUnder(800, 600, { x: 40, y: 60 });
    const a = placeOf(laid, 100, 100), b = placeOf(laid, 400, 500);
    const to = scaledBy(laid, a, b, 50);
    const now = [placeOf(to, 100, 100), placeOf(to, 400, 500)] as const;
    expect(Math.hypot(now[1].x - now[0].x, now[1].y - now[0].y)).toBeCloseTo(50, 9);
    expect(now[0].x).toBeCloseTo(a.x, 9);
    expect(scaledBy(laid, a, a, 50)).toBe(laid);
    expect(scaledBy(laid, a, b, Number.NaN)).toBe(laid);
  });
  test("has its picture upright after two more, at the same scale", () => {
    const laid: Laid = { x: -12, y: 7, scale: 0.11, turn: 0.2 };
    const to = stoodUp(laid, placeOf(laid, 410, 60), placeOf(laid, 380, 560));
    expect(placeOf(to, 410, 60).x).toBeCloseTo(0, 9);
    expect(placeOf(to, 410, 60).y).toBeCloseTo(0, 9);
    expect(placeOf(to, 380, 560).x).toBeCloseTo(0, 9);
    expect(placeOf(to, 380, 560).y).toBeCloseTo(0.11 * Math.hypot(30, 500), 9);
    expect(to.scale).toBe(laid.scale);
  });
});

describe("a long question", () => {
  const heard = () => {
    const all: Asking<number>[] = [];
    return { all, tell: (now: Asking<number>) => void all.push(now), last: () => all[all.length - 1]! };
  };
  test("says that it is slow only after a while, and then its answer", async () => {
    vi.useFakeTimers();
    const h = heard();
    asking(() => new Promise<number>((done) => setTimeout(() => done(7), 900)), h.tell, 3);
    await vi.advanceTimersByTimeAsync(299);
    expect(h.last()).toEqual({ answer: 3, wrong: null, slow: false, stopped: false });
    await vi.advanceTimersByTimeAsync(2);
    expect(h.last().slow).toBe(true);
    await vi.advanceTimersByTimeAsync(700);
    expect(h.last()).toEqual({ answer: 7, wrong: null, slow: false, stopped: false });
    vi.useRealTimers();
  });
  test("given up tells nothing more and takes its signal down", async () => {
    vi.useFakeTimers();
    const h = heard();
    let signal: AbortSignal | null = null;
    const stop = asking((s) => ((signal = s), new Promise<number>((done) => setTimeout(() => done(7), 900))), h.tell);
    await vi.advanceTimersByTimeAsync(400);
    stop(true);
    expect(h.last()).toEqual({ answer: null, wrong: null, slow: false, stopped: true });
    await vi.advanceTimersByTimeAsync(2000);
    expect(h.last().stopped).toBe(true);
    expect(signal!.aborted).toBe(true);
    vi.useRealTimers();
  });
  test("that fails says why", async () => {
    const h = heard();
    asking(() => Promise.reject(new Error("no")), h.tell);
    await new Promise((r) => setTimeout(r, 0));
    expect(h.last().wrong?.message).toBe("no");
  });
});

describe("the finished fork's readings", () => {
  test("are asked about when all six are there", () => {
    const six = { A: "404.6", B: "404.5", D: "44.1", E: "43.3", F: "50", G: "50.8" };
    expect(allRead(six)).toBe(true);
    expect(allRead({ ...six, G: " " })).toBe(false);
    expect(inTheLog(six)).toBe("readings A 404.6, B 404.5, D 44.1, E 43.3, F 50, G 50.8");
  });
  test("that were kept come back, and nothing else does", () => {
    expect(readingsIn('{"A":"404.6","Z":"1","B":3}')).toEqual({ A: "404.6" });
    for (const text of [null, "", "[", "3", "null", '"x"']) expect(readingsIn(text)).toEqual({});
  });
});

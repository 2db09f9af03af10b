// The page's logic without a browser: frames, edits on their way, the phone's deeds, tables, mends.
import { describe, expect, test } from "vitest";
import { decodeFrame, isAhead, isForeseen, pathData, type Leaf, type LeavesAhead, type View } from "../src/contract/frame";
import type { Foreseen, Header, PathItem, Problem, TextItem, Verdict } from "../src/contract/types";
import { documentsOf } from "../src/job/book";
import { emptyQueue, meant, tried } from "../src/job/edits";
import { found } from "../src/job/find";
import { foreseen, nextTexts } from "../src/job/foresight";
import { laidOver, listText, pasted, rowsOf } from "../src/job/lists";
import { fieldOf, mendsOf } from "../src/job/mends";
import { shown, stepped } from "../src/job/numbers";
import { bladeOutline, tyreOutline } from "../src/job/picture";
import { byQuestion, countWords, mustShow, sorted } from "../src/job/slip";
import { tagOf } from "../src/job/tags";
import { atScale, centred, division, fitted, scaleWords, toScreen, zoomed } from "../src/table/camera";
import { spread } from "../src/table/words";
import { staged } from "../src/work/stages";

const path: PathItem = { k: "p", n: [2, 3], c: [0, 1], w: "thick", d: "solid", i: "graphite", f: false };

function frame(head: Partial<Header & Foreseen>, points: number[], only?: string[]): ArrayBuffer {
  const whole = {
    revision: 1, saved: true, solved: true, problems: [], fields: {}, numbers: {}, verdicts: [], notes: [],
    pages: [{ width: 100, height: 50, name: "é", groups: [] }], milliseconds: { solve: 1, pack: 1 }, ...head,
  };
  const told = only ? Object.fromEntries(Object.entries(whole).filter(([k]) => only.includes(k))) : whole;
  const text = new TextEncoder().encode(JSON.stringify(told));
  const start = Math.ceil((4 + text.length) / 4) * 4;
  const out = new ArrayBuffer(start + 4 * points.length);
  new DataView(out).setUint32(0, text.length, true);
  new Uint8Array(out).set(text, 4);
  new Float32Array(out, start).set(points);
  return out;
}

describe("what may be typed next", () => {
  const at = (value: string, selectionStart = value.length, selectionEnd = selectionStart) => ({ value, selectionStart, selectionEnd });
  test("is what one key makes of the field, where its cursor stands", () => {
    const end = nextTexts(at("10"), "mm");
    expect(end.slice(0, 11)).toEqual(["1", "100", "101", "102", "103", "104", "105", "106", "107", "108", "109"]);
    expect(end.slice(11)).toEqual(["11", "9", "10.1", "9.9"]);
    expect(nextTexts(at("10", 1), "mm")).toContain("150");
    expect(nextTexts(at("10", 1), "mm")[0]).toBe("0");
    // a digit takes the place of what is selected
    expect(nextTexts(at("28,6", 0, 4), "mm")).toEqual([..."0123456789", "29.6", "27.6", "28.7", "28.5"]);
    expect(nextTexts(at("1 1/8 in", 0), "mm")).toContain("41 1/8 in");
  });
  test("is each text once, never the one that stands there nor none at all", () => {
    for (const field of [at("9"), at(""), at("11", 1), at("100 mm", 2, 3)]) {
      const texts = nextTexts(field, "mm");
      expect(new Set(texts).size).toBe(texts.length);
      expect(texts).not.toContain(field.value);
      expect(texts).not.toContain("");
      expect(texts.length).toBeLessThanOrEqual(32);
    }
  });
  test("is drawn for these edits, this revision and this look alone", () => {
    const leaves = [{ page: { name: "front" }, points: new Float32Array() }] as unknown as Leaf[];
    const others = [{ key: "tyre.width", typed: "44" }], now = { key: "hub.over_locknut", typed: "101" };
    const f = { id: 1, question: "", key: now.key, edits: others, look: "front 0", drawn: new Map([["101", { revision: 3, leaves }]]) };
    expect(foreseen(f, [...others, now], 3, "front 0")).toBe(leaves);
    expect(foreseen(f, [...others, { ...now, typed: "102" }], 3, "front 0")).toBeNull();
    expect(foreseen(f, [...others, now], 4, "front 0")).toBeNull();
    expect(foreseen(f, [...others, now], 3, "side 0")).toBeNull();
    expect(foreseen(f, [now], 3, "front 0")).toBeNull();
    expect(foreseen(f, [{ key: "tyre.width", typed: "45" }, now], 3, "front 0")).toBeNull();
    expect(foreseen(f, [...others, { key: "wishes.clearance", typed: "101" }], 3, "front 0")).toBeNull();
    expect(foreseen(null, [now], 3, "front 0")).toBeNull();
  });
  test("stands where an edit is tried: last, after what waits to be saved", () => {
    const begun = () => ({ base: 3, was: null });
    const meantOne = meant(emptyQueue, 3, [{ key: "tyre.width", typed: "44" }]);
    const q = tried(meantOne, [{ key: "hub.over_locknut", typed: "10" }], begun).queue;
    for (const typed of ["100", "101"])
      expect(tried(q, [{ key: "hub.over_locknut", typed }], begun).send).toEqual([{ key: "tyre.width", typed: "44" }, { key: "hub.over_locknut", typed }]);
  });
});

describe("a view frame", () => {
  const page = { width: 100, height: 50, name: "front", groups: [{ name: "outline", label: "fork", items: [path] }] };
  const points = [0, 0, 10, 0, 1, 1, 2, 1, 2, 2.0004];

  test("takes the pages that went ahead of it", () => {
    const ahead = decodeFrame(frame({ pages: [page, page], reply: 7 }, [...points, ...points], ["reply", "pages"])) as LeavesAhead;
    expect(isAhead(ahead)).toBe(true);
    expect(ahead.leaves.map((l) => Array.from(l.points))).toEqual([points, points].map((p) => p.map(Math.fround)));
    const rest = frame({ reply: 7, pages: undefined }, []);
    const view = decodeFrame(rest, [ahead]);
    expect(isAhead(view)).toBe(false);
    expect(view.leaves).toBe(ahead.leaves);
    expect(() => decodeFrame(rest, [{ ...ahead, reply: 6 }])).toThrow(/none went ahead/);
    expect(() => decodeFrame(rest)).toThrow(/none went ahead/);
    // of several keys, each its own
    expect((decodeFrame(rest, [{ ...ahead, reply: 6, leaves: [] }, ahead, { ...ahead, reply: 8, leaves: [] }]) as View).leaves).toBe(ahead.leaves);
  });
  test("is told from one that goes ahead and from what is only foreseen", () => {
    const guess = decodeFrame(frame({ pages: [page], reply: 7, typed: "101", revision: 3 }, points, ["reply", "pages", "typed", "revision"]));
    expect(isForeseen(guess)).toBe(true);
    expect(isAhead(guess)).toBe(false);
    expect(isForeseen(decodeFrame(frame({ pages: [page] }, points)))).toBe(false);
  });

  test("gives header and points back, whatever the header's length", () => {
    for (const name of ["a", "ab", "abc", "abcd"]) {
      const view = decodeFrame(frame({ pages: [{ ...page, name }] }, points)) as View;
      expect(view.leaves[0]!.page.name).toBe(name);
      expect(Array.from(view.leaves[0]!.points)).toEqual(points.map((p) => Math.fround(p)));
    }
  });
  test("becomes a path, closed where it was closed, to a thousandth", () => {
    const view = decodeFrame(frame({ pages: [page] }, points));
    expect(pathData(path, view.leaves[0]!.points, 0)).toBe("M0 0L10 0M1 1L2 1L2 2Z");
  });
  test("with too few points is refused", () => {
    expect(() => decodeFrame(frame({ pages: [page] }, points.slice(0, 6)))).toThrow(/counts 10 numbers/);
  });
  test("shorter than its header is refused", () => {
    expect(() => decodeFrame(frame({}, []).slice(0, 40))).toThrow(/longer than its frame/);
    expect(() => decodeFrame(new ArrayBuffer(2))).toThrow();
  });
});

describe("lists of the job", () => {
  const stations = ["at", "width", "depth", "wall"];
  test("are read with comments, short rows and named rows", () => {
    expect(rowsOf("[   # at, width\n  [0, 16.1, 16.0, 1.2],  # tip\n  {at = 90, width = \"18,9\"},\n]", stations)).toEqual([
      { at: "0", width: "16.1", depth: "16.0", wall: "1.2" }, { at: "90", width: "18,9" },
    ]);
  });
  test("deeper than rows of values are left to the text", () => {
    expect(rowsOf("[{at = 0, outline = [[1, 2]]}]", stations)).toBeNull();
    expect(rowsOf("28.6", stations)).toBeNull();
  });
  test("are written short where they are full, named where a cell is empty, words in quotation marks", () => {
    expect(listText([{ at: "0", wall: "2.3" }, {}, { at: "1 1/8 in", wall: "1,6" }], ["at", "wall"])).toBe('[[0, 2.3], ["1 1/8 in", "1,6"]]');
    expect(listText([{ straight: "345" }, { bend: "71 deg", radius: "75", toward: "inward" }], ["straight", "bend", "radius", "toward"])).toBe(
      '[{straight = 345}, {bend = "71 deg", radius = 75, toward = "inward"}]');
  });
  test("come back as they were written", () => {
    const rows = [{ at: "0", width: "16", depth: "16", wall: "1.2" }, { at: "90", width: '3/4"', depth: "20,4", wall: "1" }];
    expect(rowsOf(listText(rows, stations), stations)).toEqual(rows);
  });
  test("take cells from a spreadsheet: tabs, semicolons, a heading, decimal commas", () => {
    expect(pasted("at\twidth\r\n0\t16,1\r\n90\t18,9\r\n")).toEqual([["0", "16,1"], ["90", "18,9"]]);
    expect(pasted("0;16.1\n90;18.9")).toEqual([["0", "16.1"], ["90", "18.9"]]);
    expect(pasted("28,6")).toBeNull();
  });
  test("grow where pasted cells reach below them", () => {
    expect(laidOver([{ at: "0" }], ["at", "wall"], 0, 1, [["1.2"], ["1.0"]])).toEqual([{ at: "0", wall: "1.2" }, { wall: "1.0" }]);
  });
  test("are drawn once they can be", () => {
    expect(bladeOutline([{ at: "0", width: "16", depth: "16" }])).toBeNull();
    expect(bladeOutline([{ at: "0", width: "16", depth: "16" }, { at: "100", width: "24", depth: "30,0" }])!.width).toBe(100);
    expect(tyreOutline([{ half_width: "0", below_top: "0" }, { half_width: "27", below_top: "27" }])!.width).toBe(54);
  });
});

describe("ways out of a problem", () => {
  const problem = (what: string, fits: string, key: string, code = "x"): Problem => ({ code, what, fits, where: { file: "job", line: 1, column: 1, key } });
  const field = (typed: string, value: number) => ({ typed, value, form: "length" as const });
  test("the buttons type what the engine has tried, and say what the sentence says", () => {
    const p = { ...problem("A tyre clearance of 40.0 mm can't be had.", "Ask for a tyre clearance of 24.0 mm or less.", "wishes.right.clearance"),
      offers: [{ key: "wishes.right.clearance", typed: "24", label: "a tyre clearance of 24.0 mm or less" }] };
    expect(mendsOf(p, {})).toEqual([{ label: "Take a tyre clearance of 24.0 mm or less", edits: [{ key: "wishes.right.clearance", typed: "24" }] }]);
    expect(fieldOf(p)).toBe("wishes.right.clearance");
  });
  test("nothing is read out of a sentence", () => {
    expect(mendsOf(problem("Found 900 mm.", "Give a length from 20 to 200 mm, e.g. 100.", "hub.over_locknut"), {})).toEqual([]);
  });
  test("of three wishes any one may go", () => {
    const fields = { "wishes.clearance": field("8", 8), "wishes.crown_height": field("34", 34), "wishes.splay": field("3", 3) };
    const all = mendsOf(problem("Found 3 wishes", "wish for exactly two", "wishes", "wishes-not-two"), fields);
    expect(all.map((m) => m.edits[0]!.key)).toEqual(["wishes.clearance", "wishes.crown_height", "wishes.splay"]);
    expect(all[0]!.edits[0]!.typed).toBeNull();
  });
});

describe("numbers", () => {
  test("have a minus that is one, and no minus before nothing", () => {
    expect(shown(-2.25, 1)).toBe("−2.3");
    expect(shown(-0.04, 1)).toBe("0.0");
  });
  test("step on as they were typed", () => {
    expect(stepped("100", 1, "mm")).toBe("101");
    expect(stepped("28,6", 0.1, "mm")).toBe("28.7");
    expect(stepped("1 1/8 in", 1, "mm")).toBe("1 1/8 in + 1 mm");
    expect(stepped("1 1/8 in + 1 mm", -0.1, "mm")).toBe("1 1/8 in + 0.9 mm");
    expect(stepped("1 1/8 in + 1 mm", -1, "mm")).toBe("1 1/8 in");
    expect(stepped("71°30'", -1, "°")).toBe("71°30' - 1 deg");
  });
});

describe("the slip", () => {
  const v = (what: string, standing: Verdict["standing"], margin: number | null, limit: number): Verdict => ({
    study: "s", code: "c", where: "", note: "", what, value: 1, limit, sense: "at least", unit: "mm", standing, margin, places: [], key: null, fits: null, source: null, grade: "may be tight" as const, question: "Will it clear?" as const, load: "", not_counted: "", fix: null });
  test("begins with what is missed, then goes by how little is left", () => {
    const lines = sorted([v("b", "met", 2, 6), v("a", "met", 0.6, 6), v("c", "not met", -1, 4), v("d", "not known", null, 1)]);
    expect(lines.map((l) => l.what)).toEqual(["c", "d", "a", "b"]);
  });
  test("never says all met, or folds a line away, while something is not known", () => {
    const told = [v("b", "met", 2, 6), v("d", "not known", null, 1), v("e", "met", 3, 6)];
    expect(countWords(told)).toBe("2 met, 1 not known");
    expect(countWords([v("c", "not met", -1, 4), ...told])).toBe("1 not met, 1 not known, 2 met");
    expect(mustShow(told)).toBe(1);
  });
  test("tells what fails before what may fall outside a limit", () => {
    const chance = { ...v("chance", "not met", -49, 5), study: "tolerance", unit: "%" };
    expect(sorted([chance, v("weak", "not met", -0.2, 1), v("near", "barely met", 0.1, 6)]).map((l) => l.what)).toEqual(["weak", "chance", "near"]);
  });
  test("puts what may break above what is only a shop's aim", () => {
    const aim = { ...v("aim", "not met", -9, 5), grade: "shop's aim" as const }, breaks = { ...v("breaks", "not met", -0.1, 1), grade: "may break or touch" as const };
    expect(sorted([aim, breaks]).map((l) => l.what)).toEqual(["breaks", "aim"]);
  });
  test("asks its questions in their order and leaves out those without a line", () => {
    const held = { ...v("held", "met", 1, 1), question: "Will it hold?" as const };
    expect(byQuestion([v("clear", "met", 1, 1), held]).map((g) => g.question)).toEqual(["Will it hold?", "Will it clear?"]);
  });
});

describe("the paper under the glass", () => {
  const room = { width: 1000, height: 800 }, page = { width: 300, height: 600 };
  test("fits, and keeps the point under the finger when zoomed", () => {
    const c = fitted(page, room);
    expect(c.scale * page.height).toBeLessThan(room.height);
    const before = toScreen(c, page, 100, 200);
    const after = toScreen(zoomed(c, 2, before.x, before.y), page, 100, 200);
    expect(after.x).toBeCloseTo(before.x, 9);
    expect(after.y).toBeCloseTo(before.y, 9);
  });
  test("is at true size when it says 1 : 1", () => {
    const c = atScale(fitted(page, room), 3.78, room);
    expect(scaleWords(c.scale, 3.78)).toBe("1 : 1");
    expect(scaleWords(1.89, 3.78)).toBe("1 : 2");
    expect(scaleWords(7.56, 3.78)).toBe("2 : 1");
  });
  test("brings a place to the middle", () => {
    const c = centred({ scale: 2, x: 0, y: 0 }, page, { x: 10, y: 20 }, room);
    expect(toScreen(c, page, 10, 20)).toEqual({ x: 500, y: 400 });
  });
  test("has a rule whose marks can be told apart", () => {
    expect(division(10, 7)).toBe(1);
    expect(division(1.1, 7)).toBe(10);
  });
  test("spreads words in a row when they grow, and staggers a stack of dimensions", () => {
    const word = (s: string, x: number, y: number, a: TextItem["a"] = "left"): TextItem => ({
      k: "t", x, y, s, h: 3.5, r: 0, a, i: "graphite", b: false, it: false, bg: true });
    const out = spread([word("50", 10, 0), word("18.8", 20, 0), word("100", 5, 40, "centre"), word("(120)", 5, 34, "centre")], 2) as TextItem[];
    expect(out.map((t) => t.y)).toEqual([0, 0, 40, 34]);
    expect(out.slice(0, 3).map((t) => t.x)).toEqual([10, 30, 5]);
    expect(out[3]!.x).toBeGreaterThan(30);
  });
});

test("sheets are gathered into documents, pages in order", () => {
  const file = (name: string) => ({ name, what: "w", bytes: 1 });
  const book = documentsOf(["cards-a4.pdf", "cards-a4-10.svg", "cards-a4-2.svg", "fork-drawing.pdf", "fork-drawing.svg", "cut/a.dxf", "tables/b.csv"].map(file));
  expect(book.documents.map((d) => [d.stem, d.pages])).toEqual([
    ["cards-a4", ["cards-a4-2.svg", "cards-a4-10.svg"]], ["fork-drawing", ["fork-drawing.svg"]]]);
  expect([book.cut.length, book.tables.length]).toEqual([1, 1]);
});

test("finding goes by how words begin", () => {
  const all = [{ id: "1", name: "clearance", more: "wishes" }, { id: "2", name: "checks", more: "clearance limit" }, { id: "3", name: "hub", more: "" }];
  expect(found(all, "clear").map((f) => f.id)).toEqual(["1", "2"]);
  expect(found(all, "clear wish").map((f) => f.id)).toEqual(["1"]);
});

test("keys lie on the tag of their part", () => {
  expect(tagOf("wheel.tyre.half_profile[3].below_top")?.id).toBe("tyre");
  expect(tagOf("wheel.rim_width")?.id).toBe("wheel");
  expect(tagOf("blades.left.stations")?.id).toBe("blades");
  expect(tagOf("shares.tilt")?.id).toBe("steering");
});

test("small parts are cut before anything is joined, and joined after", () => {
  const card = (id: string, stage: string) => ({ id, stage, title: "", big: { name: "", value: "", unit: "" }, lines: [] });
  const all = staged([card("f0", "small parts"), card("join", "join"), card("f4", "small parts"), card("p", "prove")]);
  expect(all.cut.map((c) => c.id)).toEqual(["f0"]);
  expect(all.join.map((c) => c.id)).toEqual(["join", "f4"]);
});

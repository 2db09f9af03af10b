// What is typed and entered, on its way to the server: nothing is lost, nothing is overwritten without a question.
import { describe, expect, test } from "vitest";
import { afterOwn, again, answered, asked, dropped, emptyQueue, meant, next, samePlace, takenBack, tried, waitingEdits, type Queue, type Sent } from "../src/job/edits";
import { countOf, keptOf, readKept, takenUp } from "../src/job/kept";
import { latest } from "../src/job/latest";
import type { Edit } from "../src/contract/types";

const kHub = "hub.over_locknut", kAxle = "hub.axle";
const one = (key: string, typed: string | null): Edit[] => [{ key, typed }];
const at = (base: number, was: string | null = null) => () => ({ base, was });

function gone(q: Queue): { queue: Queue; send: Sent } {
  const step = next(q);
  if (!step) throw new Error("nothing waits");
  return step;
}
const saved = (q: Queue, id: number, made: number) => answered(q, { reply: id, saved: true, made }).queue;

describe("two entries in one field, one quickly after the other", () => {
  test("the second waits for the answer to the first, and builds on it", () => {
    const first = gone(meant(emptyQueue, 5, one(kHub, "101")));
    expect(first.send).toEqual({ do: "set", id: 1, base: 5, edits: one(kHub, "101") });
    const both = meant(first.queue, 5, one(kHub, "102"));
    expect(next(both)).toBeNull();
    const second = gone(saved(both, 1, 6));
    expect(second.send).toEqual({ do: "set", id: 2, base: 6, edits: one(kHub, "102") });
    expect(saved(second.queue, 2, 7).unsaved).toEqual([]);
  });
  test("one that waits is replaced by the next of its key, and keeps the revision it was typed on", () => {
    const going = gone(meant(emptyQueue, 5, one(kAxle, "12"))).queue;
    const q = meant(meant(going, 5, one(kHub, "101")), 8, one(kHub, "102"));
    expect(waitingEdits(q)).toEqual([{ key: kAxle, typed: "12", base: 5 }, { key: kHub, typed: "102", base: 5 }]);
  });
  test("one that may have reached the server is not replaced: it goes again, and the next after it", () => {
    const sent = gone(meant(emptyQueue, 5, one(kHub, "101"))).queue;
    const q = meant(again(sent), 5, one(kHub, "102"));
    expect(waitingEdits(q).map((e) => e.typed)).toEqual(["101", "102"]);
    const once = gone(q);
    expect(once.send).toMatchObject({ base: 5, edits: one(kHub, "101") });
    expect(gone(saved(once.queue, once.send.id, 6)).send).toMatchObject({ base: 6, edits: one(kHub, "102") });
  });
  test("of a key in a group of several and the key alone neither replaces the other", () => {
    const group = [{ key: kHub, typed: "101" }, { key: kAxle, typed: "12" }];
    expect(meant(meant(emptyQueue, 5, group), 5, one(kHub, "102")).unsaved).toHaveLength(2);
    expect(meant(meant(emptyQueue, 5, one(kHub, "102")), 5, group).unsaved).toHaveLength(2);
    expect(waitingEdits(meant(meant(emptyQueue, 5, group), 5, [{ key: kAxle, typed: "9" }, { key: kHub, typed: "99" }])).map((e) => e.typed)).toEqual(["9", "99"]);
  });
  test("nothing is replaced over an undo that was pressed in between", () => {
    const q = meant(asked(meant(emptyQueue, 5, one(kHub, "101")), { do: "undo", base: 5 }), 5, one(kHub, "102"));
    expect(q.unsaved.map((e) => e.do)).toEqual(["set", "undo", "set"]);
  });
});

describe("the same key in another window", () => {
  test("an entry has the revision on which its typing began, whatever came since", () => {
    const typing = tried(emptyQueue, one(kHub, "10"), at(5)).queue;
    const more = tried(typing, one(kHub, "102"), at(6)).queue; // the other window's 6 is on the screen by now
    expect(gone(meant(more, 6, one(kHub, "102"))).send.base).toBe(5);
  });
  test("this page's own answer does not cover what another changed at another key", () => {
    const typing = tried(emptyQueue, one(kAxle, "12"), at(5)).queue; // since then the other made 6 of hub.axle
    const own = gone(meant(typing, 5, one(kHub, "101")));
    const q = saved(own.queue, own.send.id, 7);
    expect(q.trying[0]!.base).toBe(5);
    expect(gone(meant(q, 7, one(kAxle, "12"))).send.base).toBe(5);
  });
  test("nor what it changed at the same key before this page's entry began", () => {
    const typing = tried(emptyQueue, one(kHub, "99"), at(3)).queue;
    const pressed = gone({ ...meant({ ...typing, trying: [] }, 5, one(kHub, "101")), trying: typing.trying });
    expect(saved(pressed.queue, pressed.send.id, 6).trying[0]!.base).toBe(3);
  });
  test("an answer moves the base of a cell of the list that it set", () => {
    const own = gone(meant(emptyQueue, 5, one("blades.stations", "[]")));
    const typing = tried(own.queue, one("blades.stations[2].width", "12"), at(5)).queue;
    expect(saved(typing, own.send.id, 6).trying[0]!.base).toBe(6);
    expect([samePlace("hub.axle", "hub.axle_end"), samePlace("blades.stations[1]", "blades.stations"), samePlace("hub", "hub.axle")]).toEqual([false, true, true]);
  });
  test("a refusal leaves the base of the next where it was, so that it is asked about too", () => {
    const first = gone(meant(emptyQueue, 5, one(kHub, "101")));
    const both = meant(first.queue, 5, one(kHub, "102"));
    const { queue, entry } = answered(both, { reply: 1, saved: false });
    expect(entry).toMatchObject({ do: "set", edits: [{ key: kHub, typed: "101", base: 5 }] });
    expect(gone(queue).send.base).toBe(5);
  });
  test("undo has the revision on the screen, and after this page's own entries theirs", () => {
    const first = gone(meant(emptyQueue, 5, one(kHub, "101")));
    const q = asked(first.queue, { do: "undo", base: 5 });
    expect(next(q)).toBeNull();
    const undo = gone(saved(q, 1, 6));
    expect(undo.send).toEqual({ do: "undo", id: 2, base: 6 });
    expect(gone(asked(emptyQueue, { do: "back", base: 9, revision: 4 })).send).toEqual({ do: "back", id: 1, base: 9, revision: 4 });
  });
  test("what is typed after this page's own undo builds on it", () => {
    const undo = gone(asked(emptyQueue, { do: "undo", base: 8 }));
    const typing = tried(undo.queue, one(kHub, "102"), at(8)).queue;
    const older = tried(typing, one(kAxle, "9"), at(7)).queue;
    expect(saved(older, undo.send.id, 9).trying.map((d) => d.base)).toEqual([9, 7]);
  });
});

test("a cell typed twice while its first entry is on its way builds on that one, and on no other window's", () => {
  const own = [{ edits: [{ key: "cutters[2].lot", typed: "K 1", base: 5 }], made: 6 }, { edits: [{ key: "printers[1].name", typed: "x", base: 6 }], made: 8 }];
  expect(afterOwn(own, { key: "cutters[2].lot", typed: "K 12", base: 5 })).toBe(6);
  expect(afterOwn(own, { key: "cutters[2].measured", typed: "22", base: 5 })).toBe(5);
  expect(afterOwn(own, { key: "cutters", typed: "[]", base: 5 })).toBe(6);
  expect(afterOwn(own, { key: "cutters[2].lot", typed: "K 12", base: 4 })).toBe(4);
});

describe("edits on their way", () => {
  test("a trial carries what is not saved yet, the later typed over the earlier", () => {
    const a = meant(emptyQueue, 4, one(kAxle, "12"));
    const b = tried(a, one(kHub, "1"), at(4));
    const c = tried(b.queue, one(kHub, "11"), at(4));
    expect(c.send).toEqual([{ key: kAxle, typed: "12" }, { key: kHub, typed: "11" }]);
    expect(c.id).toBe(2);
  });
  test("an emptied field tries nothing, but its typing has begun", () => {
    const q = tried(emptyQueue, one(kHub, " "), at(4, "100"));
    expect(q.send).toEqual([]);
    expect(q.queue.trying).toEqual([{ key: kHub, typed: " ", base: 4, was: "100" }]);
    expect(gone(meant(q.queue, 9, one(kHub, null))).send).toMatchObject({ base: 4, edits: one(kHub, null) });
  });
  test("an answer that a later one has overtaken is not drawn but settles its entry", () => {
    const a = gone(meant(emptyQueue, 4, one(kAxle, "12"))).queue;
    const b = answered(a, { reply: 5, saved: false }).queue;
    const late = answered(b, { reply: 1, saved: true, made: 5 });
    expect(late.fresh).toBe(false);
    expect(late.queue.unsaved).toEqual([]);
  });
  test("Escape drops the trial of its key only", () => {
    const a = tried(emptyQueue, [{ key: "a", typed: "1" }, { key: "b", typed: "2" }], at(1)).queue;
    expect(dropped(a, "a").trying.map((d) => d.key)).toEqual(["b"]);
  });
  test("without a line, undo takes back what never went, and nothing that did", () => {
    const q = meant(emptyQueue, 4, one(kAxle, "12"));
    expect(takenBack(q).unsaved).toEqual([]);
    const sent = again(gone(q).queue);
    expect(takenBack(sent)).toBe(sent);
  });
});

describe("what the browser keeps", () => {
  const of = { job: "j", name: "fork", window: "w", at: 1 };
  const q = tried(asked(gone(meant(emptyQueue, 4, one(kAxle, "12"))).queue, { do: "undo", base: 4 }), one(kHub, "10"), at(4, "100")).queue;

  test("comes back as it was: what was on its way waits again, an undo is let go", () => {
    const back = readKept(JSON.parse(JSON.stringify(keptOf({ queue: q, refused: {} }, of))))!;
    expect(back.unsaved).toEqual([{ do: "set", edits: [{ key: kAxle, typed: "12", base: 4 }], id: null, went: true }]);
    expect(back.trying).toEqual([{ key: kHub, typed: "10", base: 4, was: "100" }]);
    expect(countOf(back)).toBe(2);
  });
  test("of several windows is taken up in the order in which it was kept, drafts for the builder to enter", () => {
    const kept = (window: string, when: number, typed: string) =>
      keptOf({ queue: meant(emptyQueue, 4, one(kHub, typed)), refused: {} }, { ...of, window, at: when });
    const mine = meant(tried(emptyQueue, one(kAxle, "15"), at(9)).queue, 9, one("tyre.width", "50"));
    const all = takenUp({ queue: mine, refused: {} }, [kept("b", 20, "102"), kept("a", 10, "101"), keptOf({ queue: q, refused: {} }, of)]);
    expect(waitingEdits(all.queue).map((e) => e.typed)).toEqual(["12", "101", "102", "50"]);
    expect(all.drafts).toEqual([kHub]);
    expect(all.queue.trying.map((d) => d.key)).toEqual([kHub, kAxle]);
  });
  test("is left out where it was spoilt", () => {
    expect(readKept(null)).toBeNull();
    expect(readKept({ job: 1, window: "w" })).toBeNull();
    const spoilt = { ...of, trying: [{ key: kHub }, 7], unsaved: [{ do: "undo" }, { do: "set", edits: [{ key: kHub, typed: 3, base: 1 }] }, { do: "set", edits: [] }], refused: { a: 1 } };
    expect(countOf(readKept(spoilt)!)).toBe(0);
  });
});

test("of two forks that are asked for quickly, only the last counts", () => {
  const begin = latest();
  const first = begin(), second = begin();
  expect([first(), second()]).toEqual([false, true]);
  expect(latest()()()).toBe(true);
});

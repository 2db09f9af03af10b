// The phone at the mill: what it keeps without a line, whose step it is, and what a measurement is held against.
import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import type { Card } from "../src/contract/types";
import { judged, readMeasured, wantedOf, type Wanted } from "../src/phone/measured";
import { readDeeds, rebased, saidOf, sorted, withDeeds, type Deed } from "../src/phone/offline";

describe("the phone without a line", () => {
  const tick = (id: string, step: string, done: boolean, was: string | undefined = "", job = "j"): Deed =>
    ({ kind: "tick", id, job, step, done, who: "mill", at: "2026-01-01T10:00:00Z", ...(was === undefined ? {} : { was }) });
  const log: Deed = { kind: "log", id: "l", job: "j", line: { who: "mill", what: "blade", typed: "391,6" }, at: "2026-01-01T10:00:00Z" };
  const ids = (all: Deed[]) => all.map((d) => d.id);

  test("shows its own ticks over the server's, and never those of another fork's step of the same name", () => {
    const there = { a: { done: false, who: "bench", at: "" } };
    expect(withDeeds(there, [tick("1", "a", true)], "j")["a"]!.done).toBe(true);
    expect(withDeeds(there, [tick("1", "a", true, "", "other")], "j")["a"]!.done).toBe(false);
    expect(ids(sorted({}, [tick("1", "a", true, "", "other"), tick("2", "a", true)], "j").send)).toEqual(["2"]);
  });
  test("sends the last tick of a step only, and everything measured", () => {
    const deeds = [tick("1", "a", true), log, tick("2", "a", false), tick("3", "a", true)];
    expect(ids(sorted({}, deeds, "j").send)).toEqual(["l", "3"]);
    expect(ids(sorted({}, deeds, "j").moot)).toEqual(["1", "2"]);
  });
  test("leaves a step alone as it stands, and says so where somebody else ticked it since it looked", () => {
    const deeds = [tick("1", "a", false, "T1"), tick("2", "b", true, ""), tick("3", "c", true, "T1"), tick("4", "d", true, "T9")];
    const server = {
      a: { done: true, who: "bench", at: "T2" }, b: { done: true, who: "bench", at: "T1" },
      c: { done: false, who: "bench", at: "T1" }, d: { done: false, who: "bench", at: "T1" },
    };
    const all = sorted(server, deeds, "j");
    expect([ids(all.send), ids(all.moot), ids(all.overruled)]).toEqual([["3"], ["2"], ["1", "4"]]);
  });
  test("does not compare its own clock with the server's: an hour slow, its ticks go all the same", () => {
    const server = { a: { done: false, who: "bench", at: "2026-01-01T10:30:00Z" } };
    expect(ids(sorted(server, [tick("1", "a", true, "2026-01-01T10:30:00Z")], "j").send)).toEqual(["1"]);
  });
  test("a deed of an older page, which does not say what it saw, goes by the clock as it did", () => {
    const server = { a: { done: true, who: "bench", at: "2026-01-01T11:00:00Z" }, b: { done: true, who: "bench", at: "2026-01-01T09:00:00Z" } };
    const old = (id: string, step: string): Deed => { const { was: _, ...d } = tick(id, step, false) as Deed & { was?: string }; return d as Deed; };
    const all = sorted(server, [old("1", "a"), old("2", "b")], "j");
    expect([ids(all.send), ids(all.overruled)]).toEqual([["2"], ["1"]]);
  });
  test("a tick made while the one before was on its way is not taken for somebody else's", () => {
    const later = tick("2", "a", false, "");
    const now = { a: { done: true, who: "mill", at: "T5" } };
    expect(ids(sorted(now, [later], "j").overruled)).toEqual(["2"]);
    expect(ids(sorted(now, rebased([later], [tick("1", "a", true)], now), "j").send)).toEqual(["2"]);
    expect(rebased([tick("2", "a", false, "", "other")], [tick("1", "a", true)], now)[0]).toMatchObject({ was: "" });
  });
  test("what the server refused, or was overruled, stays to be said, and holds nothing up", () => {
    const deeds: Deed[] = [{ ...tick("1", "a", true), refused: "no such job" }, { ...tick("3", "a", true), overruled: true }, tick("2", "b", true)];
    expect(ids(sorted({}, deeds, "j").send)).toEqual(["2"]);
    expect(withDeeds({}, deeds, "j")["a"]).toBeUndefined();
  });
  test("takes nothing from a store that was spoilt", () => {
    expect(readDeeds("{nonsense")).toEqual([]);
    expect(readDeeds('[{"kind":"tick"},{"kind":"other","id":"1"},{"kind":"log","id":"2"}]')).toEqual([]);
  });
  test("says what was not delivered by the step's own title", () => {
    expect(saidOf({ ...tick("1", "cut 1", true), title: "Saw off the steerer" } as Deed)).toBe("done: Saw off the steerer");
    expect(saidOf(log)).toBe("measured: blade 391,6");
  });
});

describe("what is measured", () => {
  test("is read as the engine's own grammar reads it, or left to the server", () => {
    const lines = readFileSync(new URL("../../tests/base/quantity_vectors.tsv", import.meta.url), "utf8").split("\n");
    let read = 0;
    for (const line of lines) {
      const [typed, kind, result] = line.split("\t");
      if (line.startsWith("#") || !result || (kind !== "length" && kind !== "angle")) continue;
      const value = readMeasured(typed!, kind);
      const wanted = Number(result);
      if (Number.isNaN(wanted)) expect([typed, value]).toEqual([typed, null]);
      else if (value !== null) expect(Math.abs(value - wanted), typed).toBeLessThan(1e-9);
      if (value !== null) ++read;
    }
    expect(read).toBeGreaterThan(40);
  });
  test("banana is no length, and nothing like one is read as one", () => {
    for (const word of ["banana", "", "mm", "12 apples", "1e3", "1..2", "-", "12 kg", "1,234", "3/0", "0x10", "NaN"]) expect([word, readMeasured(word, "length")]).toEqual([word, null]);
    expect(readMeasured("340,2", "length")).toBe(340.2);
    expect(readMeasured("4 1/4 in", "length")).toBeCloseTo(107.95, 9);
    expect(readMeasured("71°30'", "angle")).toBe(71.5);
  });

  const wanted = (value: number, limit?: number): Wanted => ({ name: "scribe line", words: `${value.toFixed(1)} mm`, form: "length", value, ...(limit === undefined ? {} : { limit }) });
  test("107.95 where 70.8 is wanted is far from it, with or without a limit", () => {
    for (const limit of [undefined, 0.5, 1]) {
      const j = judged(107.95, wanted(70.8, limit));
      expect(j.far).toBe(true);
      expect(j.words).toMatch(/^37\.\d mm more than wanted, 70\.8 mm/);
      expect(j.standing).toBe(limit === undefined ? "not known" : "not met");
    }
  });
  test("is met up to the limit, on either side, and not beyond", () => {
    const met = (value: number) => judged(value, wanted(404.61, 1)).standing;
    expect([met(404.61), met(405.61), met(403.61), met(405.62), met(403.6)]).toEqual(["met", "met", "met", "not met", "not met"]);
    expect(judged(404.61, wanted(404.61, 1)).words).toMatch(/^just as wanted/);
    expect(judged(403.5, wanted(404.61, 1))).toMatchObject({ far: false, words: "1.1 mm less than wanted, 404.6 mm; ±1.00 mm is allowed" });
    expect(judged(0.3, wanted(0, 0.5)).far).toBe(false);
  });
  test("is held against the big number of a card that says no more, and against none where there is none", () => {
    const card = (value: string, unit: string): Card => ({ id: "c", stage: "cut", title: "t", big: { name: "turn from square", value, unit }, lines: [] });
    expect(wantedOf(card("−6.75", "°"))).toEqual([{ name: "turn from square", words: "−6.75 °", form: "angle", value: -6.75 }]);
    expect(wantedOf(card("", ""))).toEqual([]);
    expect(wantedOf({ ...card("1", "mm"), wanted: [wanted(3)] })).toEqual([wanted(3)]);
  });
});

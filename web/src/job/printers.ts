// Printers of the shop's library, by name: what is known of them, the edits that keep one, and those that put one into a job. Pure.
import type { Edit, Fields } from "../contract/types";
import { typedNumber } from "./numbers";
import { at, cell, nodeText, type Node } from "./shelf";

/** As typed. What isn't known is empty. */
export type Printer = { name: string; bar_x: string; bar_y: string; paper_thickness: string; measured: string };

const kCells = ["bar_x", "bar_y", "paper_thickness"] as const;
export const kBar = 100; // mm, as drawn

const rowsOf = (shop: Node): Node[] => {
  const rows = at(shop, ["printers"]);
  return Array.isArray(rows) ? rows : [];
};

export function printersOf(shop: Node): Printer[] {
  const said = (row: Node, name: string) => cell(row, [name]);
  return rowsOf(shop).map((row) => ({
    name: said(row, "name"), bar_x: said(row, "bar_x"), bar_y: said(row, "bar_y"),
    paper_thickness: said(row, "paper_thickness"), measured: said(row, "measured"),
  }));
}

const same = (a: string, b: string) => a.trim().toLowerCase() === b.trim().toLowerCase();

/** One row a name: its cells are typed over, a new name goes below the others. What isn't known is left as it stands. */
export function kept(shop: Node, printer: Printer): Edit[] {
  const row = printersOf(shop).findIndex((p) => same(p.name, printer.name));
  if (row < 0) return [{ key: "printers", typed: nodeText([...rowsOf(shop), { ...printer }]) }];
  return [...kCells, "measured" as const].filter((c) => printer[c]).map((c) => ({ key: `printers[${row + 1}].${c}`, typed: printer[c] }));
}

/** All that is known of it, as the job's own. */
export function used(printer: Printer): Edit[] {
  return kCells.filter((c) => printer[c]).map((c) => ({ key: `printer.${c}`, typed: printer[c] }));
}

/** Does the job print for this one? */
export function inUse(printer: Printer, fields: Fields): boolean {
  return used(printer).every((e) => fields[e.key]?.typed === e.typed);
}

/** The bar such a job prints for, mm. */
export function barOf(fields: Fields, axis: "bar_x" | "bar_y"): number {
  return fields[`printer.${axis}`]?.value ?? kBar;
}

/** A corrected print measures the correction as well: what the bar would measure without it. */
export function uncorrected(measured: number, correctedFor: number): string {
  return typedNumber((measured * correctedFor) / kBar, 2);
}

/** "2026-11-27", by the builder's calendar. */
export function dayOf(date: Date): string {
  const two = (n: number) => String(n).padStart(2, "0");
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}

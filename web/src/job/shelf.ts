// The shop's library as a tree: lists of rows, rows of cells, some cells lists again. Read from the fields the server
// tells, whether it tells a list as one key or every cell of it. Pure.
import type { Problem, Row } from "../contract/types";
import { tokens, valueText, type Token } from "./lists";

export type Node = string | Node[] | { [name: string]: Node };
export type Path = (string | number)[]; // rows from 0

/** ["cutters", 1, "diameter"]: "cutters[2].diameter". */
export function keyOf(path: Path): string {
  return path.map((step, i) => (typeof step === "number" ? `[${step + 1}]` : i ? `.${step}` : step)).join("");
}

export function pathOf(key: string): Path {
  return [...key.matchAll(/\[(\d+)\]|([^.[\]]+)/g)].map((m) => (m[1] ? Number(m[1]) - 1 : m[2]!));
}

/** A value as TOML writes it on one line. null: nothing that can be read so. */
export function readNode(typed: string): Node | null {
  const all = tokens(typed);
  let at = 0;
  const is = (mark: string, t: Token | undefined = all[at]) => t?.kind === "mark" && t.text === mark;
  const many = <T,>(end: string, one: () => T | null): T[] | null => {
    const out: T[] = [];
    for (++at; !is(end); ) {
      if (is(",")) { ++at; continue; }
      const item = at < all.length ? one() : null;
      if (item === null) return null;
      out.push(item);
    }
    ++at;
    return out;
  };
  const pair = (): [string, Node] | null => {
    const name = all[at++];
    if (!name || name.kind === "mark" || !is("=")) return null;
    ++at;
    const value = node();
    return value === null ? null : [name.text, value];
  };
  const node = (): Node | null => {
    if (is("[")) return many("]", node);
    if (is("{")) {
      const pairs = many("}", pair);
      return pairs && pairs.reduce<Node>((tree, [name, value]) => planted(tree, pathOf(name), value), {});
    }
    const word = all[at++];
    return word && word.kind !== "mark" ? word.text : null;
  };
  const out = node();
  return at === all.length ? out : null;
}

/** Back again: named rows, numbers bare, all else in quotation marks. */
export function nodeText(node: Node): string {
  if (typeof node === "string") return valueText(node);
  if (Array.isArray(node)) return `[${node.map(nodeText).join(", ")}]`;
  return `{${Object.entries(node).filter(([, v]) => v !== "").map(([k, v]) => `${k} = ${nodeText(v)}`).join(", ")}}`;
}

/** The tree with a value at a path; what is missing on the way is made. */
export function planted(tree: Node | undefined, path: Path, value: Node): Node {
  const [step, ...rest] = path;
  if (step === undefined) return value;
  if (typeof step === "number") {
    const out = Array.isArray(tree) ? [...tree] : [];
    out[step] = planted(out[step], rest, value);
    return out;
  }
  const there = tree && typeof tree === "object" && !Array.isArray(tree) ? tree : {};
  return { ...there, [step]: planted(there[step], rest, value) };
}

export function at(tree: Node | undefined, path: Path): Node | undefined {
  return path.reduce<Node | undefined>((n, step) => (n === undefined || typeof n === "string" ? undefined : (n as Record<string | number, Node>)[step]), tree);
}

export function cell(tree: Node | undefined, path: Path): string {
  const found = at(tree, path);
  return typeof found === "string" ? found : "";
}

export function treeOf(fields: Record<string, { typed: string; form?: string | undefined }>): Node {
  let tree: Node = {};
  for (const [key, field] of Object.entries(fields)) {
    const value = /^\s*[[{]/.test(field.typed) ? (readNode(field.typed) ?? field.typed) : field.typed;
    tree = planted(tree, pathOf(key), value);
  }
  return tree;
}

/** What a row may say: its own cells, and the lists inside it. */
export function insideOf(schema: Row[], list: string): { cells: Row[]; lists: Row[] } {
  const inside = schema.filter((r) => r.key.startsWith(`${list}[].`) && !r.key.slice(list.length + 3).includes("[]"));
  const isList = (r: Row) => schema.some((other) => other.key.startsWith(`${r.key}[].`));
  return { cells: inside.filter((r) => !isList(r)), lists: inside.filter(isList) };
}

/** A place to work in: a list of things, or a section of single keys. */
export type Place = { id: string; rows: Row[]; list: boolean };

export function placesOf(schema: Row[]): Place[] {
  const out = new Map<string, Place>();
  for (const row of schema) {
    const id = row.key.split(/[.[]/)[0]!;
    if (id === "version") continue;
    const place = out.get(id) ?? { id, rows: [], list: row.key === id };
    if (!row.key.includes("[]")) place.rows.push(row);
    out.set(id, place);
  }
  return [...out.values()];
}

const kSizes = ["diameter", "radius", "over_locknut", "race_stop"];

/** What is read from across the shop: what it is called, its size, and whether that was measured. */
export function telling(row: Node, one = "no name"): { name: string; size: string; sold: string; beside: string } {
  const said = (name: string) => cell(row, [name]);
  const measured = said("measured");
  if (said("bar_x")) // a printer: two lengths, and a day
    return { name: said("name"), size: `${said("bar_x")} × ${said("bar_y")}`, sold: "", beside: measured && `measured ${measured}` };
  const kind = said("kind") || said("alloy");
  const sold = kSizes.map(said).find((s) => s) ?? "";
  const beside = [said("name") ? kind : "", said("measures"), said("lot") && `lot ${said("lot")}`].filter(Boolean).join(", ");
  return { name: said("name") || kind || one, size: measured || sold, sold: measured ? sold : "", beside };
}

/** Another of the same: what was measured on the one isn't known of the other. */
export function another(row: Node): Node {
  if (typeof row === "string" || Array.isArray(row)) return row;
  const { lot: _lot, measured: _measured, note: _note, ...rest } = row;
  return rest;
}

export function problemsAt(problems: Problem[], key: string): Problem[] {
  return problems.filter((p) => p.where.key === key);
}

/** Problems of a row or anything in it. */
export function problemsIn(problems: Problem[], key: string): Problem[] {
  return problems.filter((p) => p.where.key === key || p.where.key.startsWith(`${key}.`) || p.where.key.startsWith(`${key}[`));
}

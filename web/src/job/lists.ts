// Lists of the job file on the page: a row of cells is a row of the list. Reads what TOML allows in a list
// of rows (comments, strings, inline tables); writes the short form back.

export type Cells = Record<string, string>;

/** Columns of the lists that are shown as tables, in the order of the short form. */
export const kColumns: Record<string, string[]> = {
  "blades.stations": ["at", "width", "depth", "wall"],
  "blades.left.stations": ["at", "width", "depth", "wall"],
  "blades.right.stations": ["at", "width", "depth", "wall"],
  "blades.shape": ["straight", "bend", "radius", "toward"],
  "blades.traced": ["along", "inward", "forward"],
  "steerer.walls": ["at", "wall"],
  "steerer.diameters": ["at", "diameter"],
  "wheel.tyre.half_profile": ["half_width", "below_top"],
  "brake.bolts": ["face", "along"],
};

export type Token = { kind: "mark" | "word" | "text"; text: string };

export function tokens(typed: string): Token[] {
  const out: Token[] = [];
  const pattern = /#[^\n]*|"((?:[^"\\]|\\.)*)"|'([^']*)'|([[\]{},=])|([^\s[\]{},=#"']+)/g;
  for (const m of typed.matchAll(pattern)) {
    if (m[1] !== undefined || m[2] !== undefined) out.push({ kind: "text", text: (m[1] ?? m[2])!.replace(/\\(.)/g, "$1") });
    else if (m[3] !== undefined) out.push({ kind: "mark", text: m[3] });
    else if (m[4] !== undefined) out.push({ kind: "word", text: m[4] });
  }
  return out;
}

/**
 * Rows of a list as it stands in the job.
 *   out  null: deeper or other than rows of plain values; such a list is edited as text
 */
export function rowsOf(typed: string, columns: string[]): Cells[] | null {
  const t = tokens(typed);
  if (t[0]?.text !== "[" || t[t.length - 1]?.text !== "]") return null;
  const rows: Cells[] = [];
  let i = 1;
  while (i < t.length - 1) {
    if (t[i]!.text === "," && t[i]!.kind === "mark") { ++i; continue; }
    const opening = t[i]!.text;
    if (t[i]!.kind !== "mark" || (opening !== "[" && opening !== "{")) return null;
    const row: Cells = {};
    let column = 0;
    for (++i; i < t.length && !(t[i]!.kind === "mark" && (t[i]!.text === "]" || t[i]!.text === "}")); ) {
      if (t[i]!.kind === "mark" && t[i]!.text === ",") { ++i; continue; }
      if (t[i]!.kind === "mark") return null;
      const named = t[i + 1]?.kind === "mark" && t[i + 1]?.text === "=";
      const name = named ? t[i]!.text : columns[column++];
      const value = named ? t[i + 2] : t[i];
      if (!name || !columns.includes(name) || !value || value.kind === "mark") return null;
      row[name] = value.text;
      i += named ? 3 : 1;
    }
    rows.push(row);
    ++i;
  }
  return rows;
}

const kBare = /^[+-]?\d+(\.\d+)?$/;

export function valueText(cell: string): string {
  const text = cell.trim().replace("−", "-");
  return kBare.test(text) ? text : JSON.stringify(cell.trim());
}

/** The list as it goes into the job: short rows where every cell is filled, named ones elsewhere. */
export function listText(rows: Cells[], columns: string[]): string {
  const filled = rows.filter((r) => columns.some((c) => r[c]?.trim()));
  const named = filled.some((r) => columns.some((c) => !r[c]?.trim()));
  const one = (r: Cells) => {
    const has = columns.filter((c) => r[c]?.trim());
    if (!named) return `[${has.map((c) => valueText(r[c]!)).join(", ")}]`;
    return `{${has.map((c) => `${c} = ${valueText(r[c]!)}`).join(", ")}}`;
  };
  return `[${filled.map(one).join(", ")}]`;
}

/**
 * Cells copied from a spreadsheet: lines of cells with tabs, semicolons or several spaces between. A line of
 * words at the top is a heading and is left out.
 *   out  null: not a table (one cell): the text goes where the cursor is
 */
export function pasted(text: string): string[][] | null {
  const lines = text.replace(/\r/g, "").split("\n").map((l) => l.replace(/\s+$/, "")).filter((l) => l.trim());
  const between = lines.some((l) => l.includes("\t")) ? /\t/ : lines.some((l) => l.includes(";")) ? /;/ : / {2,}/;
  const cells = lines.map((l) => l.split(between).map((c) => c.trim().replace(/^"(.*)"$/, "$1").replace(/""/g, '"')));
  if (cells.length > 1 && cells[0]!.every((c) => !/\d/.test(c))) cells.shift();
  if (cells.length === 0 || (cells.length === 1 && cells[0]!.length === 1)) return null;
  return cells;
}

/** The rows with a block of pasted cells laid over them, its first cell at (row, column). */
export function laidOver(rows: Cells[], columns: string[], row: number, column: number, block: string[][]): Cells[] {
  const out = rows.map((r) => ({ ...r }));
  block.forEach((line, i) => {
    const target = (out[row + i] ??= {});
    line.forEach((cell, j) => {
      const name = columns[column + j];
      if (name) target[name] = cell;
    });
  });
  return out;
}

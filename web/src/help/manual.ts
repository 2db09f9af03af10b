// docs/page.md as the page shows it: sections of paragraphs and numbered steps, words set bold, leaning or as typed. Pictures of the page
// itself are left out, for it is there; links to other documents keep their words, or go where
// they are only named. Pure.

export type Word = { kind: "plain" | "bold" | "leaning" | "typed"; text: string };
export type Block = { kind: "paragraph" | "step"; words: Word[] };
export type Section = { title: string; blocks: Block[] };

const kMarks = /\*\*(.+?)\*\*|\*(.+?)\*|`(.+?)`/g;

function wordsOf(text: string): Word[] {
  const plain = text.replace(/ \(\[[^\]]*\.md\]\([^)]*\)\)/g, "").replace(/\[([^\]]*)\]\([^)]*\)/g, "$1").replace(/\s+/g, " ").trim();
  const out: Word[] = [];
  let from = 0;
  for (const m of plain.matchAll(kMarks)) {
    if (m.index > from) out.push({ kind: "plain", text: plain.slice(from, m.index) });
    const kind = m[1] ? "bold" : m[2] ? "leaning" : "typed";
    out.push({ kind, text: (m[1] ?? m[2] ?? m[3])! });
    from = m.index + m[0].length;
  }
  if (from < plain.length) out.push({ kind: "plain", text: plain.slice(from) });
  return out;
}

/** "| `id` | what it means |": a row of a table is a paragraph, its head and rule fall away. */
function ofTable(part: string): string[] {
  const rows = part.split("\n").filter((l) => l.startsWith("|")).slice(2);
  return rows.map((r) => r.slice(1, -1).split("|").map((c) => c.trim()).join(": "));
}

/** Paragraphs are parted by empty lines or by the next number. */
function blocksOf(text: string): Block[] {
  return text.split(/\n\s*\n|\n(?=\d+\. )/).flatMap((part): Block[] => {
    const trimmed = part.trim();
    if (!trimmed || /^!\[/.test(trimmed)) return [];
    if (trimmed.startsWith("|")) return ofTable(trimmed).map((row) => ({ kind: "paragraph", words: wordsOf(row) }));
    const step = /^\d+\. /.exec(trimmed);
    return [{ kind: step ? "step" : "paragraph", words: wordsOf(step ? trimmed.slice(step[0].length) : trimmed) }];
  });
}

const kNotAtWork = "How quick"; // is of use to those who build the page

export function manual(markdown: string): Section[] {
  const [, ...parts] = markdown.split(/^## /m);
  const sections = parts.map((p) => {
    const end = p.indexOf("\n");
    return { title: p.slice(0, end).trim(), blocks: blocksOf(p.slice(end)) };
  });
  return sections.filter((s) => s.title !== kNotAtWork);
}

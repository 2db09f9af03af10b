// The sheets of a job as documents: one PDF and the pages that show it. Pure.
import type { SheetFile } from "../contract/types";

export type Document = { stem: string; what: string; pdf: string | null; pages: string[]; others: string[] };

const kPaper = /\.(pdf|svg)$/;

/** Files with the same stem are one document; pages in their order. Cut files and tables stand by themselves. */
export function documentsOf(files: SheetFile[]): { documents: Document[]; cut: SheetFile[]; tables: SheetFile[] } {
  const documents = new Map<string, Document>();
  const loose = files.filter((f) => f.name.includes("/"));
  for (const f of files) {
    if (f.name.includes("/") || !kPaper.test(f.name)) continue;
    const stem = f.name.replace(kPaper, "");
    const pdfOf = files.find((g) => g.name === `${stem.replace(/-\d+$/, "")}.pdf`);
    const own = f.name.endsWith(".pdf") ? stem : pdfOf ? stem.replace(/-\d+$/, "") : stem;
    const d = documents.get(own) ?? { stem: own, what: f.what, pdf: null, pages: [], others: [] };
    if (f.name.endsWith(".pdf")) d.pdf = f.name;
    else d.pages.push(f.name);
    documents.set(own, d);
  }
  const number = (name: string) => Number(/-(\d+)\.svg$/.exec(name)?.[1] ?? 0);
  for (const d of documents.values()) d.pages.sort((a, b) => number(a) - number(b));
  return {
    documents: [...documents.values()],
    cut: loose.filter((f) => !f.name.startsWith("tables/")),
    tables: loose.filter((f) => f.name.startsWith("tables/")),
  };
}

/** "mitre-templates-a4" in words. */
export function title(stem: string): string {
  return stem.replace(/-(a4|letter)$/, ", $1").replace(/-/g, " ").replace(", a4", ", A4").replace(", letter", ", Letter");
}

// Help: how one goes on, where the calliper is put, and what can hurt. The words are those of docs/page.md, of the job's own keys
// and of the cautions that stand on the sheets.
import { useEffect, useState, type ReactNode } from "react";
import page from "../../../docs/page.md?raw";
import verdicts from "../../../docs/verdicts.md?raw";
import type { Row } from "../contract/types";
import { openPanel } from "../link/actions";
import * as rest from "../link/rest";
import { usePage } from "../link/store";
import { label } from "../job/tags";
import { Measuring } from "../parts/Measuring";
import { Sheet } from "../parts/Sheet";
import { manual, type Block, type Word } from "./manual";
import "../look/help.css";

const kSections = [...manual(page), ...manual(verdicts)];
const kMeasure = "Where to measure", kCare = "What can hurt";

export default function Help() {
  const [open, setOpen] = useState(kSections[0]!.title);
  const titles = [...kSections.map((s) => s.title), kMeasure, kCare];
  const section = kSections.find((s) => s.title === open);
  return (
    <Sheet name="Help" onClose={() => openPanel(null)} wide>
      <div className="book">
        <nav className="book-list" aria-label="Help about">
          {titles.map((t) => (
            <button type="button" key={t} className={t === open ? "here" : ""} aria-current={t === open || undefined} onClick={() => setOpen(t)}>{t}</button>
          ))}
        </nav>
        <div className="book-page help" tabIndex={0} role="region" aria-label={open}>
          <h3>{open}</h3>
          {section && <Blocks blocks={section.blocks} />}
          {open === kMeasure && <Measure />}
          {open === kCare && <Cautions />}
        </div>
      </div>
    </Sheet>
  );
}

const kSet: Record<Word["kind"], (text: string) => ReactNode> = {
  plain: (t) => t, bold: (t) => <b>{t}</b>, leaning: (t) => <em>{t}</em>, typed: (t) => <code>{t}</code>,
};

function Blocks({ blocks }: { blocks: Block[] }) {
  const words = (b: Block) => b.words.map((w, i) => <span key={i}>{kSet[w.kind](w.text)}</span>);
  const steps = blocks.filter((b) => b.kind === "step");
  return (
    <>
      {steps.length > 0 && <ol className="help-steps">{steps.map((b, i) => <li key={i}>{words(b)}</li>)}</ol>}
      {blocks.filter((b) => b.kind === "paragraph").map((b, i) => <p key={i}>{words(b)}</p>)}
    </>
  );
}

/** Every measuring picture once, with what it shows. */
function Measure() {
  const schema = usePage((p) => p.schema);
  const pictures = new Map<string, Row[]>();
  for (const r of schema) if (r.picture) pictures.set(r.picture, [...(pictures.get(r.picture) ?? []), r]);
  return (
    <>
      {[...pictures].map(([name, rows]) => (
        <section key={name} className="help-part" aria-label={name.replace(/-/g, " ")}>
          <Measuring name={name} alt={`How to measure: ${name.replace(/-/g, " ")}`} />
          <dl>{rows.map((r) => <div key={r.key}><dt>{label(r.key)}</dt><dd>{r.meaning}</dd></div>)}</dl>
        </section>
      ))}
    </>
  );
}

function Cautions() {
  const [all, setAll] = useState<string[]>([]);
  useEffect(() => void rest.cautions().then(setAll, () => undefined), []);
  return <>{all.map((c) => <p className="caution" key={c}>{c}</p>)}</>;
}

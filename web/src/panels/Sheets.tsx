// Every sheet as it will be printed, to look at and to take; and the printer's calibration.
import { useState } from "react";
import type { SheetFile } from "../contract/types";
import { openPanel } from "../link/actions";
import * as rest from "../link/rest";
import { usePage } from "../link/store";
import { capital } from "../parts/Problems";
import { documentsOf, title, type Document } from "../job/book";
import { useAsked } from "../parts/useAsked";
import { Waiting } from "../parts/Waiting";
import { Sheet } from "../parts/Sheet";
import { Calibrate } from "./Calibrate";

export function Sheets() {
  const job = usePage((p) => p.job);
  const [open, setOpen] = useState<string | null>("mitre-templates-a4");
  const id = job?.id ?? "", revision = job?.revision;
  const asked = useAsked<SheetFile[]>(id ? (signal) => rest.sheets(id, signal) : null, id, [revision]);
  const book = documentsOf(asked.answer ?? []);
  const chosen = open === "printer" ? null : (book.documents.find((d) => d.stem === open) ?? book.documents[0]);
  return (
    <Sheet name={`Sheets of ${job?.name ?? ""}`} onClose={() => openPanel(null)} wide>
      <div className="book">
        <nav className="book-list" aria-label="Sheets">
          <Waiting asked={asked} words="The sheets are being drawn" />
          <button type="button" className={open === "printer" ? "here" : ""} onClick={() => setOpen("printer")}>Teach it the printer</button>
          {book.documents.map((d) => (
            <button type="button" key={d.stem} className={d === chosen ? "here" : ""} onClick={() => setOpen(d.stem)}>
              {title(d.stem)}<small>{d.pages.length > 1 ? `${d.pages.length} pages` : "1 page"}</small>
            </button>
          ))}
          <Loose name="Cut files" files={book.cut} id={id} />
          <Loose name="Tables" files={book.tables} id={id} />
        </nav>
        <div className="book-page" tabIndex={0} role="region" aria-label="The sheet as it will be printed">
          {open === "printer" ? <Calibrate id={id} /> : chosen && <Pages id={id} document={chosen} revision={revision ?? 0} />}
        </div>
      </div>
    </Sheet>
  );
}

/** Who came by keys stands at the print at once. */
function toPrint(link: HTMLAnchorElement | null): void {
  if (document.activeElement?.matches(".sheet")) link?.focus();
}

function Pages({ id, document: d, revision }: { id: string; document: Document; revision: number }) {
  return (
    <>
      <div className="row">
        <p className="quiet-words">{capital(d.what)}. Print at 100 %, never “fit to page”; then measure the bar.</p>
        {d.pdf && <a className="press main" ref={toPrint} href={rest.sheetLink(id, d.pdf)} target="_blank" rel="noreferrer">open the PDF to print</a>}
        {d.pdf && <a className="press" href={rest.sheetLink(id, d.pdf)} download>keep the PDF</a>}
      </div>
      <div className="tiles">
        {d.pages.map((p, i) => (
          <figure key={p}>
            <img src={`${rest.sheetLink(id, p)}?revision=${revision}`} alt={`${title(d.stem)}, page ${i + 1}`} loading="lazy" />
            <figcaption>page {i + 1} <a href={rest.sheetLink(id, p)} download>SVG</a></figcaption>
          </figure>
        ))}
      </div>
    </>
  );
}

function Loose({ name, files, id }: { name: string; files: SheetFile[]; id: string }) {
  if (files.length === 0) return null;
  return (
    <details>
      <summary>{name} ({files.length})</summary>
      {files.map((f) => (
        <a key={f.name} href={rest.sheetLink(id, f.name)} download title={f.what}>{f.name.split("/").pop()}</a>
      ))}
    </details>
  );
}

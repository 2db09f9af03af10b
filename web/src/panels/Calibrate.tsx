// A printer's true size in three steps: print, measure, type. Kept by its name in the shop's library, so that every device
// and the terminal know it.
import { useState } from "react";
import type { Problem } from "../contract/types";
import { saveEdits, stillOpen } from "../link/actions";
import { sheetLink, unit } from "../link/rest";
import { get, kNoFields, usePage } from "../link/store";
import { barOf, dayOf, inUse, kBar, kept, printersOf, uncorrected, used, type Printer } from "../job/printers";
import { shown } from "../job/numbers";
import { Said } from "../library/Said";
import { useShop } from "../library/useShop";
import { Measuring } from "../parts/Measuring";
import { Press } from "../parts/Press";

const kNobody = { name: "", bar_x: "", bar_y: "", paper_thickness: "" };

export function Calibrate({ id }: { id: string }) {
  const fields = usePage((p) => p.view?.fields ?? kNoFields);
  const shelves = useShop();
  const [typed, setTyped] = useState(kNobody);
  const [corrected, setCorrected] = useState(true); // the print that was measured
  const [said, setSaid] = useState("");
  const [refused, setRefused] = useState<Problem[]>([]);
  const known = printersOf(shelves.tree);
  const bars = [barOf(fields, "bar_x"), barOf(fields, "bar_y")] as const;
  const corrects = bars.some((b) => b !== kBar);

  const use = (p: Printer) => {
    saveEdits(used(p));
    setSaid(`The sheets are now made for ${p.name}.`);
  };
  /** What the bar measures by itself, as typed where nothing has to be reckoned. */
  const bar = async (text: string, correctedFor: number) => {
    if (!corrects || !corrected) return text.trim();
    const { value } = await unit(text, "length");
    return value === null ? text.trim() : uncorrected(value, correctedFor);
  };
  const keep = async () => {
    const fork = get().job?.id;
    const [bar_x, bar_y] = await Promise.all([bar(typed.bar_x, bars[0]), bar(typed.bar_y, bars[1])]);
    const mine: Printer = { name: typed.name.trim(), bar_x, bar_y, paper_thickness: typed.paper_thickness.trim(), measured: dayOf(new Date()) };
    const problems = await shelves.edit(kept(shelves.tree, mine));
    setRefused(problems);
    if (problems.length) return;
    setTyped(kNobody);
    if (stillOpen(fork)) use(mine);
  };
  const line = (name: keyof typeof kNobody, words: string, placeholder: string) => (
    <label className="inline-field">{words}
      <input type="text" inputMode={name === "name" ? "text" : "decimal"} value={typed[name]} placeholder={placeholder}
        onChange={(e) => setTyped({ ...typed, [name]: e.target.value })} />
    </label>
  );
  const missing = !typed.bar_x.trim() || !typed.bar_y.trim() ? "type both lengths first" : !typed.name.trim() && "say which printer it is";
  return (
    <div className="calibrate">
      <p role="status">
        {said} {corrects ? `This fork's sheets are made for a printer whose bars measure ${shown(bars[0], 2)} mm across and ${shown(bars[1], 2)} mm up.`
          : "This fork's sheets take the printer as true."}
      </p>
      {known.length > 0 && (
        <section className="row" aria-label="Printers the shop knows">
          {known.map((p) => (
            <Press key={p.name} pressed={inUse(p, fields)} hint={p.measured && `measured ${p.measured}`} onPress={() => use(p)}>
              {p.name}: {p.bar_x} × {p.bar_y}
            </Press>
          ))}
        </section>
      )}
      <ol>
        <li>
          <h3>Print</h3>
          <p>Print this page at 100 %, with no scaling by the printer's window.</p>
          <a className="press main" href={sheetLink(id, "summary-a4.pdf")} target="_blank" rel="noreferrer">open the page</a>
        </li>
        <li>
          <h3>Measure</h3>
          <p>Lay a steel rule on the two check bars. Each should be 100 mm long. Read to a tenth: the bar across the page, then the bar up the page.</p>
          <Measuring name="printer" alt="The two check bars of a sheet and where to lay the rule" />
        </li>
        <li>
          <h3>Type</h3>
          <div className="row">
            {line("bar_x", "across", "100")}
            {line("bar_y", "up", "100")}
            {line("paper_thickness", "paper's thickness", "0.1")}
            {line("name", "printer", "the one by the door")}
          </div>
          {corrects && (
            <label className="tick-line">
              <input type="checkbox" checked={corrected} onChange={(e) => setCorrected(e.target.checked)} />
              The print says “printer corrected” in its title block
            </label>
          )}
          <Press kind="main" onPress={() => void keep()} whyNot={missing}>remember this printer</Press>
          <Said problems={refused} />
          {shelves.wrong && <p className="problem" role="alert">{shelves.wrong}</p>}
        </li>
      </ol>
    </div>
  );
}

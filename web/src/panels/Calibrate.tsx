// A printer's true size in three steps: print, measure, type. Kept for every printer by its name.
import { useState } from "react";
import { saveEdits } from "../link/actions";
import { sheetLink } from "../link/rest";
import { usePage } from "../link/store";
import { Press } from "../parts/Press";

type Printer = { name: string; x: string; y: string };
const kPlace = "halfround.printers";

export function readPrinters(text: string | null): Printer[] {
  try {
    const all: unknown = JSON.parse(text ?? "[]");
    return Array.isArray(all) ? (all as Printer[]).filter((p) => p && p.name && p.x && p.y) : [];
  } catch {
    return [];
  }
}

export function Calibrate({ id }: { id: string }) {
  const fields = usePage((p) => p.view?.fields);
  const [printers, setPrinters] = useState(readPrinters(localStorage.getItem(kPlace)));
  const [name, setName] = useState(printers[0]?.name ?? "");
  const [x, setX] = useState(fields?.["printer.bar_x"]?.typed ?? "");
  const [y, setY] = useState(fields?.["printer.bar_y"]?.typed ?? "");
  const [kept, setKept] = useState("");

  const use = (p: Printer) => {
    saveEdits([{ key: "printer.bar_x", typed: p.x }, { key: "printer.bar_y", typed: p.y }]);
    setKept(`Sheets are now corrected for ${p.name}: ${p.x} mm across, ${p.y} mm up.`);
  };
  const keep = () => {
    const mine = { name: name.trim() || "the printer", x: x.trim(), y: y.trim() };
    const all = [mine, ...printers.filter((p) => p.name !== mine.name)];
    localStorage.setItem(kPlace, JSON.stringify(all));
    setPrinters(all);
    use(mine);
  };
  return (
    <div className="calibrate">
      <ol>
        <li>
          <h3>Print</h3>
          <p>Print this page at 100 %, with no scaling by the printer's window.</p>
          <a className="press main" href={sheetLink(id, "summary-a4.pdf")} target="_blank" rel="noreferrer">open the page</a>
        </li>
        <li>
          <h3>Measure</h3>
          <p>Lay a steel rule on the two check bars. Each should be 100 mm long. Read to a tenth: the bar across the page, then the bar up the page.</p>
          <img src="/api/pictures/printer.svg" alt="The two check bars of a sheet and where to lay the rule" />
        </li>
        <li>
          <h3>Type</h3>
          <div className="row">
            <label className="inline-field">across <input type="text" inputMode="decimal" value={x} onChange={(e) => setX(e.target.value)} placeholder="100" /></label>
            <label className="inline-field">up <input type="text" inputMode="decimal" value={y} onChange={(e) => setY(e.target.value)} placeholder="100" /></label>
            <label className="inline-field">printer <input type="text" value={name} onChange={(e) => setName(e.target.value)} placeholder="the one by the door" /></label>
            <Press kind="main" onPress={keep} whyNot={(!x.trim() || !y.trim()) && "type both lengths first"}>remember</Press>
          </div>
        </li>
      </ol>
      <p role="status">{kept}</p>
      {printers.length > 0 && (
        <div className="row">
          <span>Known printers:</span>
          {printers.map((p) => <Press key={p.name} onPress={() => use(p)}>{p.name}: {p.x} × {p.y}</Press>)}
        </div>
      )}
    </div>
  );
}

// The tyre's half profile by points on squared paper: pressed, drawn or moved by keys; a picture from this machine
// may lie underneath. The drawing behind follows; nothing is saved before it is kept.
import { useRef, useState } from "react";
import { forget, openPanel, saveEdits, tryEdits } from "../link/actions";
import type { Edit } from "../contract/types";
import { get, typedNow } from "../link/store";
import { added, folded, kFewest, kProfileKey, moved, next, profileText, snapped, traced, without, type Point } from "../job/trace";
import { typedNumber } from "../job/numbers";
import { Press } from "../parts/Press";
import { Sheet } from "../parts/Sheet";
import { SquaredPaper } from "./SquaredPaper";
import { PictureUnder, usePictureUnder } from "./PictureUnder";
import "../look/trace.css";

const kDiameterKey = "wheel.tyre.outside_diameter";
export const kPressed = 0.5; // mm: what a press of the hand is rounded to

export default function TyreTrace() {
  const before = useRef(typedNow(get(), kProfileKey));
  const [points, setPoints] = useState<Point[]>(() => traced(before.current));
  const [chosen, setChosen] = useState(0);
  const picture = usePictureUnder(points);
  const [touched, setTouched] = useState(false);
  const [asks] = useState(() => !get().view?.fields[kDiameterKey]); // named by its sidewall so far
  const [diameter, setDiameter] = useState("");

  const editsFor = (to: Point[], across: string): Edit[] => [
    { key: kProfileKey, typed: profileText(to) }, ...(asks ? [{ key: kDiameterKey, typed: across.trim() }] : []),
  ];
  const attempt = (to: Point[], across: string) => {
    if (to.length >= kFewest && (!asks || across.trim())) tryEdits(editsFor(to, across));
  };
  const change = (to: Point[], at = chosen) => {
    setPoints(to);
    setChosen(Math.min(at, to.length - 1));
    setTouched(true);
    attempt(to, diameter);
  };
  const leave = () => {
    forget(kProfileKey);
    if (asks) forget(kDiameterKey);
    openPanel(null);
  };
  const keep = () => {
    saveEdits(editsFor(points, diameter));
    openPanel(null);
  };
  const whyNot = !touched ? "nothing is traced yet" : points.length < kFewest ? "three points at least"
    : asks && !diameter.trim() ? "type the outside diameter first" : "";
  const press = (p: Point) => {
    if (picture.presses) return picture.press(p);
    const put = added(points, snapped(folded(p), kPressed));
    change(put.points, put.at);
  };
  const p = points[chosen] ?? points[0]!;
  return (
    <Sheet name="The tyre's half profile, traced" onClose={leave} wide>
      <div className="trace">
        <SquaredPaper points={points} chosen={chosen} onChoose={setChosen} onPress={press} picture={picture} pressing={picture.presses}
          onMove={(i, to) => change(moved(points, i, to), i)} onRemove={(i) => change(without(points, i), Math.max(0, i - 1))}
          onNext={(i) => { const put = next(points, i); change(put.points, put.at); }} />
        <div className="trace-side">
          <p className="quiet-words">
            Press on the paper for a point, from the top of the tread down to the rim; drag it to move it. By keys: arrows move a point
            by 1 mm, with shift by 0.1; Enter adds one after it, Delete takes it out.
          </p>
          <h3>point {chosen + 1} of {points.length}</h3>
          <Exactly name="half width" value={p.x} onTyped={(x) => change(moved(points, chosen, { ...p, x }))} />
          <Exactly name="below the top" value={p.y} whyNot={chosen === 0} onTyped={(y) => change(moved(points, chosen, { ...p, y }))} />
          <div className="row">
            <Press onPress={() => { const put = next(points, chosen); change(put.points, put.at); }}>add a point</Press>
            <Press onPress={() => change(without(points, chosen), chosen - 1)} whyNot={chosen === 0 && "the top stays"}>take it out</Press>
          </div>
          {asks && (
            <label className="inline-field">outside diameter of the tyre
              <input type="text" value={diameter} placeholder="665" onChange={(e) => { setDiameter(e.target.value); attempt(points, e.target.value); }} />
            </label>
          )}
          <PictureUnder picture={picture} />
          <div className="row">
            <Press kind="main" onPress={keep} whyNot={whyNot}>keep this profile</Press>
            <Press onPress={leave}>leave it as it was</Press>
          </div>
        </div>
      </div>
    </Sheet>
  );
}

type ExactlyProps = { name: string; value: number; onTyped: (v: number) => void; whyNot?: boolean };

/** A point's number, typed. */
function Exactly({ name, value, onTyped, whyNot }: ExactlyProps) {
  const [draft, setDraft] = useState<string | null>(null);
  const keep = () => {
    const v = Number((draft ?? "").replace(",", "."));
    if (draft !== null && draft.trim() && Number.isFinite(v)) onTyped(v);
    setDraft(null);
  };
  return (
    <label className="inline-field">{name}
      <input type="text" inputMode="decimal" value={draft ?? typedNumber(value, 2)} disabled={!!whyNot} onBlur={keep}
        onChange={(e) => setDraft(e.target.value)} onKeyDown={(e) => e.key === "Enter" && keep()} /> mm
    </label>
  );
}

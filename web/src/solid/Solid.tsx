// The solid: turned by hand or by keys, cut by a plane. Loaded only when somebody looks at it.
import { useEffect, useRef, useState, type KeyboardEvent } from "react";
import * as rest from "../link/rest";
import { usePicked } from "../link/store";
import { Press } from "../parts/Press";
import { useAsked } from "../parts/useAsked";
import { Waiting } from "../parts/Waiting";
import { Views } from "../table/Views";
import { openScene, type Cut, type SolidScene } from "./scene";

function ink(name: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(name).trim();
}

export default function Solid() {
  const room = useRef<HTMLDivElement>(null);
  const scene = useRef<SolidScene | null>(null);
  const { job, view } = usePicked("job", "view");
  const [said, setSaid] = useState("");
  const [ready, setReady] = useState(false);
  const [stands, setStands] = useState(0); // solids put up so far
  const [cut, setCut] = useState<Cut>(null);
  const id = job?.id ?? "", revision = job?.revision, solved = view?.solved;
  const asked = useAsked<ArrayBuffer>(id && ready && solved !== false ? (signal) => rest.solid(id, signal) : null, id, [revision, solved]);

  useEffect(() => {
    try {
      scene.current = openScene(room.current!, { paper: ink("--film"), metal: ink("--metal"), line: ink("--graphite"), cut: ink("--hand") });
      setReady(true);
    } catch {
      setSaid("This browser draws no solids (no WebGL). The flat views show the same fork.");
    }
    return () => scene.current?.close();
  }, []);
  useEffect(() => {
    if (!asked.answer) return;
    scene.current?.put(asked.answer).then(() => setStands((n) => n + 1), (e: Error) => setSaid(e.message));
  }, [asked.answer]);
  useEffect(() => scene.current?.cut(cut), [cut, stands]);

  const onKey = (e: KeyboardEvent) => {
    if (e.target !== e.currentTarget) return;
    const s = scene.current, deeds: Record<string, () => void> = {
      ArrowLeft: () => s?.turn(-0.15, 0), ArrowRight: () => s?.turn(0.15, 0),
      ArrowUp: () => s?.turn(0, 0.15), ArrowDown: () => s?.turn(0, -0.15),
      "+": () => s?.zoom(1.2), "-": () => s?.zoom(1 / 1.2), "0": () => s?.stand("corner"),
    };
    if (!deeds[e.key]) return;
    e.preventDefault();
    deeds[e.key]!();
  };
  return (
    <div className="table solid" role="region" tabIndex={0} onKeyDown={onKey}
      aria-label="The fork in space. Arrows turn it, plus and minus zoom, 0 stands it up again.">
      <div className="solid-room" ref={room} aria-hidden="true" />
      {said && <p className="solid-said" role="status">{said}</p>}
      {(asked.slow || asked.stopped || asked.wrong) && <div className="solid-said"><Waiting asked={asked} words="The solid is being made" /></div>}
      <div className="table-tools left"><Views /></div>
      <div className="table-tools right" role="toolbar" aria-label="Solid">
        <Press kind="quiet" onPress={() => scene.current?.stand("ahead")}>ahead</Press>
        <Press kind="quiet" onPress={() => scene.current?.stand("left")}>left</Press>
        <Press kind="quiet" onPress={() => scene.current?.stand("corner")}>corner</Press>
        <label>cut
          <select value={cut?.axis ?? ""} onChange={(e) => setCut(e.target.value ? { axis: e.target.value as "x", share: cut?.share ?? 0.5 } : null)}>
            <option value="">no</option>
            <option value="x">from the left</option>
            <option value="z">from ahead</option>
            <option value="y">from above</option>
          </select>
        </label>
        {cut && (
          <input type="range" aria-label="Where it is cut" min={0} max={1} step={0.005} value={cut.share}
            onChange={(e) => setCut({ ...cut, share: Number(e.target.value) })} />
        )}
      </div>
    </div>
  );
}

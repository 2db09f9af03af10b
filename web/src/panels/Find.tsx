// Find: every view, deed, tag and key by a few letters (Ctrl K).
import type * as React from "react";
import { useEffect, useId, useMemo, useRef, useState } from "react";
import { goTo, look, openMending, openPanel, redo, undo, walkTo } from "../link/actions";
import { kStages, set, usePage } from "../link/store";
import { found, type Findable } from "../job/find";
import { kAllTags, label, tagOf } from "../job/tags";
import { Sheet } from "../parts/Sheet";
import { kViews } from "../table/Views";

type Deed = Findable & { go: () => void };

function useDeeds(): Deed[] {
  const schema = usePage((p) => p.schema);
  return useMemo(() => {
    const deed = (name: string, more: string, go: () => void, also = ""): Deed => ({ id: `${name}|${more}`, name, more, also, go });
    return [
      deed("print the sheets", "every sheet as it will be printed; templates, PDF", () => openPanel("sheets"), "SVG download"),
      deed("forks in the book", "open one, begin one, bring one in", () => openPanel("jobs"), "jobs new duplicate import export file"),
      deed("revisions", "name them, compare them", () => openPanel("history"), "history ghost versions"),
      deed("I cut it short", "say what is made, and mend the plan", () => openMending(), "as built done ways replan"),
      deed("the finished fork, measured", "how it stands, which blade to cold set", () => openMending(), "stands readings otherwise plate"),
      deed("shop log", "what was cut and measured", () => openPanel("log"), "notes"),
      deed("phone at the mill", "pair it; the shop network", () => openPanel("phone"), "code for the phone's camera"),
      deed("shop library", "tools, stock, fillers, printers", () => openPanel("library"), "cutters files fixtures rods lots"),
      deed("trace the tyre", "its half profile, over a photo or a scan", () => openPanel("trace"), "points squared paper"),
      deed("true size", "set it by a bank card", () => openPanel("card"), "calibrate screen"),
      deed("help", "how one goes on, where to measure, what can hurt", () => openPanel("help"), "manual guide cautions"),
      ...kViews.map((v) => deed(v.name, "view", () => look(v.id))),
      ...kStages.map((s) => deed(s, "order of work", () => walkTo(s))),
      deed("undo", "history", undo),
      deed("redo", "history", redo),
      ...kAllTags.map((t) => deed(t.name, "tag", () => set({ tag: t.id }))),
      ...schema.filter((r) => !r.key.includes("[]") && r.key !== "version").map((r) =>
        ({ id: r.key, name: label(r.key), more: `${tagOf(r.key)?.name ?? ""}: ${r.meaning}`, also: r.key, go: () => goTo(r.key) })),
    ];
  }, [schema]);
}

export function Find() {
  const deeds = useDeeds();
  const [typed, setTyped] = useState("");
  const [at, setAt] = useState(0);
  const id = useId();
  const here = useRef<HTMLInputElement>(null);
  const lines = found(deeds, typed, 14);
  const close = () => openPanel(null);
  const go = (d: Deed | undefined) => {
    if (!d) return;
    close();
    window.setTimeout(d.go, 0);
  };
  useEffect(() => here.current?.focus(), []);
  useEffect(() => setAt(0), [typed]);
  const onKey = (e: React.KeyboardEvent) => {
    if (e.key === "ArrowDown") setAt((at + 1) % Math.max(1, lines.length));
    else if (e.key === "ArrowUp") setAt((at + lines.length - 1) % Math.max(1, lines.length));
    else if (e.key === "Enter") go(lines[at]);
    else return;
    e.preventDefault();
  };
  return (
    <Sheet name="Find" onClose={close}>
      <input ref={here} className="find-line" type="text" role="combobox" aria-expanded="true" aria-controls={`${id}l`}
        aria-activedescendant={lines[at] ? `${id}${at}` : undefined} aria-label="What to find" placeholder="clearance, template, undo …"
        value={typed} onChange={(e) => setTyped(e.target.value)} onKeyDown={onKey} />
      <div className="find-list" role="listbox" id={`${id}l`} aria-label="Found" tabIndex={-1}>
        {lines.map((d, i) => (
          <div key={d.id} id={`${id}${i}`} role="option" aria-selected={i === at} onPointerEnter={() => setAt(i)} onClick={() => go(d)}>
            <b>{d.name}</b> <span>{d.more}</span>
          </div>
        ))}
      </div>
      {lines.length === 0 && <p role="status">Nothing is called that.</p>}
    </Sheet>
  );
}

// The bench: every part as a tie-on tag with its one telling number; a tag opens into its fields.
import { useState } from "react";
import { openMending } from "../link/actions";
import { set, usePage } from "../link/store";
import { sorted } from "../job/slip";
import { kAllTags, kDrawer, kTags, tagOf, type Tag } from "../job/tags";
import { fieldOf } from "../job/mends";
import { useOther } from "../parts/useOther";
import { Fields } from "./Fields";
import { FirstSteps } from "./FirstSteps";

export function Bench() {
  const open = usePage((p) => p.tag);
  const [drawer, setDrawer] = useState(false);
  const tag = kAllTags.find((t) => t.id === open);
  return (
    <>
      <nav className="bench" aria-label="The bench: parts and wishes">
        <FirstSteps />
        <div className="tags">{kTags.map((t) => <TagCard key={t.id} tag={t} open={open === t.id} />)}</div>
        <button type="button" className="drawer-pull" aria-expanded={drawer} onClick={() => setDrawer(!drawer)}>
          drawer {drawer ? "▲" : "▼"}
        </button>
        {drawer && <div className="drawer">{kDrawer.map((t) => <SmallTag key={t.id} tag={t} open={open === t.id} />)}</div>}
      </nav>
      {tag && <Fields key={tag.id} tag={tag} />}
    </>
  );
}

function toggle(id: string, open: boolean) {
  if (id === "as-built") return openMending();
  set({ tag: open ? null : id, focus: null });
}

const kTightest = "tightest here";

function useStanding(tag: Tag): string {
  return usePage((p) => {
    if ((p.view?.problems ?? []).some((q) => tagOf(fieldOf(q))?.id === tag.id)) return "stops here";
    const [tightest] = sorted((p.view?.verdicts ?? []).filter((v) => v.study === "clearance" && v.margin !== null));
    const about = new RegExp(`\\b${tag.name.replace(/s$/, "")}\\b`);
    if (!tightest || !about.test(tightest.what.replace("rotor", "brake"))) return "";
    return tightest.standing === "not met" ? "not met" : kTightest;
  });
}

function TagCard({ tag, open }: { tag: Tag; open: boolean }) {
  const fields = usePage((p) => p.view?.fields);
  const numbers = usePage((p) => p.view?.numbers);
  const told = fields ? tag.tells(fields, numbers ?? {}) : null;
  const other = useOther(told?.form === "none" ? "" : (told?.text ?? ""), told?.form ?? "none");
  const word = useStanding(tag);
  return (
    <button type="button" className={`tag${open ? " open" : ""}`} aria-expanded={open} onClick={() => toggle(tag.id, open)}>
      <span className="eyelet" aria-hidden="true" />
      <span className="tag-name"><span>{tag.name}</span>{word ? <span className={word === kTightest ? "limiting" : "flag"}>{word}</span> : <span className="tag-beside">{told?.beside}</span>}</span>
      <span className={`tag-number${told?.italic ? " assumed" : ""}${(told?.text.length ?? 0) > 9 ? " long" : ""}`}>
        {told ? told.text.replace(/^-/, "−") : "?"} <small>{told?.unit}</small>
      </span>
      <span className="tag-other">{other}</span>
    </button>
  );
}

function SmallTag({ tag, open }: { tag: Tag; open: boolean }) {
  const word = useStanding(tag);
  return (
    <button type="button" className={`small-tag${open ? " open" : ""}`} aria-expanded={open} onClick={() => toggle(tag.id, open)}>
      {tag.name} {word && <span className="flag">{word}</span>}
    </button>
  );
}

// The bench: every part as a tie-on tag with its one telling number; a tag opens into its fields.
import { useState } from "react";
import { openMending } from "../link/actions";
import { set, usePage } from "../link/store";
import { sorted } from "../job/slip";
import { kAllTags, kDrawer, kTags, tagOf, type Tag } from "../job/tags";
import { fieldOf } from "../job/mends";
import { useOther } from "../parts/useOther";
import { Fields } from "./Fields";

export function Bench() {
  const open = usePage((p) => p.tag);
  const [drawer, setDrawer] = useState(false);
  const tag = kAllTags.find((t) => t.id === open);
  return (
    <>
      <nav className="bench" aria-label="The bench: parts and wishes">
        <FirstFive />
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
    return tightest.standing === "missed" ? "not met" : kTightest;
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

const kFirst = [
  { key: "hub.over_locknut", name: "hub" },
  { key: "wheel.tyre", name: "tyre" },
  { key: "steering.axle_to_crown", name: "axle-to-crown" },
  { key: "steering.offset", name: "offset" },
  { key: "blades.stations", name: "blade" },
];

/** A job begun like another: the five questions that make it one's own. */
function FirstFive() {
  const job = usePage((p) => p.job);
  const place = `halfround.asked.${job?.id}`;
  const [left, setLeft] = useState<string[] | null>(null);
  const asked = left ?? (JSON.parse(localStorage.getItem(place) ?? "[]") as string[]);
  if (!job || asked.length === 0) return null;
  const answer = (key: string) => {
    const rest = asked.filter((k) => k !== key);
    localStorage.setItem(place, JSON.stringify(rest));
    setLeft(rest);
    const profile = usePage.getState().view?.fields["wheel.tyre.half_profile"];
    set({ tag: tagOf(key)!.id, focus: key === "wheel.tyre" && profile ? "wheel.tyre.outside_diameter" : key });
  };
  return (
    <div className="first-five">
      <p>Make it yours. Still as in the fork it came from:</p>
      {kFirst.filter((f) => asked.includes(f.key)).map((f) => (
        <button type="button" key={f.key} onClick={() => answer(f.key)}>{f.name} ?</button>
      ))}
    </div>
  );
}

/** Called when a job was begun: its five questions are open. */
export function askFirstFive(job: string): void {
  localStorage.setItem(`halfround.asked.${job}`, JSON.stringify(kFirst.map((f) => f.key)));
}

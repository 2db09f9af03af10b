// The back of a tag: its fields, and the picture that shows where to put the calliper.
import { useState } from "react";
import { kNoFields, set, usePage } from "../link/store";
import type { Problem } from "../contract/types";
import type { Tag } from "../job/tags";
import { rowsOnTag, tagOf, wanted } from "../job/tags";
import { fieldOf } from "../job/mends";
import { goTo } from "../link/actions";
import { useProblems, Field } from "./Field";
import { Measuring } from "../parts/Measuring";
import { Problems } from "../parts/Problems";
import { Press } from "../parts/Press";

const kNoProblems: Problem[] = [];

/** By keys one comes back to where one came from. */
function backToTag() {
  document.querySelector<HTMLElement>(".tag.open, .small-tag.open")?.focus();
  set({ tag: null });
}

export function Fields({ tag }: { tag: Tag }) {
  const schema = usePage((p) => p.schema);
  const fields = usePage((p) => p.view?.fields ?? kNoFields);
  const [all, setAll] = useState(false);
  const onTag = rowsOnTag(tag, schema);
  const missing = new Set(usePage((p) => p.view?.problems)?.map((q) => q.where.key) ?? []);
  const main = onTag.filter((r) => (fields[r.key] && !fields[r.key]!.assumed) || missing.has(r.key) || (r.need === "required" && wanted(r, fields)));
  const rest = onTag.filter((r) => !main.includes(r));
  const apt = onTag.filter((r) => wanted(r, fields));
  const picture = tag.id === "paper" ? undefined : main.find((r) => r.picture)?.picture;
  const shown = all ? [...main, ...rest] : main.length > 0 ? main : apt;
  return (
    <section className="fields" aria-label={`Fields of ${tag.name}`}
      onKeyDown={(e) => e.key === "Escape" && backToTag()}>
      <header className="fields-head">
        <h2>{tag.name}</h2>
        <Press kind="quiet" label={`Close ${tag.name}`} onPress={() => set({ tag: null })}>×</Press>
      </header>
      {tag.sections.map((s) => <SectionProblems key={s} section={s} />)}
      <StopsElsewhere tag={tag} />
      {picture && <Measuring name={picture} alt={`How to measure: ${picture.replace("-", " ")}`} />}
      {shown.map((r) => <Field key={r.key} row={r} />)}
      {onTag.length > (main.length || apt.length) && (
        <Press onPress={() => setAll(!all)}>{all ? "show less" : `show ${onTag.length - (main.length || apt.length)} more, assumed or not said`}</Press>
      )}
    </section>
  );
}

function SectionProblems({ section }: { section: string }) {
  return <Problems problems={useProblems(section)} />;
}

/** What was typed here may stop the fork at another tag: it is said here too, for the slip may be out of sight. */
function StopsElsewhere({ tag }: { tag: Tag }) {
  const problems = usePage((p) => (p.view && !p.view.solved ? p.view.problems : kNoProblems));
  const refused = usePage((p) => p.refused);
  const elsewhere = problems.filter((q) => tagOf(fieldOf(q))?.id !== tag.id);
  const key = elsewhere[0]?.where.key;
  if (!elsewhere.length || elsewhere.length < problems.length || Object.keys(refused).length) return null;
  return (
    <div className="stops" role="status">
      <p><b>No such fork.</b> The drawing shows the last one that could be had.</p>
      <Problems problems={elsewhere} />
      {key && <Press onPress={() => goTo(key)}>to the field</Press>}
    </div>
  );
}

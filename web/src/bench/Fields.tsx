// The back of a tag: its fields, and the picture that shows where to put the calliper.
import { useState } from "react";
import { kNoFields, set, usePage } from "../link/store";
import type { Tag } from "../job/tags";
import { rowsOnTag, wanted } from "../job/tags";
import { useProblems, Field } from "./Field";
import { Problems } from "../parts/Problems";
import { Press } from "../parts/Press";

export function Fields({ tag }: { tag: Tag }) {
  const schema = usePage((p) => p.schema);
  const fields = usePage((p) => p.view?.fields ?? kNoFields);
  const [all, setAll] = useState(false);
  const onTag = rowsOnTag(tag, schema);
  const missing = new Set(usePage((p) => p.view?.problems)?.map((q) => q.where.key) ?? []);
  const main = onTag.filter((r) => (fields[r.key] && !fields[r.key]!.assumed) || missing.has(r.key) || (r.need === "required" && wanted(r, fields)));
  const rest = onTag.filter((r) => !main.includes(r));
  const picture = tag.id === "paper" ? undefined : main.find((r) => r.picture)?.picture;
  const shown = main.length === 0 || all ? [...main, ...rest] : main;
  return (
    <section className="fields" aria-label={`Fields of ${tag.name}`}
      onKeyDown={(e) => e.key === "Escape" && set({ tag: null })}>
      <header className="fields-head">
        <h2>{tag.name}</h2>
        <Press kind="quiet" label={`Close ${tag.name}`} onPress={() => set({ tag: null })}>×</Press>
      </header>
      {tag.sections.map((s) => <SectionProblems key={s} section={s} />)}
      {picture && <img className="measuring" src={`/api/pictures/${picture}.svg`} alt={`How to measure: ${picture.replace("-", " ")}`} />}
      {shown.map((r) => <Field key={r.key} row={r} />)}
      {main.length > 0 && rest.length > 0 && (
        <Press kind="quiet" onPress={() => setAll(!all)}>
          {all ? "Less" : `${rest.length} more, assumed or not said`}
        </Press>
      )}
    </section>
  );
}

function SectionProblems({ section }: { section: string }) {
  return <Problems problems={useProblems(section)} />;
}

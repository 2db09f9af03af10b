// From where one looks at the fork.
import { memo } from "react";
import { lay, look } from "../link/actions";
import { usePage, type Looking } from "../link/store";
import { Press } from "../parts/Press";

export const kViews: { id: Looking; name: string }[] = [
  { id: "front", name: "front" },
  { id: "side", name: "side" },
  { id: "template-left", name: "template left" },
  { id: "template-right", name: "template right" },
  { id: "section", name: "section" },
  { id: "solid", name: "solid" },
];

const kOver = {
  stress: { name: "+ stress", hint: "Stress as a share of strength, the worst of all loads, beside each member" },
  sweep: { name: "+ tyre room", hint: "What the tyre takes up when it has grown, with mud and run-out" },
};

/** Stands still while the drawing changes. */
export const Views = memo(function Views() {
  const looking = usePage((p) => p.looking);
  const over = usePage((p) => p.over);
  return (
    <div className="views" role="toolbar" aria-label="Views">
      {kViews.map((v) => (
        <Press key={v.id} kind="quiet" pressed={looking === v.id} onPress={() => look(v.id)}>
          {v.name}
        </Press>
      ))}
      {(looking === "front" || looking === "side") && (["stress", "sweep"] as const).map((o) => (
        <Press key={o} kind="quiet" pressed={over.includes(o)} hint={kOver[o].hint} onPress={() => lay(o)}>{kOver[o].name}</Press>
      ))}
    </div>
  );
});

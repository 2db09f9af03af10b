// In the order of work, where a piece turns out otherwise than planned: the way to mending.
import { openMending } from "../link/actions";
import type { Stage } from "../link/store";
import { Press } from "../parts/Press";

const kWords: Partial<Record<Stage, [string, string]>> = {
  cut: ["A piece came out otherwise? It is kept; the plan moves.", "I cut it short"],
  prove: ["The tacked fork measures otherwise? Say what it is.", "it came out otherwise"],
};

export function MendingPull({ stage }: { stage: Stage }) {
  const words = kWords[stage];
  if (!words) return null;
  return (
    <article className="step mending-pull">
      <p>{words[0]}</p>
      <Press onPress={() => openMending()}>{words[1]}</Press>
    </article>
  );
}

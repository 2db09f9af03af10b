// The order of work along the lower edge, drawn as a rule one walks along.
import { tickStep, walkTo } from "../link/actions";
import { kStages, set, usePage, usePicked, type Stage } from "../link/store";
import type { Step } from "../contract/types";
import { MendingPull } from "../mending/MendingPull";
import { doneOf, staged } from "./stages";

export function WorkLine() {
  const { stage, stepsOpen, cards, ticks } = usePicked("stage", "stepsOpen", "cards", "ticks");
  const all = staged(cards);
  return (
    <footer className="work">
      {stepsOpen && <Steps stage={stage} cards={all[stage]} />}
      <nav className="work-rule" aria-label="Order of work">
        {kStages.map((s, i) => {
          const done = doneOf(all[s], ticks), of = all[s].length;
          return (
            <button type="button" key={s} className={`stage${s === stage ? " here" : ""}`} aria-current={s === stage ? "step" : undefined}
              title={`Alt+${i + 1}`} onClick={() => walkTo(s)}>
              <span className="stage-name">{s}</span>
              <span className="stage-count">{of ? `${done} of ${of}` : ""}</span>
              <span className="stage-done" style={{ width: `${of ? (100 * done) / of : 0}%` }} aria-hidden="true" />
            </button>
          );
        })}
        <button type="button" className="stage steps-pull" aria-expanded={stepsOpen} onClick={() => set({ stepsOpen: !stepsOpen })}>
          <span className="stage-name">steps {stepsOpen ? "▼" : "▲"}</span>
        </button>
      </nav>
    </footer>
  );
}

function Steps({ stage, cards }: { stage: Stage; cards: Step[] }) {
  const ticks = usePage((p) => p.ticks);
  return (
    <section className="steps" aria-label={`Steps: ${stage}`} tabIndex={0}>
      {cards.length === 0 && <p className="quiet-words">No steps here: there is no such fork yet.</p>}
      <MendingPull stage={stage} />
      {cards.map((c) => {
        const tick = ticks[c.id];
        return (
          <article key={`${c.job} ${c.id}`} className={`step${tick?.done ? " done" : ""}`}>
            <label className="step-tick">
              <input type="checkbox" checked={!!tick?.done} onChange={(e) => void tickStep(c, e.target.checked)} />
              <span>{c.title}</span>
            </label>
            {c.big.value && (
              <p className="step-big"><span>{c.big.name}</span> <b>{c.big.value}</b> <small>{c.big.unit}</small></p>
            )}
            {c.lines.slice(0, 4).map((l) => <p key={l} className="step-line">{l}</p>)}
            {c.caution && <p className="caution">{c.caution}</p>}
            {tick?.done && <p className="step-who">{tick.who}</p>}
          </article>
        );
      })}
    </section>
  );
}

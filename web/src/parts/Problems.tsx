// Problems said at the place where they can be answered, each with its ways out as buttons.
import { saveEdits } from "../link/actions";
import { kNoFields, usePage } from "../link/store";
import { mendsOf } from "../job/mends";
import { signed } from "../job/numbers";
import type { Problem } from "../contract/types";

export function Problems({ problems, id }: { problems: Problem[]; id?: string }) {
  const fields = usePage((p) => p.view?.fields ?? kNoFields);
  if (problems.length === 0) return null;
  return (
    <div className="problems" id={id}>
      {problems.map((p, i) => (
        <div className="problem" key={i}>
          <p>
            <b>{capital(signed(p.what))}</b> {signed(p.fits)}
          </p>
          <div className="mends">
            {mendsOf(p, fields).map((m) => (
              <button key={m.label} type="button" className="press main" onClick={() => saveEdits(m.edits)}>
                {m.label}
              </button>
            ))}
          </div>
        </div>
      ))}
    </div>
  );
}

export function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

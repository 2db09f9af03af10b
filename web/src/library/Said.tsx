// What is wrong in the library, in the server's words.
import type { Problem } from "../contract/types";

export function Said({ problems, id }: { problems: Problem[]; id?: string }) {
  return (
    <div id={id} aria-live="polite">
      {problems.map((p, i) => <p className="problem" key={i}><b>{p.what}</b> {p.fits}</p>)}
    </div>
  );
}

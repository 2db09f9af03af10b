// What is being typed into a field: tried at every key, saved with Enter or when the cursor leaves, taken back
// with Escape. Once saved, the field shows what stands in the job.
import { useState } from "react";
import { forget, saveEdits, tryEdits } from "../link/actions";
import { typedNow, usePage } from "../link/store";

export function useDraft(key: string) {
  const now = usePage((p) => typedNow(p, key));
  const saved = usePage((p) => p.view?.fields[key]?.typed ?? "");
  const assumed = usePage((p) => !!p.view?.fields[key]?.assumed);
  const [draft, setDraft] = useState<string | null>(null);
  // as it stood before the first key: the view that comes back shows what is being tried as if it stood there
  const [before, setBefore] = useState({ saved, assumed });
  const text = draft ?? now;

  const type = (typed: string) => {
    if (draft === null) setBefore({ saved, assumed });
    setDraft(typed);
    if (typed.trim() !== "") tryEdits([{ key, typed }]);
  };
  const keep = () => {
    if (draft === null) return;
    setDraft(null);
    if (draft.trim() === "" && (before.saved === "" || before.assumed)) forget(key);
    else if (draft !== before.saved || before.assumed) saveEdits([{ key, typed: draft.trim() === "" ? null : draft }]);
    else forget(key);
  };
  const leave = () => {
    setDraft(null);
    forget(key);
  };
  return { text, draft, type, keep, leave };
}

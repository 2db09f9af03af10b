// What is being typed into a field: tried at every key, saved with Enter or when the cursor leaves, taken back
// with Escape. Once saved, the field shows what stands in the job. The draft is in the page's store, so that it
// outlives the field and the page.
import { forget, saveEdits, tryEdits } from "../link/actions";
import { get, typedNow, usePage } from "../link/store";

export function useDraft(key: string) {
  const now = usePage((p) => typedNow(p, key));
  const draft = usePage((p) => p.queue.trying.find((d) => d.key === key)?.typed ?? null);
  const text = draft ?? now;

  const type = (typed: string) => tryEdits([{ key, typed }]);
  const keep = () => keepDraft(key);
  const leave = () => forget(key);
  return { text, draft, type, keep, leave };
}

/** Enters a draft; one that changes nothing is dropped. */
export function keepDraft(key: string): void {
  const draft = get().queue.trying.find((d) => d.key === key);
  if (!draft || draft.typed === null) return;
  const empty = draft.typed.trim() === "";
  if (empty ? draft.was === null : draft.typed === draft.was) forget(key);
  else saveEdits([{ key, typed: empty ? null : draft.typed }]);
}

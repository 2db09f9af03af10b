// While the cursor stands in a field, what its next key may make of it is drawn beforehand.
import { useEffect, type RefObject } from "react";
import { nextTexts } from "../job/foresight";
import { unitOf } from "../job/numbers";
import type { Row } from "../contract/types";
import { foresee } from "../link/actions";
import { usePage } from "../link/store";

/** Gives what is to be called when the cursor came or went elsewhere. */
export function useForesight(here: RefObject<HTMLInputElement | HTMLTextAreaElement | null>, row: Row, text: string): () => void {
  const revision = usePage((p) => p.view?.revision);
  const ask = () => {
    const field = here.current, unit = unitOf(row.form);
    if (!field || !unit || document.activeElement !== field) return;
    foresee(row.key, nextTexts(field, unit));
  };
  useEffect(ask, [text, revision]);
  return ask;
}

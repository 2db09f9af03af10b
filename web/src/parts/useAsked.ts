// A long question of a component: asked again when what it depends on changes, given up when nobody looks any more.
import { useEffect, useRef, useState, type DependencyList } from "react";
import { asking, type Asking } from "../job/asking";

export type Asked<T> = Asking<T> & { stop: () => void; again: () => void };

const kNothing = { answer: null, wrong: null, slow: false, stopped: false };

/**
 *   in  ask  null: there is nothing to ask at the moment
 *       of   whose answer it is; while this stays, the last answer stays in sight until the next one is there
 */
export function useAsked<T>(ask: ((signal: AbortSignal) => Promise<T>) | null, of: string, why: DependencyList): Asked<T> {
  const [now, setNow] = useState<Asking<T>>(kNothing);
  const [round, setRound] = useState(0);
  const giveUp = useRef<(told?: boolean) => void>(() => undefined);
  const last = useRef<{ of: string; answer: T | null }>({ of: "", answer: null });
  useEffect(() => {
    if (!ask) return setNow(kNothing);
    const before = last.current.of === of ? last.current.answer : null;
    giveUp.current = asking(ask, (told) => {
      last.current = { of, answer: told.answer };
      setNow(told);
    }, before);
    return () => giveUp.current();
  }, [of, round, ask === null, ...why]);
  return { ...now, stop: () => giveUp.current(true), again: () => setRound((n) => n + 1) };
}

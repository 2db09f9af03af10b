// A question that may take long: after a while it says that it is still being worked on, and it can be given up.
// Pure; the clock is the only thing it needs.

export type Asking<T> = { answer: T | null; wrong: Error | null; slow: boolean; stopped: boolean };

export const kPatience = 300; // ms until waiting is shown

/**
 * Asks, and tells every change of the state. What is told begins with what was known before.
 *   out  gives the question up: nothing is told any more but, if wanted, that it was stopped
 */
export function asking<T>(
  ask: (signal: AbortSignal) => Promise<T>,
  tell: (now: Asking<T>) => void,
  before: T | null = null,
): (told?: boolean) => void {
  const control = new AbortController();
  let over = false;
  const say = (now: Partial<Asking<T>>) => tell({ answer: before, wrong: null, slow: false, stopped: false, ...now });
  const timer = setTimeout(() => !over && say({ slow: true }), kPatience);
  const end = (now?: Partial<Asking<T>>) => {
    if (over) return;
    over = true;
    clearTimeout(timer);
    if (now) say(now);
  };
  say({});
  ask(control.signal).then(
    (answer) => end({ answer }),
    (e: unknown) => end({ wrong: e instanceof Error ? e : new Error(String(e)) }),
  );
  return (told = false) => {
    end(told ? { stopped: true } : undefined);
    control.abort();
  };
}

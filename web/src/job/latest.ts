// Of several that were begun, only the last counts: what comes back to an earlier one is not to be taken in. Pure.

/** Gives a beginner; each beginning gives a test that is true until the next one. */
export function latest(): () => () => boolean {
  let begun = 0;
  return () => {
    const mine = ++begun;
    return () => mine === begun;
  };
}

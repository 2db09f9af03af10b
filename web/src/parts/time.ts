// When something was done, as short as it can be read.

/** "27 Nov 2026, 05:25" as this reader's machine writes it. */
export function when(at: string): string {
  return new Date(at).toLocaleString(undefined, { day: "numeric", month: "short", year: "numeric", hour: "2-digit", minute: "2-digit" });
}

/** "14:05", for what was done today or nearly so. */
export function deedTime(at: string): string {
  return new Date(at).toLocaleTimeString(undefined, { hour: "2-digit", minute: "2-digit" });
}

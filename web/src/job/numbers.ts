// Numbers as they stand on the page: a minus sign is a minus sign, no more places than the shop can hold.

export function shown(value: number, places: number): string {
  const text = Math.abs(value).toFixed(places);
  return value < 0 && Number(text) !== 0 ? `−${text}` : text;
}

/** Words of the engine with their minus signs as minus signs. */
export function signed(words: string): string {
  return words.replace(/(^|[\s(])-(?=\d)/g, "$1−");
}

const kPlaces: Record<string, number> = { mm: 1, deg: 1, "°": 1, kg: 2, "N/mm": 0, MPa: 0, "%": 0, N: 0 };

/** With as many places as its unit deserves: "8.0", "0.87". */
export function inUnit(value: number, unit: string): string {
  return shown(value, kPlaces[unit] ?? 2);
}

export function unitSign(unit: string): string {
  return unit === "deg" ? "°" : unit;
}

/** What a form is measured in. */
export function unitOf(form: string): string {
  return { length: "mm", angle: "°", mass: "kg", force: "N", share: "mm" }[form] ?? "";
}

/** As it would be typed: no needless zeros, at most `places`. */
export function typedNumber(value: number, places = 3): string {
  return String(Number(value.toFixed(places)));
}

export function plainNumber(text: string): boolean {
  return /^[−-]?\d+([.,]\d+)?$/.test(text.trim());
}

/**
 * What was typed, moved on by a step. A number by itself stays one; anything else becomes a sum, so that
 * "1 1/8 in" stays readable as what it was.
 */
export function stepped(typed: string, step: number, unit: string): string {
  const text = typed.trim();
  if (plainNumber(text)) return typedNumber(Number(text.replace("−", "-").replace(",", ".")) + step);
  const sum = /^(.*\S) ([+−-]) ([\d.]+) (mm|deg|kg|N)$/.exec(text);
  const before = sum ? Number(sum[3]) * (sum[2] === "+" ? 1 : -1) : 0;
  const all = Number((before + step).toFixed(3));
  const stem = sum ? sum[1]! : text;
  if (all === 0) return stem;
  return `${stem} ${all > 0 ? "+" : "-"} ${Math.abs(all)} ${unit === "°" ? "deg" : unit || "mm"}`;
}

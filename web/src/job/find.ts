// Finding: every word typed must begin a word of the line; the best lines first. Pure.

export type Findable = { id: string; name: string; more: string; also?: string };

export function found<T extends Findable>(all: T[], typed: string, most = 12): T[] {
  const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
  if (words.length === 0) return all.slice(0, most);
  const rated = all.map((f, i) => ({ f, i, rate: rate(f, words) })).filter((r) => r.rate > 0);
  rated.sort((a, b) => b.rate - a.rate || a.i - b.i);
  return rated.slice(0, most).map((r) => r.f);
}

function rate(f: Findable, words: string[]): number {
  const name = f.name.toLowerCase(), more = `${f.more} ${f.also ?? ""}`.toLowerCase();
  let sum = 0;
  for (const w of words) {
    const here = name.startsWith(w) ? 4 : begins(name, w) ? 3 : name.includes(w) ? 2 : begins(more, w) ? 1 : 0;
    if (here === 0) return 0;
    sum += here;
  }
  return sum;
}

function begins(text: string, word: string): boolean {
  return text.split(/[^\p{L}\p{N}]+/u).some((t) => t.startsWith(word));
}

// The bench: which keys lie on which tag, and the one number each tag tells. Pure.
import type { Fields, Row } from "../contract/types";
import { rowsOf } from "./lists";
import { shown } from "./numbers";

export type Telling = { text: string; unit: string; form: "length" | "angle" | "none"; italic: boolean; beside?: string };
export type Tag = { id: string; name: string; sections: string[]; tells: (f: Fields, n: Numbers) => Telling | null };
type Numbers = Record<string, number>;

const none: Tag["tells"] = () => null;

function ofKey(key: string): Tag["tells"] {
  return (f) => {
    const field = f[key];
    if (!field) return null;
    const form = field.form === "angle" ? "angle" : field.form === "length" || field.form === "share" ? "length" : "none";
    const bare = /^[−-]?[\d.,]+$/.test(field.typed);
    return { text: field.typed, unit: bare ? (form === "angle" ? "°" : form === "length" ? "mm" : "") : "", form, italic: !!field.assumed };
  };
}

function tyreWidth(f: Fields): Telling | null {
  const profile = f["wheel.tyre.half_profile"];
  const rows = profile && rowsOf(profile.typed, ["half_width", "below_top"]);
  if (rows?.length) {
    const widest = Math.max(...rows.map((r) => Number(r["half_width"]) || 0));
    return { text: shown(2 * widest, 1), unit: "mm", form: "length", italic: false, beside: "measured" };
  }
  const named = f["wheel.tyre"];
  return named ? { text: named.typed, unit: "", form: "none", italic: true, beside: "by its sidewall" } : null;
}

function bladeSection(f: Fields): Telling | null {
  const list = f["blades.stations"] ?? f["blades.left.stations"];
  const rows = list && rowsOf(list.typed, ["at", "width", "depth", "wall"]);
  const last = rows?.[rows.length - 1];
  if (!last) return null;
  return { text: `${plain(last["width"])} × ${plain(last["depth"])}`, unit: "mm", form: "none", italic: false, beside: "at the top" };
}

/** "24.0" is 24 here; anything that is no plain number stays as it was typed. */
function plain(cell: string | undefined): string {
  return cell && /^\d+\.\d*0$/.test(cell) ? String(Number(cell)) : (cell ?? "?");
}

function crown(f: Fields, n: Numbers): Telling | null {
  const kind = f["crown.kind"]?.typed ?? "unicrown";
  const height = n["crown_height_left"];
  if (height === undefined) return { text: kind, unit: "", form: "none", italic: false };
  return { text: shown(height, 1), unit: "mm", form: "length", italic: false, beside: kind };
}

function brake(f: Fields): Telling | null {
  const mount = f["brake.mount"];
  if (f["brake.rotor"]) return { ...ofKey("brake.rotor")(f, {})!, beside: `${mount?.typed ?? ""} mount` };
  return { text: mount?.typed ?? "none", unit: "", form: "none", italic: !!mount?.assumed };
}

function steering(f: Fields, n: Numbers): Telling | null {
  const told = ofKey("steering.offset")(f, n);
  const trail = n["trail"];
  return told && { ...told, beside: trail === undefined ? "offset" : `trail ${shown(trail, 1)}` };
}

function wishes(f: Fields): Telling | null {
  const all = Object.keys(f).filter((k) => /^wishes\.[a-z_]+$/.test(k) && k !== "wishes.lean_to" && !f[k]!.assumed);
  const key = all.find((k) => k === "wishes.clearance") ?? all[0];
  const told = key ? ofKey(key)(f, {}) : null;
  return told && { ...told, beside: key!.slice(7).replace("_", " ") };
}

/** In the order one takes things off the bench. */
export const kTags: Tag[] = [
  { id: "tyre", name: "tyre", sections: ["wheel.tyre"], tells: tyreWidth },
  { id: "wheel", name: "wheel", sections: ["wheel"], tells: ofKey("wheel.bead_seat") },
  { id: "hub", name: "hub", sections: ["hub"], tells: ofKey("hub.over_locknut") },
  { id: "steerer", name: "steerer", sections: ["steerer"], tells: ofKey("steerer.diameter") },
  { id: "blades", name: "blades", sections: ["blades"], tells: bladeSection },
  { id: "crown", name: "crown", sections: ["crown", "gussets"], tells: crown },
  { id: "lower-end", name: "lower end", sections: ["lower_end"], tells: ofKey("lower_end.diameter") },
  { id: "brake", name: "brake", sections: ["brake"], tells: brake },
  { id: "steering", name: "steering", sections: ["steering", "shares"], tells: steering },
  { id: "wishes", name: "wishes", sections: ["wishes"], tells: wishes },
];

/** Looked at less often: in the drawer under the bench. */
export const kDrawer: Tag[] = [
  { id: "job", name: "name and note", sections: ["job"], tells: none },
  { id: "features", name: "small parts", sections: ["features"], tells: none },
  { id: "bicycle", name: "the bicycle", sections: ["bicycle"], tells: none },
  { id: "pedals", name: "pedals", sections: ["pedals"], tells: none },
  { id: "mudguard", name: "mudguard", sections: ["mudguard"], tells: none },
  { id: "checks", name: "checks", sections: ["checks", "limits"], tells: none },
  { id: "material", name: "material", sections: ["material"], tells: none },
  { id: "strength", name: "strength", sections: ["strength"], tells: none },
  { id: "joining", name: "joining", sections: ["joining"], tells: none },
  { id: "tolerances", name: "tolerances", sections: ["tolerances"], tells: none },
  { id: "as-built", name: "as built", sections: ["done", "freedoms"], tells: none },
  { id: "paper", name: "paper and printer", sections: ["sheets", "printer"], tells: none },
];

export const kAllTags = [...kTags, ...kDrawer];

function tagOfSection(key: string): Tag | undefined {
  let best: Tag | undefined;
  let length = 0;
  for (const tag of kAllTags) {
    for (const s of tag.sections) {
      if ((key === s || key.startsWith(`${s}.`)) && s.length > length) [best, length] = [tag, s.length];
    }
  }
  return best;
}

/** The tag on which a key lies; sides and rows taken out. A section's own name counts as a key. */
export function tagOf(key: string): Tag | undefined {
  return tagOfSection(key.replace(/\[.*$/, "").replace(/\.(left|right)(?=\.|$)/, ""));
}

/** The schema's rows of a tag; keys of a list's rows belong to the list. A section nobody knows yet is in "job". */
export function rowsOnTag(tag: Tag, rows: Row[]): Row[] {
  return rows.filter((r) => !r.key.includes("[]") && (tagOf(r.key)?.id ?? "job") === tag.id && r.key !== "version");
}

/** A key that means nothing for what the job holds: shown only where it has a value. */
export function wanted(row: Row, fields: Fields): boolean {
  const field = fields[row.key];
  const unbraked = (fields["brake.mount"]?.typed ?? "none") === "none";
  if (unbraked && row.key.startsWith("brake.") && row.key !== "brake.mount" && (!field || field.assumed)) return false;
  if (field) return true;
  const kind = row.key.startsWith("crown.") ? (fields["crown.kind"]?.typed ?? "unicrown") : null;
  if (kind === "unicrown" && row.key !== "crown.kind") return false;
  if (row.key === "wheel.tyre" && fields["wheel.tyre.half_profile"]) return false;
  return true;
}

/** Keys named in a sentence, as they are spoken: "steering.axle_to_crown: 408" is "steering, axle to crown: 408". */
export function inWords(sentence: string): string {
  return sentence.replace(/\b[a-z_]+(\.[a-z_]+)+\b/g, (key) => key.replace(/\./g, ", ").replace(/_/g, " "));
}

/** "blades.stock_length" in words: "stock length". */
export function label(key: string): string {
  const last = key.split(".").pop()!;
  return last.replace(/_/g, " ");
}

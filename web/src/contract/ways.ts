// Ways to mend a plan as the server tells them: docs/replan.schema.json. Lengths mm; a move says its own unit.

export type WasIs = { was: number; is: number };
export type Move = WasIs & {
  key: string;
  what: string;
  unit: "mm" | "deg";
  difference: number;
  freedom: number; // plus or minus that is allowed
  only_a_loss_counts: boolean;
};
export type Fate = "kept" | "file" | "cut again" | "to cut" | "scrap";
export type Piece = {
  member: "blade.left" | "blade.right";
  fate: Fate;
  why: string;
  length: WasIs;
  lower_trim: WasIs;
  top: WasIs;
  template_change: { lower: number; upper: number };
};
export type Way = {
  title: string;
  cost: number | null;
  scrapped: number;
  cut_again: number;
  moves: Move[];
  pieces: Piece[];
  set: { key: string; value: string }[];
  take_out: string[];
  not_met: string[];
};
export type Ways = { notes: string[]; ways: Way[]; outside: Way[] };

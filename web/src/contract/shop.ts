// The shop's library as the server tells it: one text with comments of its own, revisions like a job's.
import type { Field, Problem } from "./types";

export type Shop = {
  revision: number;
  toml: string;
  fields: Record<string, Pick<Field, "typed"> & Partial<Field>>;
  problems: Problem[];
};

// What the server says and hears, by the names the page uses. Made from docs/api.openapi.json (npm run types), so that what
// the document does not say does not compile.
import type { components } from "./api";

type S = components["schemas"];

export type Problem = S["Problem"];
export type Form = S["Form"];
export type Row = S["Row"];
export type Field = S["Field"];
export type Fields = S["Header"]["fields"];
export type Verdict = S["Verdict"];
export type Standing = Verdict["standing"];
export type Note = S["Note"];
export type Ink = S["Ink"];
export type Weight = S["Weight"];
export type Dash = S["Dash"];
export type PathItem = S["PathItem"];
export type AreaItem = S["AreaItem"];
export type TextItem = S["TextItem"];
export type Item = S["Item"];
export type Group = S["Group"];
export type Sheet = S["Page"];
export type Header = S["Header"];
export type Ahead = S["Ahead"];
export type Foreseen = S["Foreseen"];
export type Show = S["Show"];
export type JobLine = S["JobLine"];
export type Job = S["Job"];
export type Shop = S["Shop"];
export type Revision = S["Revision"];
export type Moved = S["Figure"];
export type SheetFile = S["SheetFile"];
export type Card = S["Card"];
/** A card, and the job whose step it is: the same name stands on the cards of every fork. */
export type Step = Card & { job: string };
export type Tick = S["Tick"];
export type Ticks = Record<string, Tick>;
export type LogLine = Partial<S["LogLine"]> & { who: string; what: string };
export type Edit = S["Edit"];

export type Move = S["Move"];
export type Fate = S["Fate"];
export type Piece = S["Piece"];
export type Way = S["Way"];
export type Ways = S["Ways"];
export type Reading = S["Reading"];
export type Stand = S["Stand"];
export type Stands = S["Stands"];
export type Offer = S["Offer"];

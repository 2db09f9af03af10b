// The shop's library: what cuts, what holds, what joins, what lies on the rack, and the printers; each with its lot and
// what was measured on it. It belongs to the shop, not to one fork: cards, set-ups and sheets of every job use it.
import { useEffect, useState } from "react";
import { openPanel } from "../link/actions";
import * as rest from "../link/rest";
import type { Row } from "../contract/types";
import { at, cell, placesOf, problemsAt, problemsIn, type Place } from "../job/shelf";
import { label } from "../job/tags";
import { Press } from "../parts/Press";
import { Sheet } from "../parts/Sheet";
import { Cell } from "./Cell";
import { Said } from "./Said";
import { Shelf } from "./Shelf";
import { useShop, type Shelves } from "./useShop";
import "../look/library.css";

/** Our words for the sections of the file; one of a list's things. */
const kNames: Record<string, { name: string; one?: string }> = {
  shop: { name: "the shop" },
  cutters: { name: "cutters", one: "cutter" },
  files: { name: "files", one: "file" },
  fixtures: { name: "fixtures", one: "fixture" },
  rods: { name: "filler rods", one: "filler rod" },
  stock: { name: "stock on the rack", one: "piece of stock" },
  printers: { name: "printers", one: "printer" },
  rotary: { name: "rotary axis" },
  sheets: { name: "paper" },
  tolerances: { name: "what is held" },
};
const nameOf = (id: string) => kNames[id]?.name ?? label(id);

export default function Library() {
  const [schema, setSchema] = useState<Row[]>([]);
  useEffect(() => void rest.shopSchema().then(setSchema, () => undefined), []); // the shelves say it where nobody answers
  const shelves = useShop();
  const places = placesOf(schema);
  const [chosen, setChosen] = useState("cutters");
  const place = places.find((p) => p.id === chosen) ?? places[0];
  const count = (p: Place) => {
    const there = at(shelves.tree, [p.id]);
    return p.list && Array.isArray(there) ? there.length : 0;
  };
  return (
    <Sheet name={`The shop's library${cell(shelves.tree, ["shop", "name"]) ? `: ${cell(shelves.tree, ["shop", "name"])}` : ""}`} onClose={() => openPanel(null)} wide>
      <div className="book library">
        <nav className="book-list" aria-label="Shelves">
          {places.map((p) => (
            <button type="button" key={p.id} className={p === place ? "here" : ""} aria-current={p === place || undefined} onClick={() => setChosen(p.id)}>
              {nameOf(p.id)} {problemsIn(shelves.problems, p.id).length > 0 && <span className="flag">look at it</span>}
              <small>{p.list ? count(p) || "none" : ""}</small>
            </button>
          ))}
          <div className="row library-turn">
            <Press onPress={() => shelves.turn("undo")} whyNot={!shelves.shop && "not read yet"}>undo</Press>
            <Press onPress={() => shelves.turn("redo")} whyNot={!shelves.shop && "not read yet"}>redo</Press>
          </div>
        </nav>
        <div className="book-page" role="region" aria-label={place ? nameOf(place.id) : "Shelf"} tabIndex={0}>
          {shelves.wrong && <p className="problem" role="alert">{shelves.wrong}</p>}
          {place && <h3 className="shelf-name">{nameOf(place.id)}</h3>}
          {place && shelves.shop && <Said problems={problemsAt(shelves.problems, place.id)} />}
          {place && shelves.shop && (place.list
            ? <Shelf key={place.id} shelves={shelves} schema={schema} list={place.id} path={[place.id]} one={kNames[place.id]?.one ?? "row"} />
            : <Single key={place.id} place={place} shelves={shelves} />)}
        </div>
      </div>
    </Sheet>
  );
}

function Single({ place, shelves }: { place: Place; shelves: Shelves }) {
  return (
    <div className="shelf-cells">
      {place.rows.map((r) => (
        <Cell key={r.key} row={r} name={label(r.key)} value={cell(shelves.tree, r.key.split("."))} problems={problemsAt(shelves.problems, r.key)}
          revision={shelves.shop?.revision ?? 0} onKeep={(typed, base) => shelves.edit([{ key: r.key, typed }], base)} />
      ))}
    </div>
  );
}

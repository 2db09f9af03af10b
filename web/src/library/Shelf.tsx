// A list of the library: every thing a label one reads from across the shop; opened, its cells and the lists inside it.
import { useState } from "react";
import type { Problem, Row } from "../contract/types";
import { another, at, cell, insideOf, keyOf, nodeText, problemsAt, problemsIn, telling, type Node, type Path } from "../job/shelf";
import { label } from "../job/tags";
import { Press } from "../parts/Press";
import { useOther } from "../parts/useOther";
import { Cell } from "./Cell";
import { Said } from "./Said";
import type { Shelves } from "./useShop";

type Props = { shelves: Shelves; schema: Row[]; list: string; path: Path; one: string };

export function Shelf({ shelves, schema, list, path, one }: Props) {
  const [open, setOpen] = useState<number | null>(null);
  const [fresh, setFresh] = useState<Node | null>(null);
  const [refused, setRefused] = useState<Problem[]>([]);
  const there = at(shelves.tree, path);
  const rows = Array.isArray(there) ? there : [];
  const { cells } = insideOf(schema, list);
  const key = keyOf(path);

  const write = async (next: Node[]): Promise<boolean> => {
    const said = await shelves.edit([{ key, typed: next.length ? nodeText(next) : null }]);
    setRefused(said);
    return said.length === 0;
  };
  const put = async () => {
    if (!fresh || !(await write([...rows, fresh]))) return;
    setFresh(null);
    setOpen(rows.length);
  };
  return (
    <div className="shelf">
      {rows.length === 0 && !fresh && <p className="quiet-words">Nothing here yet. {schema.find((r) => r.key === list)?.meaning}</p>}
      <ul>
        {rows.map((row, i) => (
          <Thing key={i} {...{ shelves, schema, list, row, one }} path={[...path, i]} open={open === i} onOpen={() => setOpen(open === i ? null : i)}
            onAnother={() => { setOpen(null); setFresh(another(row)); }}
            onRemove={() => void write(rows.filter((_, k) => k !== i)).then((saved) => saved && setOpen(null))} />
        ))}
      </ul>
      {fresh && (
        <section className="thing open" aria-label={`A new ${one}`}>
          <p className="thing-new">A new {one}</p>
          <div className="shelf-cells">
            {cells.map((r) => {
              const inside = r.key.slice(list.length + 3).split(".");
              return (
                <FreshCell key={r.key} row={r} value={cell(fresh, inside)}
                  onTyped={(typed) => setFresh((now) => planted(now, inside, typed))} />
              );
            })}
          </div>
          <Said problems={refused} />
          <div className="row">
            <Press kind="main" onPress={() => void put()} whyNot={missing(cells, fresh, list)}>put it on the shelf</Press>
            <Press onPress={() => { setFresh(null); setRefused([]); }}>leave it</Press>
          </div>
        </section>
      )}
      {!fresh && <Said problems={refused} />}
      {!fresh && <Press onPress={() => { setRefused([]); setFresh({}); }}>add {/^[aeiou]/.test(one) ? "an" : "a"} {one}</Press>}
    </div>
  );
}

function planted(tree: Node | null, [step, ...rest]: string[], typed: string): Node {
  const there = tree && typeof tree === "object" && !Array.isArray(tree) ? tree : {};
  return step === undefined ? typed : { ...there, [step]: rest.length ? planted(there[step] ?? null, rest, typed) : typed };
}

/** Why it can't be put there yet. A group of cells that is left empty altogether asks for nothing. */
function missing(cells: Row[], fresh: Node, list: string): string {
  const inside = (r: Row) => r.key.slice(list.length + 3).split(".");
  const begun = (r: Row) => inside(r).length === 1 || cells.some((c) => inside(c)[0] === inside(r)[0] && cell(fresh, inside(c)));
  const gap = cells.find((r) => r.need === "required" && begun(r) && !cell(fresh, inside(r)).trim());
  return gap ? `its ${inside(gap).map(label).join(", ")} is needed` : "";
}

function FreshCell({ row, value, onTyped }: { row: Row; value: string; onTyped: (typed: string) => void }) {
  const other = useOther(row.choices.length ? "" : value, row.form);
  const name = row.key.split("[].").pop()!.split(".").map(label).join(", ");
  return (
    <div className={`shelf-cell${row.form === "text" ? " words-cell" : ""}`}>
      <label>{name}{row.need === "required" && !value && <em className="taken"> needed</em>}
        {row.choices.length > 0 ? (
          <select value={value} onChange={(e) => onTyped(e.target.value)}>
            <option value="">{row.fallback || "not said"}</option>
            {row.choices.map((c) => <option key={c} value={c}>{c}</option>)}
          </select>
        ) : (
          <input type="text" value={value} placeholder={row.fallback} spellCheck={false} autoComplete="off" onChange={(e) => onTyped(e.target.value)} />
        )}
      </label>
      <span className="other">{other}</span>
    </div>
  );
}

type ThingProps = {
  shelves: Shelves; schema: Row[]; list: string; row: Node; one: string; path: Path; open: boolean;
  onOpen: () => void; onAnother: () => void; onRemove: () => void;
};

function Thing({ shelves, schema, list, row, one, path, open, onOpen, onAnother, onRemove }: ThingProps) {
  const { cells, lists } = insideOf(schema, list);
  const told = telling(row, one);
  const pair = told.size.includes("×");
  const other = useOther(pair ? "" : told.size, "length");
  const key = keyOf(path);
  const wrong = problemsIn(shelves.problems, key);
  const bare = /^[\d.,]+( × [\d.,]+)?$/.test(told.size);
  return (
    <li className={`thing${open ? " open" : ""}`}>
      <button type="button" className="thing-label" aria-expanded={open} onClick={onOpen}>
        <span className="thing-name">{told.name}{told.beside && <small>{told.beside}</small>}</span>
        <span className="thing-size">
          <b className={told.sold || cell(row, ["measured"]) ? "" : "assumed"}>{told.size}</b> <small>{bare ? "mm" : ""}</small>
          <small className="thing-other">{[other, told.sold && `sold as ${told.sold}`].filter(Boolean).join(" · ")}</small>
        </span>
        {wrong.length > 0 && <span className="flag">look at it</span>}
      </button>
      {open && (
        <div className="thing-inside">
          <div className="shelf-cells">
            {cells.map((r) => {
              const inside = r.key.slice(list.length + 3).split(".");
              const here = [...path, ...inside];
              return (
                <Cell key={r.key} row={r} name={inside.map(label).join(", ")} value={cell(shelves.tree, here)} problems={problemsAt(shelves.problems, keyOf(here))}
                  revision={shelves.shop?.revision ?? 0} onKeep={(typed, base) => shelves.edit([{ key: keyOf(here), typed }], base)} />
              );
            })}
          </div>
          <Said problems={wrong.filter((p) => p.where.key === key)} />
          {lists.map((l) => {
            const name = l.key.split(".").pop()!;
            return (
              <section key={l.key} className="thing-list" aria-label={label(name)}>
                <h4>{label(name)}</h4>
                <Shelf shelves={shelves} schema={schema} list={l.key} path={[...path, name]} one={label(name).replace(/s$/, "")} />
              </section>
            );
          })}
          <div className="row">
            <Press onPress={onAnother}>another like it</Press>
            <Press onPress={onRemove}>take it off the shelf</Press>
          </div>
        </div>
      )}
    </li>
  );
}

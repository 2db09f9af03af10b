// The shop's library, read and changed. Changes go one after another, each on the revision before it.
import { useCallback, useEffect, useMemo, useRef, useState } from "react";
import type { Edit, Problem, Shop } from "../contract/types";
import { afterOwn, type Based } from "../job/edits";
import { treeOf, type Node } from "../job/shelf";
import { say } from "../link/actions";
import * as rest from "../link/rest";

export type Shelves = {
  shop: Shop | null;
  tree: Node;
  problems: Problem[]; // of the library as it stands
  wrong: string;
  /**
   * Empty: it is saved.
   *   in  base  the revision on which typing began; left out: the one that is seen now
   */
  edit: (edits: Edit[], base?: number) => Promise<Problem[]>;
  turn: (way: "undo" | "redo") => void;
};

const kStale: Problem = {
  code: "revision-stale", where: { file: "", line: 0, column: 0, key: "" },
  what: "Another window has changed the same place meanwhile.", fits: "Look at what is there now (Escape shows it), then enter yours again if it should stand.",
};

export function useShop(): Shelves {
  const [shop, setShop] = useState<Shop | null>(null);
  const [wrong, setWrong] = useState("");
  const before = useRef<Promise<unknown>>(Promise.resolve());
  const now = useRef<Shop | null>(null);
  const own = useRef<{ edits: Based[]; made: number }[]>([]);

  const read = useCallback(async () => {
    now.current = await rest.shop();
    setShop(now.current);
  }, []);
  const change = useCallback((post: () => Promise<unknown>): Promise<Problem[]> => {
    const mine = before.current.then(async () => {
      try {
        await post();
        await read();
        say("Saved.");
        setWrong("");
        return [];
      } catch (e) {
        if (!(e instanceof rest.Refused)) {
          setWrong("The server can't be reached; nothing was changed.");
          return [kStale];
        }
        if (e.status === 409) await read().catch(() => undefined);
        return e.status === 409 ? [kStale] : e.problems.length ? e.problems : [{ ...kStale, what: e.message, fits: "" }];
      }
    });
    before.current = mine;
    return mine;
  }, [read]);

  useEffect(() => void read().catch((e: Error) => setWrong(e.message)), [read]);
  const seen = () => now.current?.revision ?? 0;
  const tree = useMemo(() => treeOf(shop?.fields ?? {}), [shop]);
  return {
    shop, tree, problems: shop?.problems ?? [], wrong,
    edit: (edits, base = seen()) => change(async () => {
      const based = edits.map((e) => ({ ...e, base })), on = Math.min(...based.map((e) => afterOwn(own.current, e)));
      own.current.push({ edits: based, made: (await rest.editShop(on, edits)).revision });
    }),
    turn: (way) => void change(() => rest.turnShop(way, seen())).then((p) => setWrong(p[0] ? `${p[0].what} ${p[0].fits}` : "")),
  };
}

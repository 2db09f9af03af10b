// The shop's library, read and changed. Changes go one after another, each on the revision before it.
import { useCallback, useEffect, useMemo, useRef, useState } from "react";
import type { Edit, Problem, Shop } from "../contract/types";
import { treeOf, type Node } from "../job/shelf";
import { say } from "../link/actions";
import * as rest from "../link/rest";

export type Shelves = {
  shop: Shop | null;
  tree: Node;
  problems: Problem[]; // of the library as it stands
  wrong: string;
  /** Empty: it is saved. */
  edit: (edits: Edit[]) => Promise<Problem[]>;
  turn: (way: "undo" | "redo") => void;
};

const kStale: Problem = {
  code: "revision-stale", where: { file: "", line: 0, column: 0, key: "" },
  what: "Another device has changed the same place meanwhile.", fits: "What stands there now is shown: look at it and type again.",
};

export function useShop(): Shelves {
  const [shop, setShop] = useState<Shop | null>(null);
  const [wrong, setWrong] = useState("");
  const before = useRef<Promise<unknown>>(Promise.resolve());
  const now = useRef<Shop | null>(null);

  const read = useCallback(async () => {
    now.current = await rest.shop();
    setShop(now.current);
  }, []);
  const change = useCallback((post: (base: number) => Promise<unknown>): Promise<Problem[]> => {
    const mine = before.current.then(async () => {
      try {
        await post(now.current?.revision ?? 0);
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
  const tree = useMemo(() => treeOf(shop?.fields ?? {}), [shop]);
  return {
    shop, tree, problems: shop?.problems ?? [], wrong,
    edit: (edits) => change((base) => rest.editShop(base, edits)),
    turn: (way) => void change((base) => rest.turnShop(way, base)).then((p) => setWrong(p[0] ? `${p[0].what} ${p[0].fits}` : "")),
  };
}

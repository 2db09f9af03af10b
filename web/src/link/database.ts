// One table of the browser's own store (IndexedDB), which every browser has over plain http too. Where it has none, as in some
// private windows, nothing is found and nothing is kept.

export type Table = {
  /** out  false: the browser would not take it */
  put: (value: unknown, key: string) => Promise<boolean>;
  remove: (key: string) => Promise<void>;
  one: (key: string) => Promise<unknown>;
  all: () => Promise<unknown[]>;
};

function opened(database: string, table: string): Promise<IDBDatabase | null> {
  return new Promise((done) => {
    try {
      const asked = indexedDB.open(database, 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore(table);
      asked.onsuccess = () => done(asked.result);
      asked.onerror = asked.onblocked = () => done(null);
    } catch {
      done(null);
    }
  });
}

/** A database of its own for each table: none has to be brought up to date for another's sake. */
export function storeTable(database: string, table: string): Table {
  let db: Promise<IDBDatabase | null> | null = null;
  const within = async <T>(mode: IDBTransactionMode, work: (store: IDBObjectStore) => IDBRequest<T>): Promise<T | null> => {
    const there = await (db ??= opened(database, table));
    if (!there) return null;
    return new Promise((done) => {
      const change = there.transaction(table, mode);
      const asked = work(change.objectStore(table));
      change.oncomplete = () => done(asked.result);
      change.onerror = change.onabort = () => done(null);
    });
  };
  return {
    put: async (value, key) => (await within("readwrite", (s) => s.put(value, key))) !== null,
    remove: async (key) => void (await within("readwrite", (s) => s.delete(key))),
    one: (key) => within<unknown>("readonly", (s) => s.get(key)),
    all: async () => (await within<unknown[]>("readonly", (s) => s.getAll())) ?? [],
  };
}

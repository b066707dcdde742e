// Opens a database of this browser without waiting for other tabs for ever.

/** How long other tabs have to close their connection to an older version, ms. */
const BLOCKED_PATIENCE_MS = 2000;

/** Why a connection was lost: a newer page upgrades the database, or the browser closed it. */
export type Loss = 'newer page' | 'closed by the browser';

/** Another tab has an older version of the database open and does not close it. */
export class Blocked extends Error {
  constructor() {
    super('another tab has an older version of this page open');
    this.name = 'Blocked';
  }
}

/** `lost`: called when the connection is lost, which is then closed. Rejects with `Blocked` if other tabs hold it up. */
export function openDatabase(
  name: string,
  version: number,
  upgrade: (database: IDBDatabase, oldVersion: number) => void,
  lost: (why: Loss) => void,
): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(name, version);
    let late = false;
    let patience: ReturnType<typeof setTimeout> | undefined;
    request.onblocked = () => {
      patience = setTimeout(() => {
        late = true;
        reject(new Blocked());
      }, BLOCKED_PATIENCE_MS);
    };
    request.onupgradeneeded = ({ oldVersion }) => upgrade(request.result, oldVersion);
    request.onerror = () => {
      clearTimeout(patience);
      reject(request.error ?? new Error('the browser gave no reason'));
    };
    request.onsuccess = () => {
      clearTimeout(patience);
      const database = request.result;
      if (late) {
        // The page goes on without it.
        database.close();
        return;
      }
      database.onversionchange = () => {
        database.close();
        lost('newer page');
      };
      database.onclose = () => lost('closed by the browser');
      resolve(database);
    };
  });
}

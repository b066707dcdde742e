// IndexedDB's requests and transactions as promises.

export function asked<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error ?? new Error('the browser gave no reason'));
  });
}

export function finished(transaction: IDBTransaction): Promise<void> {
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve();
    transaction.onabort = () => reject(transaction.error ?? new Error('the browser cancelled the write'));
  });
}

/** Visits every record of a store, one at a time, so that they are never all in memory. */
export function each(store: IDBObjectStore, visit: (record: unknown) => void): Promise<void> {
  return new Promise((resolve, reject) => {
    const request = store.openCursor();
    request.onerror = () => reject(request.error ?? new Error('the browser gave no reason'));
    request.onsuccess = () => {
      const cursor = request.result;
      if (cursor === null) {
        resolve();
        return;
      }
      visit(cursor.value);
      cursor.continue();
    };
  });
}

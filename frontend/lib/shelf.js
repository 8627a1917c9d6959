// @ts-check
// What the device keeps when there is no network: the queue's writes and the last Today. IndexedDB.

import { ApiProblem } from "./call.js";

/** @import { Shelf, Write } from "./queue.js" */
/** @import { Today } from "./contract.js" */

/** @type {Promise<IDBDatabase> | undefined} */
let opening;

function database() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open("bareframe", 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore("writes", { keyPath: "key" });
      request.result.createObjectStore("kept", { keyPath: "name" });
    };
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  return opening;
}

/**
 * One step in a transaction; resolves when the transaction is complete, so what was put is really there.
 * @template T
 * @param {string} store
 * @param {IDBTransactionMode} mode
 * @param {(store: IDBObjectStore) => IDBRequest<T>} step
 * @returns {Promise<T>}
 */
async function within(store, mode, step) {
  const db = await database();
  return new Promise((resolve, reject) => {
    const transaction = db.transaction(store, mode, { durability: "strict" });
    const request = step(transaction.objectStore(store));
    transaction.oncomplete = () => resolve(request.result);
    transaction.onerror = () => reject(full(transaction.error));
    transaction.onabort = () => reject(full(transaction.error));
  });
}

/** No room on the device, said so that somebody can do something about it. @param {DOMException | null} error */
function full(error) {
  if (error?.name !== "QuotaExceededError") return error;
  return new ApiProblem({
    type: "about:blank",
    title: "No room on this device",
    status: 507,
    detail:
      "This device has no room left, so nothing was kept; what you typed is still here. Take photos away, free some room on the device, or come into the network so that what waits can go up, and try again.",
  });
}

/** @type {Shelf} */
export const writes = {
  all: () => within("writes", "readonly", (s) => /** @type {IDBRequest<Write[]>} */ (s.getAll())),
  put: async (write) => {
    await within("writes", "readwrite", (s) => s.put(write));
  },
  putAll: async (all) => {
    await within("writes", "readwrite", (s) => {
      const requests = all.map((write) => s.put(write));
      return /** @type {IDBRequest<IDBValidKey>} */ (requests.at(-1));
    });
  },
  remove: async (key) => {
    await within("writes", "readwrite", (s) => s.delete(key));
  },
};

/** @param {string} person @param {Today} today @param {string} at */
export async function keepToday(person, today, at) {
  await within("kept", "readwrite", (s) => s.put({ name: `today ${person}`, today, at }));
}

/** @param {string} person @returns {Promise<{ today: Today, at: string } | undefined>} */
export async function keptToday(person) {
  return within("kept", "readonly", (s) => s.get(`today ${person}`));
}

/** Something to read without a network. @param {string} name @param {unknown} value */
export async function keep(name, value) {
  await within("kept", "readwrite", (s) => s.put({ name, value }));
}

/** @param {string} name @returns {Promise<unknown>} */
export async function kept(name) {
  return (await within("kept", "readonly", (s) => s.get(name)))?.value;
}

/** Who was signed in on this device last, so that the bench opens without a network. @param {unknown} me */
export async function keepMe(me) {
  await within("kept", "readwrite", (s) => s.put({ name: "me", me }));
}

export async function keptMe() {
  const row = await within("kept", "readonly", (s) => s.get("me"));
  return /** @type {import("./contract.js").Me | undefined} */ (row?.me);
}

/** Signed out: what was kept to read goes; writes not yet sent stay until their person signs in again. */
export async function forget() {
  await within("kept", "readwrite", (s) => s.clear());
}

// @ts-check
// Who is signed in on this device, and the stream of changes that goes with it.

import { get, NetworkProblem, onSignedOut, remove } from "./call.js";
import { listen } from "./events.js";
import { forget, keepMe, keptMe } from "./shelf.js";
import { store } from "./store.js";

/** @import { Change, Me } from "./contract.js" */

/** @type {ReturnType<typeof store<Me | undefined>>} */
export const person = store(/** @type {Me | undefined} */ (undefined));

/** Whether the server was reached last. */
export const online = store(true);

/** @type {Set<(change: Change) => void>} */
const watchers = new Set();
let stream = new AbortController();

/** @param {(change: Change) => void} callback @param {AbortSignal} signal */
export function onChange(callback, signal) {
  watchers.add(callback);
  signal.addEventListener("abort", () => watchers.delete(callback), { once: true });
}

/** @param {Me} me */
export function signedIn(me) {
  const before = person.get();
  person.set(me);
  document.documentElement.lang = me.shop.locale.startsWith("en") ? me.shop.locale : "en";
  keepMe(me).catch(() => {});
  if (before?.session_id === me.session_id) return;
  stream.abort();
  stream = new AbortController();
  listen({
    signal: stream.signal,
    live: (live) => online.set(live),
    changed: (change) => {
      for (const watcher of [...watchers]) watcher(change);
    },
  });
}

function ended() {
  stream.abort();
  person.set(undefined);
}

onSignedOut(ended);

/**
 * Asks who is signed in; without a network, who was last. Undefined when nobody is.
 * @returns {Promise<Me | undefined>}
 */
export async function whoAmI() {
  const known = person.get();
  if (known) return known;
  try {
    const me = await get("/api/me", {});
    signedIn(me);
    return me;
  } catch (error) {
    if (error instanceof NetworkProblem) {
      online.set(false);
      const me = await keptMe().catch(() => undefined);
      if (me?.person.role === "technician") {
        signedIn(me);
        return me;
      }
      throw error;
    }
    if (/** @type {{ status?: number }} */ (error).status === 401) return undefined;
    throw error;
  }
}

export async function signOut() {
  await remove("/api/sessions/current", {});
  await forget().catch(() => {});
  ended();
}

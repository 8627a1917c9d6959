// @ts-check
// A value that can be watched. Watchers end with their signal.

/**
 * @template T
 * @param {T} value
 */
export function store(value) {
  /** @type {Set<(value: T) => void>} */
  const watchers = new Set();
  return {
    get: () => value,
    /** @param {T} next */
    set(next) {
      if (Object.is(next, value)) return;
      value = next;
      for (const watcher of [...watchers]) watcher(next);
    },
    /**
     * Calls back now and at each change.
     * @param {(value: T) => void} watcher
     * @param {AbortSignal} signal
     */
    watch(watcher, signal) {
      if (signal.aborted) return;
      watchers.add(watcher);
      signal.addEventListener("abort", () => watchers.delete(watcher), { once: true });
      watcher(value);
    },
  };
}

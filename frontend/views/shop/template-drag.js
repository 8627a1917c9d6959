// @ts-check
// Moving the tasks of a template by dragging.

/**
 * Rows are dragged by their grip; the buttons beside do the same.
 * @param {HTMLElement} place @param {(key: string, phase: string, before?: string) => void} drop @param {AbortSignal} signal
 */
export function dragging(place, drop, signal) {
  let key = "";
  const mark = (/** @type {Element | null} */ row) => {
    for (const each of place.querySelectorAll("[data-over]")) each.removeAttribute("data-over");
    row?.setAttribute("data-over", "");
  };
  const rowAt = (/** @type {Event} */ event) =>
    event.target instanceof Element ? event.target.closest("tr") : null;
  place.addEventListener(
    "dragstart",
    (event) => {
      key = /** @type {HTMLElement} */ (event.target).dataset?.["grip"] ?? "";
      if (key) event.dataTransfer?.setData("text/plain", key);
    },
    { signal },
  );
  place.addEventListener(
    "dragover",
    (event) => {
      if (!key) return;
      event.preventDefault();
      mark(rowAt(event));
    },
    { signal },
  );
  place.addEventListener(
    "drop",
    (event) => {
      const row = rowAt(event);
      const phase = row?.closest("tbody")?.dataset["phase"];
      if (!key || !row || phase === undefined) return;
      event.preventDefault();
      // On a band: first in its phase; on a task: before it; below the tasks: last.
      const first = row.hasAttribute("data-drop") && row.nextElementSibling?.getAttribute("data-row");
      drop(key, phase, row.getAttribute("data-row") ?? (first || undefined));
    },
    { signal },
  );
  place.addEventListener(
    "dragend",
    () => {
      key = "";
      mark(null);
    },
    { signal },
  );
}

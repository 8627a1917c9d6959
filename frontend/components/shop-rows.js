// @ts-check
// Lists inside a form whose rows can be added and removed. A row carries data-row-of="materials"; names in
// it begin with the list's name and a number, which is set right before the form is read.

import { fragment, on } from "../lib/html.js";

/** @import { Markup } from "../lib/html.js" */

let made = 0;

/** A number that no row on the page has, for the ids of a new row's fields. */
export function rowNumber() {
  made += 1;
  return made;
}

/**
 * Adding: a button with data-add-row="materials" appends to the element with data-rows="materials".
 * Removing: a button with data-remove-row in the row.
 * @param {HTMLElement} form
 * @param {Record<string, (button: HTMLElement) => Markup>} blanks a new row for each list
 * @param {AbortSignal} signal
 */
export function editableRows(form, blanks, signal) {
  on(
    form,
    "click",
    "[data-add-row]",
    (button) => {
      const list = button.dataset["addRow"] ?? "";
      const place = form.querySelector(`[data-rows="${CSS.escape(list)}"]`);
      const blank = blanks[list.split("/")[0] ?? ""] ?? blanks[list];
      if (!place || !blank) return;
      const row = fragment(blank(button)).firstElementChild;
      if (!row) return;
      place.append(row);
      row.querySelector("input, select")?.dispatchEvent(new Event("added", { bubbles: true }));
      const first = row.querySelector("input, select");
      if (first instanceof HTMLElement) first.focus();
    },
    signal,
  );
  on(
    form,
    "click",
    "[data-remove-row]",
    (button) => {
      const row = button.closest("[data-row-of]");
      const next = row?.nextElementSibling ?? row?.previousElementSibling;
      row?.remove();
      const focus = next?.querySelector("input, button") ?? form.querySelector("[data-add-row]");
      if (focus instanceof HTMLElement) focus.focus();
    },
    signal,
  );
}

/**
 * Numbers the rows of every list as they stand, so that the body has no holes and a refusal that names a
 * row finds it.
 * @param {HTMLElement} form
 */
export function numberRows(form) {
  /** @type {Map<string, number>} */
  const counts = new Map();
  for (const row of form.querySelectorAll("[data-row-of]")) {
    const list = row.getAttribute("data-row-of") ?? "";
    const number = counts.get(list) ?? 0;
    counts.set(list, number + 1);
    const pattern = new RegExp(`^${list}/\\d+/`);
    for (const each of row.querySelectorAll("[name], [data-error-of]"))
      for (const attribute of ["name", "data-error-of"]) {
        const name = each.getAttribute(attribute);
        if (name && pattern.test(name))
          each.setAttribute(attribute, name.replace(pattern, `${list}/${number}/`));
      }
  }
}

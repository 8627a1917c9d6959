// @ts-check
// Renders again without losing what somebody is typing: values that differ from what the page was made
// with, the field in use and the place in it, the scroll of wide tables, and the version of the row that
// the typing was begun on.

import { render } from "../lib/html.js";

/** @param {Element} each */
const isControl = (each) =>
  each instanceof HTMLInputElement ||
  each instanceof HTMLTextAreaElement ||
  each instanceof HTMLSelectElement;

/** @param {HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement} control */
function isChanged(control) {
  if (control instanceof HTMLSelectElement)
    return [...control.options].some(
      (option) => option.selected !== option.defaultSelected && option.index > 0,
    );
  if (control instanceof HTMLInputElement && ["checkbox", "radio"].includes(control.type))
    return control.checked !== control.defaultChecked;
  return control.value !== control.defaultValue;
}

/**
 * Whether something in here was typed and not saved.
 * @param {Element} root
 */
export function hasEdits(root) {
  return [...root.querySelectorAll("input, textarea, select")].some(
    (each) => isControl(each) && isChanged(/** @type {HTMLInputElement} */ (each)),
  );
}

/**
 * @param {Element} root
 * @param {import("../lib/html.js").Markup} markup
 * @param {{ own: boolean }} why `own`: the new content answers this person's own save
 */
export function renderKeeping(root, markup, { own }) {
  const kept = [...root.querySelectorAll("input[id], textarea[id], select[id]")]
    .filter((each) => isControl(each) && isChanged(/** @type {HTMLInputElement} */ (each)))
    .map((each) => {
      const control = /** @type {HTMLInputElement} */ (each);
      return {
        id: control.id,
        value: control.value,
        version: control.closest("[data-version]")?.getAttribute("data-version"),
      };
    });
  const scrolls = [...root.querySelectorAll(".shop-scroll[id]")].map((each) => ({
    id: each.id,
    left: each.scrollLeft,
  }));
  const caret = caretIn(root);
  render(root, markup);
  for (const { id, value, version } of kept) {
    const control = root.querySelector(`[id="${CSS.escape(id)}"]`);
    if (!control || !isControl(control)) continue;
    const field = /** @type {HTMLInputElement} */ (control);
    if (field.value === value) continue;
    field.value = value;
    field.toggleAttribute("data-changed", true);
    if (!own && version) field.closest("[data-version]")?.setAttribute("data-version", version);
  }
  for (const { id, left } of scrolls) {
    const box = root.querySelector(`[id="${CSS.escape(id)}"]`);
    if (box) box.scrollLeft = left;
  }
  if (caret) restore(root, caret);
}

/** @param {Element} root */
function caretIn(root) {
  const active = document.activeElement;
  if (!(active instanceof HTMLInputElement) || !root.contains(active) || active.type !== "text") return null;
  return { id: active.id, from: active.selectionStart, to: active.selectionEnd };
}

/** @param {Element} root @param {{ id: string, from: number | null, to: number | null }} caret */
function restore(root, caret) {
  const control = root.querySelector(`[id="${CSS.escape(caret.id)}"]`);
  if (control instanceof HTMLInputElement) control.setSelectionRange(caret.from, caret.to);
}

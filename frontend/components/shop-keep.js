// @ts-check
// Brings what stands on the page in line with new content without replacing it, so that nobody loses what
// they are typing: the field in use keeps its caret, a value that was typed and not saved stays and is
// marked, tables keep their place. Elements are the same when their id or data-row is.

import { fragment } from "../lib/html.js";

/** @typedef {HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement} Control */

/**
 * @param {Element} root
 * @param {import("../lib/html.js").Markup} markup
 * @param {{ own: boolean }} why `own`: the new content answers this person's own save. Otherwise a row with
 *   something typed in it keeps the version on which the typing was begun (data-version).
 */
export function renderKeeping(root, markup, { own }) {
  children(root, fragment(markup), own);
}

/** @param {Node} node @returns {node is Control} */
function isControl(node) {
  return (
    node instanceof HTMLInputElement ||
    node instanceof HTMLTextAreaElement ||
    node instanceof HTMLSelectElement
  );
}

/** Whether something was typed here and not saved. @param {Control} control */
function isChanged(control) {
  if (control instanceof HTMLSelectElement)
    return [...control.options].some(
      (o) => o.selected !== o.defaultSelected && (o.defaultSelected || o.index > 0),
    );
  if (control instanceof HTMLInputElement && ["checkbox", "radio"].includes(control.type))
    return control.checked !== control.defaultChecked;
  return control.value !== control.defaultValue;
}

/** @param {Element} root */
function hasChanges(root) {
  return [...root.querySelectorAll("input, textarea, select")].some(
    (each) => isControl(each) && isChanged(each),
  );
}

/** @param {Node} node */
function keyOf(node) {
  if (!(node instanceof Element)) return "";
  return node.id || node.getAttribute("data-row") || node.getAttribute("data-line-row") || "";
}

/** @param {Node} from @param {Node} to @param {boolean} own */
function children(from, to, own) {
  const keyed = new Map([...from.childNodes].filter(keyOf).map((node) => [keyOf(node), node]));
  let place = from.firstChild;
  for (const wanted of [...to.childNodes]) {
    const found = same(wanted, place, keyed);
    if (!found) {
      from.insertBefore(wanted, place);
      continue;
    }
    if (found === place) place = place.nextSibling;
    else from.insertBefore(found, place);
    bring(found, wanted, own);
  }
  while (place) {
    const next = place.nextSibling;
    from.removeChild(place);
    place = next;
  }
}

/** What stands for `wanted` already: by key anywhere, otherwise what is at its place. @param {Node} wanted @param {Node | null} place @param {Map<string, Node>} keyed */
function same(wanted, place, keyed) {
  const key = keyOf(wanted);
  const found = key ? keyed.get(key) : place;
  if (!found || found.nodeName !== wanted.nodeName || keyOf(found) !== key) return undefined;
  return found;
}

/** @param {Node} from @param {Node} to @param {boolean} own */
function bring(from, to, own) {
  if (!(from instanceof Element) || !(to instanceof Element)) {
    if (from.nodeValue !== to.nodeValue) from.nodeValue = to.nodeValue;
    return;
  }
  const control = isControl(from) ? from : undefined;
  const typed = control && isChanged(control) ? control.value : undefined;
  const faulty = from.getAttribute("aria-invalid");
  attributes(from, to, own);
  if (!(from instanceof HTMLInputElement)) children(from, to, own);
  if (!control) return;
  if (typed === undefined) control.value = /** @type {Control} */ (to).value;
  else if (isChanged(control)) {
    control.toggleAttribute("data-changed", true);
    if (faulty) control.setAttribute("aria-invalid", faulty);
  }
}

/** @param {Element} from @param {Element} to @param {boolean} own */
function attributes(from, to, own) {
  const keepVersion = !own && from.hasAttribute("data-version") && hasChanges(from);
  for (const { name } of [...from.attributes])
    if (!to.hasAttribute(name) && !(name === "open" && from.nodeName === "DETAILS"))
      from.removeAttribute(name);
  for (const { name, value } of to.attributes)
    if (from.getAttribute(name) !== value && !(name === "data-version" && keepVersion))
      from.setAttribute(name, value);
}

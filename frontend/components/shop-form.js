// @ts-check
// From a form of lib/form.js fields to a request body: a field's name is the pointer of its value, so the
// form reads straight into nested objects and lists.
//
//   <input name="hours/low" inputmode="decimal">  <input name="draws/0/name">  <input type="checkbox" name="skills[]" value="fitter">
//   readForm(form, { optional: ["not_before"] })   →  { hours: { low: "1.00" }, draws: [{ name: … }], skills: ["fitter"] }

import { ApiProblem } from "../lib/call.js";
import { showErrors } from "../lib/form.js";
import { attr, html } from "../lib/html.js";
import { clearProblem, showProblem } from "./bf-problem.js";

/** @import { Markup } from "../lib/html.js" */

/** A field over some of the form's twelve columns. @param {number} columns @param {Markup} content */
export function span(columns, content) {
  return html`<div data-span="${columns}">${content}</div>`;
}

/**
 * Several of a list, as boxes.
 * @param {{ name: string, label: string, choices: [string, string][], chosen: string[], form?: string }} f name without []
 */
export function boxes({ name, label, choices, chosen }) {
  const more = chosen.filter((key) => !choices.some(([known]) => known === key));
  /** @type {[string, string][]} */
  const all = [
    ...choices,
    ...more.map((key) => /** @type {[string, string]} */ ([key, key.replaceAll("_", " ")])),
  ];
  return html`<fieldset><legend class="shop-legend">${label}</legend><div class="shop-checks">${all.map(
    ([key, word]) =>
      html`<label class="shop-check"><input type="checkbox" name="${name}[]" value="${key}" ${attr("checked", chosen.includes(key))}><span>${word}</span></label>`,
  )}${all.length === 0 ? html`<p class="second">None to choose from yet.</p>` : ""}</div></fieldset>`;
}

/**
 * The choices of a record of words, in its order.
 * @param {Record<string, string>} words
 * @param {string} [none] the word for the empty choice
 * @param {string} [held] a value that stays choosable even when it is not among the words
 * @returns {[string, string][]}
 */
export function choices(words, none, held = "") {
  /** @type {[string, string][]} */
  const all = Object.entries(words);
  if (held && !(held in words)) all.push([held, held.replaceAll("_", " ")]);
  return none === undefined ? all : [["", none], ...all];
}

/** Keys and names as words. @param {{ key: string, name: string }[]} known @returns {Record<string, string>} */
export function wordsOf(known) {
  return Object.fromEntries(known.map(({ key, name }) => [key, name]));
}

/**
 * The body a form describes. Rows that were removed leave no holes in lists.
 * @template [T=Record<string, unknown>]
 * @param {HTMLElement} form
 * @param {{ optional?: string[] }} [options] names left out when empty
 * @returns {T}
 */
export function readForm(form, { optional = [] } = {}) {
  /** @type {Record<string, unknown>} */
  const body = {};
  for (const each of form.querySelectorAll("input[name], select[name], textarea[name]")) {
    const control = /** @type {HTMLInputElement} */ (each);
    if (control.name.endsWith("[]")) {
      const list = /** @type {string[]} */ (reach(body, control.name.slice(0, -2), []));
      if (control.checked) list.push(control.value);
      continue;
    }
    if (control.type === "radio" && !control.checked) continue;
    const value = heldIn(control);
    if (value === "" && optional.includes(control.name)) continue;
    reach(body, control.name, value);
  }
  return /** @type {T} */ (dense(body));
}

/** @param {HTMLInputElement} control @returns {string | number | boolean} */
function heldIn(control) {
  if (control.type === "checkbox") return control.checked;
  const text = control.value.trim();
  const mode = control.getAttribute("inputmode");
  if (mode === "decimal") return decimalText(text);
  // What is no whole number goes as it stands: the server names the field.
  if (mode === "numeric") return /^\d+$/.test(text) ? Number.parseInt(text, 10) : text;
  return text;
}

/** A decimal typed with a comma or with spaces between thousands, as the contract writes it. @param {string} text */
export function decimalText(text) {
  const plain = text.trim().replace(/\s/g, "");
  return /^-?\d+,\d+$/.test(plain) ? plain.replace(",", ".") : plain;
}

/**
 * Writes a value where a pointer points, unless one is there; answers what is there. Numeric steps make lists.
 * @param {Record<string, unknown>} body @param {string} pointer @param {unknown} value
 */
function reach(body, pointer, value) {
  const steps = pointer.split("/");
  /** @type {any} */
  let at = body;
  steps.forEach((step, index) => {
    const last = index === steps.length - 1;
    at[step] ??= last ? value : /^\d+$/.test(steps[index + 1] ?? "") ? [] : {};
    at = at[step];
  });
  return at;
}

/** @param {unknown} value @returns {unknown} */
function dense(value) {
  if (Array.isArray(value)) return value.filter((each) => each !== undefined).map(dense);
  if (value && typeof value === "object")
    return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, dense(each)]));
  return value;
}

/** Says what was refused: beside the fields, and the sentence above the form. @param {HTMLElement} form @param {unknown} error */
export function refuse(form, error) {
  clearProblem(form);
  showProblem(form, error);
  const found = error instanceof ApiProblem ? showErrors(form, error) : 0;
  if (found === 0) form.querySelector("bf-problem")?.scrollIntoView({ block: "nearest" });
}

/**
 * A button inside a form that sends it with another meaning. It is no submit button, so that Enter in a
 * field never presses it.
 * @param {HTMLFormElement} form @param {string} selector @param {() => void} before
 */
export function otherwise(form, selector, before) {
  form.querySelector(selector)?.addEventListener("click", () => {
    before();
    form.noValidate = true;
    form.requestSubmit();
  });
}

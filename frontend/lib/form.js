// @ts-check
// Fields, and what a refusal says about them. A field's name is the JSON pointer of its value in the body
// without the leading slash ("hours/low"), so the server's field problems find their field.

import { attr, html, Markup } from "./html.js";

/** @import { ApiProblem } from "./call.js" */

/**
 * @typedef {object} Field
 * @property {string} name
 * @property {string} label
 * @property {string} [form] prefix of ids, unique per form on the page
 * @property {string} [type] of the input; or "textarea", "select", "checkbox"
 * @property {string | number | boolean | null} [value]
 * @property {string} [hint]
 * @property {boolean} [required]
 * @property {[string, string][]} [options] key and word, for a select
 * @property {string} [inputmode] such as "decimal"
 * @property {string} [autocomplete]
 * @property {string | number} [min]
 * @property {string | number} [max]
 * @property {string | number} [step]
 * @property {number} [maxlength]
 * @property {string} [pattern]
 * @property {number} [rows]
 * @property {boolean} [readonly]
 * @property {boolean} [hideLabel] the label is read aloud only, as in a table's cell
 */

/** @param {Field} f @returns {Markup} */
export function field(f) {
  const id = `${f.form ?? "f"}-${f.name.replaceAll("/", "-")}`;
  const described = `${f.hint ? `${id}-hint ` : ""}${id}-error`;
  const shared = html`id="${id}" name="${f.name}" aria-describedby="${described}" ${attr("required", f.required)} ${attr("maxlength", f.maxlength)}`;
  const label = html`<label for="${id}" ${attr("class", f.hideLabel && "visually-hidden")}>${f.label}</label>`;
  const hint = f.hint ? html`<p class="hint" id="${id}-hint">${f.hint}</p>` : "";
  const error = html`<p class="field-error" id="${id}-error" data-error-of="${f.name}" hidden></p>`;
  if (f.type === "checkbox") {
    return html`<div class="field check"><input type="checkbox" ${shared} ${attr("checked", f.value === true)}>${label}${hint}${error}</div>`;
  }
  return html`<div class="field">${label}${control(f, shared)}${hint}${error}</div>`;
}

/** @param {Field} f @param {Markup} shared */
function control(f, shared) {
  const value = f.value ?? "";
  if (f.type === "textarea") {
    return html`<textarea ${shared} rows="${f.rows ?? 3}" ${attr("readonly", f.readonly)}>
${value}</textarea>`;
  }
  if (f.type === "select") {
    const options = (f.options ?? []).map(
      ([key, word]) =>
        html`<option value="${key}" ${attr("selected", key === String(value))}>${word}</option>`,
    );
    return html`<select ${shared}>${options}</select>`;
  }
  return html`<input type="${f.type ?? "text"}" ${shared} value="${value}" ${attr("inputmode", f.inputmode)} ${attr("autocomplete", f.autocomplete)} ${attr("min", f.min)} ${attr("max", f.max)} ${attr("step", f.step)} ${attr("pattern", f.pattern)} ${attr("readonly", f.readonly)}>`;
}

/** The text of a field, trimmed; empty when it is not there. @param {FormData} data @param {string} name */
export function text(data, name) {
  const value = data.get(name);
  return typeof value === "string" ? value.trim() : "";
}

/** A typed decimal with a comma or a point, as the contract wants it. @param {FormData} data @param {string} name */
export function decimal(data, name) {
  return text(data, name).replace(",", ".");
}

/** @param {HTMLElement} form */
export function clearErrors(form) {
  for (const error of form.querySelectorAll("[data-error-of]")) {
    error.textContent = "";
    if (error instanceof HTMLElement) error.hidden = true;
  }
  for (const input of form.querySelectorAll("[aria-invalid]")) input.removeAttribute("aria-invalid");
}

/**
 * Writes the field problems beside their fields and moves to the first.
 * @param {HTMLElement} form
 * @param {ApiProblem} problem
 * @returns {number} how many found their field
 */
export function showErrors(form, problem) {
  let found = 0;
  for (const { pointer, detail } of problem.errors) {
    const name = pointer.replace(/^\//, "");
    const error = form.querySelector(`[data-error-of="${CSS.escape(name)}"]:not([hidden] *)`);
    if (!(error instanceof HTMLElement)) continue;
    error.textContent = detail;
    error.hidden = false;
    const input = form.querySelector(`[name="${CSS.escape(name)}"]:enabled`);
    input?.setAttribute("aria-invalid", "true");
    // Said beside the field: the message above need not say it again.
    form.querySelector(`bf-problem [data-pointer="${CSS.escape(pointer)}"]`)?.remove();
    if (found === 0 && input instanceof HTMLElement) input.focus();
    found += 1;
  }
  return found;
}

/**
 * What every form does: stop the browser, lock the buttons while the call runs, show what was refused.
 * @param {HTMLFormElement} form
 * @param {(data: FormData) => Promise<void>} submit
 * @param {(error: unknown) => void} refused shows what the fields do not
 * @param {AbortSignal} signal
 */
export function onSubmit(form, submit, refused, signal) {
  form.addEventListener(
    "submit",
    async (event) => {
      event.preventDefault();
      if (form.getAttribute("aria-busy") === "true") return;
      clearErrors(form);
      form.setAttribute("aria-busy", "true");
      try {
        await submit(new FormData(form));
      } catch (error) {
        if (!signal.aborted) refused(error);
      } finally {
        form.removeAttribute("aria-busy");
      }
    },
    { signal },
  );
}

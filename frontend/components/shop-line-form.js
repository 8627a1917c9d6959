// @ts-check
// The fields of a priced line that is not labour, and a line in words. A material of the price book fills
// them in; the unit price stays with the line when the book changes later.

import { field } from "../lib/form.js";
import { attr, html } from "../lib/html.js";
import { lineKind, taxClass, word } from "../lib/words.js";
import { choices, readForm, span } from "./shop-form.js";
import { optionField, optionName } from "./shop-option-form.js";

/** @import { JobPage, Schemas } from "../lib/contract.js" */

/** @typedef {Schemas["LineDraft"]} LineDraft */

/** The kinds an owner may add. Labour follows from the tasks. */
const kinds = Object.fromEntries(Object.entries(lineKind).filter(([key]) => key !== "labour"));

/** @param {string} phase @param {string} unit @returns {LineDraft} */
export function blankLine(phase, unit) {
  return {
    phase_id: phase,
    kind: "material",
    description: "",
    quantity: "1",
    unit,
    unit_cost: "0.00",
    markup_percent: "0",
    waste_percent: "0",
    discount_percent: "0",
    tax_class: "material",
  };
}

/** @param {Schemas["LineView"] | Schemas["NotTakenLine"]} line @returns {LineDraft} */
export function lineDraft(line) {
  const {
    phase_id,
    kind,
    description,
    quantity,
    unit,
    unit_cost,
    markup_percent,
    waste_percent,
    discount_percent,
    tax_class,
  } = line;
  /** @type {LineDraft} */
  const draft = {
    phase_id,
    kind,
    description,
    quantity,
    unit,
    unit_cost,
    markup_percent,
    waste_percent,
    discount_percent,
    tax_class,
  };
  if (line.task_id) draft.task_id = line.task_id;
  if (line.price_item) draft.price_item = line.price_item;
  if (line.option_id) draft.option_id = line.option_id;
  return draft;
}

/**
 * @param {LineDraft} line
 * @param {JobPage} page
 * @param {Schemas["PriceBook"]} book
 * @param {{ name: string, tasks: [string, string][], value: string }} [of] the tasks it may be for, instead of the job's
 */
export function lineFields(line, page, book, of) {
  const phases = Object.fromEntries(page.phases.map((phase) => [phase.id, phase.name]));
  const tasks = Object.fromEntries(page.tasks.map((task) => [task.id, `${task.code} ${task.name}`]));
  const units = Object.fromEntries(book.units.map((unit) => [unit, unit]));
  const rows = Object.fromEntries([
    ...book.materials.map((m) => [`material:${m.key}`, m.name]),
    ...book.vendors.map((v) => [`sublet:${v.key}`, `${v.name} (vendor)`]),
  ]);
  const f = { form: "line" };
  return html`<div class="shop-form">
    <div class="field"><label for="line-from-book">Fill in from the price book</label>
      <select id="line-from-book">${choices(rows, "no, typed here").map(([key, name]) => html`<option value="${key}" ${attr("selected", key === `${line.kind}:${line.price_item}`)}>${name}</option>`)}</select>
      ${of ? "" : html`<input type="hidden" name="price_item" value="${line.price_item ?? ""}">`}</div>
    ${span(3, field({ ...f, name: "kind", label: "Kind", type: "select", value: line.kind, options: choices(kinds) }))}
    <div data-span="9">${field({ ...f, name: "description", label: "Description", value: line.description, required: true, maxlength: 160 })}</div>
    ${span(3, field({ ...f, name: "quantity", label: "Quantity", value: line.quantity, inputmode: "decimal", required: true }))}
    ${span(3, field({ ...f, name: "unit", label: "Unit", type: "select", value: line.unit, options: choices(units, undefined, line.unit) }))}
    ${span(3, field({ ...f, name: "unit_cost", label: `Cost per unit, ${page.price.currency}`, value: line.unit_cost, inputmode: "decimal", required: true }))}
    ${span(3, field({ ...f, name: "tax_class", label: "Tax class", type: "select", value: line.tax_class, options: choices(taxClass) }))}
    ${span(4, field({ ...f, name: "waste_percent", label: "Waste, %", value: line.waste_percent, inputmode: "decimal", required: true }))}
    ${span(4, field({ ...f, name: "markup_percent", label: "Markup, %", value: line.markup_percent, inputmode: "decimal", required: true }))}
    ${span(4, field({ ...f, name: "discount_percent", label: "Discount, %", value: line.discount_percent, inputmode: "decimal", required: true }))}
    ${span(6, field({ ...f, name: "phase_id", label: "Phase", type: "select", value: line.phase_id, options: choices(phases) }))}
    ${span(6, field({ ...f, name: of?.name ?? "task_id", label: "For the task", type: "select", value: of?.value ?? line.task_id ?? "", options: [["", "no task in particular"], ...(of?.tasks ?? Object.entries(tasks))] }))}
    ${of ? "" : optionField("line", line.option_id, page)}
    <p class="hint">A credit takes its amount off. A reserve is held against hidden damage; an allowance stands for work that cannot be priced yet.</p>
  </div>`;
}

/** Fills the fields from a row of the price book that is chosen. @param {HTMLFormElement} form @param {Schemas["PriceBook"]} book @param {AbortSignal} signal */
export function followBook(form, book, signal) {
  const chooser = /** @type {HTMLSelectElement | null} */ (form.querySelector("#line-from-book"));
  chooser?.addEventListener(
    "change",
    () => {
      const [, key = ""] = chooser.value.split(":");
      const material = book.materials.find((m) => `material:${m.key}` === chooser.value);
      const vendor = book.vendors.find((v) => `sublet:${v.key}` === chooser.value);
      const fill = {
        price_item: key,
        ...(material && {
          kind: "material",
          description: material.name,
          unit: material.unit,
          unit_cost: material.unit_cost,
          markup_percent: material.markup_percent,
          waste_percent: material.waste_percent,
          tax_class: material.tax_class,
        }),
        ...(vendor && {
          kind: "sublet",
          waste_percent: "0",
          markup_percent: vendor.markup_percent,
          tax_class: "sublet",
        }),
      };
      for (const [name, value] of Object.entries(fill)) {
        const control = form.elements.namedItem(name);
        if (control instanceof HTMLInputElement || control instanceof HTMLSelectElement)
          control.value = value;
      }
    },
    { signal },
  );
}

/** @param {HTMLElement} form @returns {LineDraft} */
export function readLine(form) {
  return readForm(form, { optional: ["task_id", "price_item", "option_id"] });
}

/** A line in words. @param {LineDraft} line @param {JobPage} page @returns {[string, string][]} */
export function lineRows(line, page) {
  return [
    ["Kind", word(lineKind, line.kind)],
    ["Description", line.description],
    ["Quantity", `${line.quantity} ${line.unit}`],
    ["Cost per unit", line.unit_cost],
    [
      "Markup, waste, discount",
      `${line.markup_percent} %, ${line.waste_percent} %, ${line.discount_percent} %`,
    ],
    ["Tax class", word(taxClass, line.tax_class)],
    ["Phase", page.phases.find((phase) => phase.id === line.phase_id)?.name ?? "–"],
    ["Task", page.tasks.find((task) => task.id === line.task_id)?.code ?? ""],
    ["Option", optionName(line.option_id, page)],
  ];
}

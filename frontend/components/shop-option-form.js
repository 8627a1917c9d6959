// @ts-check
// The fields of an option, the field that gives a task or line to one, and what the page holds of options
// that are not taken.

import { decimal, field, text } from "../lib/form.js";
import { html } from "../lib/html.js";
import { span } from "./shop-form.js";

/** @import { JobPage, Schemas, TaskView } from "../lib/contract.js" */

/** What is chosen, then how. @param {{ group: string, name: string }} option */
export const optionLabel = ({ group, name }) => (group ? `${group}: ${name}` : `Extra: ${name}`);

/** @param {string | undefined} id @param {JobPage} page */
export function optionName(id, page) {
  const option = page.options.find((each) => each.id === id);
  return option ? optionLabel(option) : "";
}

/** Nothing where the job has no option. @param {string} form @param {string | undefined} value @param {JobPage} page */
export function optionField(form, value, page) {
  if (page.options.length === 0) return "";
  return span(
    6,
    field({
      form,
      name: "option_id",
      label: "Belongs to the option",
      type: "select",
      value: value ?? "",
      options: [
        ["", "none: always done"],
        ...page.options.map((o) => /** @type {[string, string]} */ ([o.id, optionLabel(o)])),
      ],
    }),
  );
}

/** @param {Schemas["OptionDraft"]} option @param {[string, string][]} items of the job's judging sheet, by key */
export function optionFields(option, items) {
  const f = { form: "option" };
  return html`<div class="shop-form">
    ${span(6, field({ ...f, name: "group", label: "What is chosen", value: option.group, maxlength: 80, hint: "Options with the same words here exclude each other. Empty: an extra, taken or left." }))}
    ${span(6, field({ ...f, name: "name", label: "Name", value: option.name, required: true, maxlength: 160 }))}
    ${field({ ...f, name: "note", label: "What it means, for the client", type: "textarea", value: option.note, maxlength: 4000 })}
    ${pointRows(option, items)}
    ${field({ ...f, name: "taken", label: "Advised: it is in price and date as they stand", type: "checkbox", value: option.taken })}
  </div>`;
}

/** A row for each item that it changes, and three more. @param {Schemas["OptionDraft"]} option @param {[string, string][]} items */
function pointRows({ points }, items) {
  const known = items.map(([key]) => key);
  /** @type {[string, string][]} */
  const more = points
    .filter((p) => !known.includes(p.item_key))
    .map((p) => [p.item_key, `${p.item_key} (on no item of the sheet)`]);
  /** @type {[string, string][]} */
  const all = [["", "none"], ...items, ...more];
  if (items.length + more.length === 0) all.push(["whole", "the whole car"]);
  const rows = [
    ...points,
    ...Array.from({ length: 3 }, () => ({ item_key: "", originality: "0", condition: "0" })),
  ];
  const cell = { form: "option", hideLabel: true };
  return html`<fieldset><legend class="shop-legend">Judged points gained; negative is lost</legend><table class="shop-list shop-stack"><thead><tr><th scope="col">Item of the sheet</th><th scope="col" class="num">Originality</th><th scope="col" class="num">Condition</th></tr></thead>
    <tbody>${rows.map((p, i) => html`<tr data-point><td data-label="Item" class="shop-cell-wide">${field({ ...cell, name: `points/${i}/item_key`, label: `Item ${i + 1}`, type: "select", value: p.item_key, options: all })}</td><td data-label="Originality" class="shop-cell">${field({ ...cell, name: `points/${i}/originality`, label: `Originality of item ${i + 1}`, value: p.originality, inputmode: "decimal" })}</td><td data-label="Condition" class="shop-cell">${field({ ...cell, name: `points/${i}/condition`, label: `Condition of item ${i + 1}`, value: p.condition, inputmode: "decimal" })}</td></tr>`)}</tbody></table></fieldset>`;
}

/** What the form holds; rows without an item are none. @param {FormData} data @returns {Schemas["OptionDraft"]} */
export function readOption(data) {
  const points = [];
  for (let i = 0; data.has(`points/${i}/item_key`); i += 1) {
    const item_key = text(data, `points/${i}/item_key`);
    if (!item_key) continue;
    points.push({
      item_key,
      originality: decimal(data, `points/${i}/originality`) || "0",
      condition: decimal(data, `points/${i}/condition`) || "0",
    });
  }
  return {
    group: text(data, "group"),
    name: text(data, "name"),
    note: text(data, "note"),
    taken: data.has("taken"),
    points,
  };
}

/** A task of the page, also one that is not taken. @param {JobPage} page @param {string} id @returns {TaskView | undefined} */
export function taskOf(page, id) {
  const task = page.tasks.find((each) => each.id === id);
  if (task) return task;
  const left = page.not_taken.tasks.find((each) => each.id === id);
  if (!left) return undefined;
  const none = { scope: "estimate", state: "open", worked_hours: "0.00", to_go_hours: left.mean_hours };
  return /** @type {TaskView} */ (/** @type {unknown} */ ({ ...none, ...left }));
}

/** The page with all that is stored, as forms edit it: without bridges over what is not taken. @param {JobPage} page @returns {JobPage} */
export function storedPage(page) {
  if (page.options.length === 0) return page;
  const left = page.not_taken.tasks.flatMap((each) => taskOf(page, each.id) ?? []);
  return {
    ...page,
    tasks: [...page.tasks, ...left],
    links: [...page.links.filter((link) => !link.bridge), ...page.not_taken.links],
  };
}

// @ts-check
// The fields of an option, the field that gives a task or line to one, and what the page holds of options
// that are not taken.

import { field, text } from "../lib/form.js";
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

/** @param {Schemas["OptionDraft"]} option */
export function optionFields(option) {
  const f = { form: "option" };
  return html`<div class="shop-form">
    ${span(6, field({ ...f, name: "group", label: "What is chosen", value: option.group, maxlength: 80, hint: "Options with the same words here exclude each other. Empty: an extra, taken or left." }))}
    ${span(6, field({ ...f, name: "name", label: "Name", value: option.name, required: true, maxlength: 160 }))}
    ${field({ ...f, name: "note", label: "What it means, for the client", type: "textarea", value: option.note, maxlength: 4000 })}
    ${span(6, field({ ...f, name: "originality", label: "Judged points, originality", value: sumOf(option, "originality"), hint: "Gained; negative is lost." }))}
    ${span(6, field({ ...f, name: "condition", label: "Judged points, condition", value: sumOf(option, "condition") }))}
    ${field({ ...f, name: "taken", label: "Advised: it is in price and date as they stand", type: "checkbox", value: option.taken })}
  </div>`;
}

/** @param {Schemas["OptionDraft"]} option @param {"originality" | "condition"} of */
function sumOf(option, of) {
  return option.points[0]?.[of] ?? "0";
}

/** What the form holds; points of further items stay as they are. @param {FormData} data @param {Schemas["OptionDraft"]} before @returns {Schemas["OptionDraft"]} */
export function readOption(data, before) {
  const originality = text(data, "originality") || "0";
  const condition = text(data, "condition") || "0";
  const [first, ...rest] = before.points;
  const some = /[1-9]/.test(originality + condition) || rest.length > 0;
  const point = { item_key: first?.item_key ?? "whole", originality, condition };
  return {
    group: text(data, "group"),
    name: text(data, "name"),
    note: text(data, "note"),
    taken: data.has("taken"),
    points: some ? [point, ...rest] : [],
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

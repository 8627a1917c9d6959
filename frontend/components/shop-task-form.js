// @ts-check
// The fields of a task, and a task in words for comparing two versions of it.

import { field } from "../lib/form.js";
import { attr, html } from "../lib/html.js";
import { taskKind, taxClass, word } from "../lib/words.js";
import { floorFields, floorRows, readFloor } from "./shop-floor-form.js";
import { boxes, choices, readForm, span, wordsOf } from "./shop-form.js";
import { optionField, optionName } from "./shop-option-form.js";

/** @import { JobPage, Schemas, TaskView } from "../lib/contract.js" */
/** @import { Markup } from "../lib/html.js" */

/** @typedef {Schemas["TaskDraft"]} TaskDraft */

/** What the fields offer beside the page. @typedef {{ skills: { key: string, name: string }[], stations: { key: string, name: string }[] }} Offers */

/** A task without work in it yet. @param {string} phase @returns {TaskDraft} */
export function blankTask(phase) {
  return {
    phase_id: phase,
    code: "",
    name: "",
    note: "",
    kind: "work",
    hours: { low: "1.00", likely: "2.00", high: "4.00" },
    elapsed_hours: "0.00",
    lead_days: 0,
    skill: "",
    crew: 1,
    station: "",
    zone: "",
    cautions: [],
    hold_point: "",
    strip_gate: false,
    tax_class: "repair_labour",
  };
}

/** What the owner may write of a task. @param {TaskView} task @returns {TaskDraft} */
export function draftOf(task) {
  const {
    phase_id,
    code,
    name,
    note,
    kind,
    hours,
    elapsed_hours,
    lead_days,
    skill,
    crew,
    station,
    zone,
    cautions,
    hold_point,
    strip_gate = false,
    tax_class,
  } = task;
  /** @type {TaskDraft} */
  const draft = {
    phase_id,
    code,
    name,
    note,
    kind,
    hours,
    elapsed_hours,
    lead_days,
    skill,
    crew,
    station,
    zone,
    cautions,
    hold_point,
    strip_gate,
    tax_class,
  };
  if (task.not_before) draft.not_before = task.not_before;
  if (task.finish_by) draft.finish_by = task.finish_by;
  if (task.allowance_line_id) draft.allowance_line_id = task.allowance_line_id;
  if (task.option_id) draft.option_id = task.option_id;
  if (task.floor) draft.floor = task.floor;
  return draft;
}

/**
 * @param {TaskDraft} task
 * @param {JobPage} page
 * @param {Offers} offers
 * @param {Markup} [instead] a change order's own fields, instead of those that only an estimate has
 */
export function taskFields(task, page, { skills, stations }, instead) {
  const phases = Object.fromEntries(page.phases.map((phase) => [phase.id, phase.name]));
  const f = { form: "task" };
  const allowances = page.lines.filter((line) => line.kind === "allowance");
  return html`<div class="shop-form" data-kind="${task.kind}">
    ${instead ? "" : span(2, field({ ...f, name: "code", label: "Code", value: task.code, required: true, maxlength: 12 }))}
    ${span(6, field({ ...f, name: "name", label: "Name", value: task.name, required: true, maxlength: 160 }))}
    ${span(4, field({ ...f, name: "phase_id", label: "Phase", type: "select", value: task.phase_id, options: choices(phases) }))}
    ${span(3, field({ ...f, name: "kind", label: "Kind", type: "select", value: task.kind, options: choices(taskKind) }))}
    <div data-span="9" data-for="work"><div class="shop-form">
      ${span(4, field({ ...f, name: "hours/low", label: "Hours, low", value: task.hours.low, inputmode: "decimal", required: true }))}
      ${span(4, field({ ...f, name: "hours/likely", label: "Hours, likely", value: task.hours.likely, inputmode: "decimal", required: true }))}
      ${span(4, field({ ...f, name: "hours/high", label: "Hours, high", value: task.hours.high, inputmode: "decimal", required: true }))}
    </div></div>
    <div data-span="4" data-for="cure">${field({ ...f, name: "elapsed_hours", label: "Hours that pass, day and night", value: task.elapsed_hours, inputmode: "decimal", required: true })}</div>
    <div data-span="4" data-for="sublet">${field({ ...f, name: "lead_days", label: "Working days away", value: task.lead_days, inputmode: "numeric", required: true })}</div>
    <div data-span="3" data-for="work">${field({ ...f, name: "skill", label: "Skill", type: "select", value: task.skill, options: choices(wordsOf(skills), "no skill", task.skill) })}</div>
    <div data-span="2" data-for="work">${field({ ...f, name: "crew", label: "Crew", value: task.crew, inputmode: "numeric", required: true })}</div>
    ${span(3, field({ ...f, name: "station", label: "Station", type: "select", value: task.station, options: choices(wordsOf(stations), "no station", task.station) }))}
    ${instead ?? span(4, field({ ...f, name: "zone", label: "Zone", value: task.zone, maxlength: 160 }))}
    ${field({ ...f, name: "note", label: "Note to the bench", type: "textarea", value: task.note, maxlength: 4000 })}
    ${boxes({ name: "cautions", label: "Cautions", choices: page.cautions.map(({ key }) => [key, word({}, key)]), chosen: task.cautions })}
    ${field({ ...f, name: "hold_point", label: "Hold point", type: "textarea", rows: 2, value: task.hold_point, hint: "What must be inspected or decided, and by whom, before work may go past. Empty: no hold." })}
    ${instead ? "" : estimateOnly(task, allowances)}
    ${instead ? "" : optionField("task", task.option_id, page)}
    ${span(4, field({ ...f, name: "tax_class", label: "Tax class", type: "select", value: task.tax_class, options: choices(taxClass) }))}
    ${floorFields(task.floor, skills)}
  </div>`;
}

/** @param {TaskDraft} task @param {Schemas["LineView"][]} allowances */
function estimateOnly(task, allowances) {
  const f = { form: "task" };
  const inside = Object.fromEntries(allowances.map((line) => [line.id, line.description]));
  return html`${allowances.length > 0 ? field({ ...f, name: "allowance_line_id", label: "Inside an allowance", type: "select", value: task.allowance_line_id ?? "", options: choices(inside, "no"), hint: "Such work may begin before the strip gate is released, until the allowance is used up." }) : ""}
    <div data-for="hold">${field({ ...f, name: "strip_gate", label: "This is the strip gate: the firm price ends here, what is found is decided here", type: "checkbox", value: task.strip_gate })}</div>
    ${span(4, field({ ...f, name: "not_before", label: "Not before", type: "date", value: task.not_before ?? "" }))}
    ${span(4, field({ ...f, name: "finish_by", label: "Finish by", type: "date", value: task.finish_by ?? "" }))}`;
}

/** Shows only the length that the kind of task has. @param {HTMLElement} form @param {AbortSignal} signal */
export function followKind(form, signal) {
  const kind = form.querySelector('[name="kind"]');
  const show = () => {
    const chosen = /** @type {HTMLSelectElement} */ (kind).value;
    for (const each of form.querySelectorAll("[data-for]"))
      each.toggleAttribute("hidden", each.getAttribute("data-for") !== chosen);
  };
  kind?.addEventListener("change", show, { signal });
  show();
}

/** What the client agreed to stands in its fields and cannot be typed over; it is still read and sent. @param {HTMLElement} form */
export function fixSold(form) {
  for (const each of form.querySelectorAll(
    '[name^="hours/"], [name="crew"], [name^="floor/helpers/"][name$="/count"]',
  ))
    each.setAttribute("readonly", "");
  for (const each of form.querySelectorAll(
    '[name="kind"], [name="skill"], [name="tax_class"], [name^="floor/helpers/"][name$="/skill"]',
  ))
    each.setAttribute("disabled", "");
}

/** What the form holds; a length that its kind does not have is nothing. @param {HTMLElement} form @param {string[]} [optional] @returns {TaskDraft} */
export function readTask(form, optional = []) {
  const task = /** @type {TaskDraft} */ (
    readForm(form, {
      optional: [
        "not_before",
        "finish_by",
        "allowance_line_id",
        "option_id",
        "floor/longest_break_hours",
        ...optional,
      ],
    })
  );
  if (task.kind !== "work")
    Object.assign(task, { hours: { low: "0.00", likely: "0.00", high: "0.00" }, crew: 0, skill: "" });
  if (task.kind !== "cure") task.elapsed_hours = "0.00";
  if (task.kind !== "sublet") task.lead_days = 0;
  if (task.kind !== "hold") task.strip_gate = false;
  readFloor(task);
  return task;
}

/**
 * A task in words.
 * @param {TaskDraft} task
 * @param {JobPage} page
 * @returns {[string, string][]}
 */
export function taskRows(task, page) {
  return [
    ["Code", task.code],
    ["Name", task.name],
    ["Phase", page.phases.find((phase) => phase.id === task.phase_id)?.name ?? "–"],
    ["Kind", word(taskKind, task.kind)],
    ["Hours: low, likely, high", `${task.hours.low}, ${task.hours.likely}, ${task.hours.high}`],
    ["Hours that pass", task.elapsed_hours],
    ["Working days away", String(task.lead_days)],
    ["Skill and crew", `${task.crew} × ${task.skill || "no skill"}`],
    ["Station", word({}, task.station)],
    ["Zone", task.zone],
    ["Note", task.note],
    ["Cautions", [...task.cautions].sort().join(", ")],
    ["Hold point", task.hold_point],
    ["Strip gate", task.strip_gate ? "yes" : "no"],
    ["Allowance", page.lines.find((line) => line.id === task.allowance_line_id)?.description ?? ""],
    ["Not before", task.not_before ?? ""],
    ["Finish by", task.finish_by ?? ""],
    ["Tax class", word(taxClass, task.tax_class)],
    ["Option", optionName(task.option_id, page)],
    ...floorRows(task.floor),
  ];
}

/**
 * Tasks to follow or to be followed by, when a task is added.
 * @param {"after" | "before"} name @param {string} label @param {JobPage} page
 */
export function neighbours(name, label, page) {
  return html`<div class="field"><label for="task-${name}">${label}</label>
    <select id="task-${name}" name="${name}">${html`<option value="">none</option>`}${page.tasks.map(
      (task) =>
        html`<option value="${task.id}" ${attr("selected", false)}>${task.code} ${task.name}</option>`,
    )}</select></div>`;
}

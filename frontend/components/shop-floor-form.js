// @ts-check
// What a task asks of the floor that all jobs share: how long it may be left, who helps, what a cure holds.

import { field } from "../lib/form.js";
import { html } from "../lib/html.js";
import { choices, span, wordsOf } from "./shop-form.js";

/** @import { Schemas } from "../lib/contract.js" */

/** How many rows of helpers the form has at least. */
const helperRows = 2;

/** How many a task can have. */
const mostRows = 8;

/**
 * One folded group.
 * @param {Schemas["Floor"] | undefined} floor
 * @param {{ key: string, name: string }[]} skills
 */
export function floorFields(floor, skills) {
  const f = { form: "task" };
  const helpers = floor?.helpers ?? [];
  const rows = Math.max(helperRows, Math.min(helpers.length + 1, mostRows));
  return html`<details class="shop-fold"><summary>On the floor${floor ? ": set" : ""}</summary><div class="shop-form">
    <p class="second">How the work is done where all jobs share people and stations.</p>
    ${span(6, field({ ...f, name: "floor/longest_break_hours", label: "Longest break over closed hours", value: floor?.longest_break_hours ?? "", inputmode: "decimal", hint: "In hours that pass. Empty: it may wait whenever the shop is closed. 0: all in one opening, as blasting." }))}
    ${span(6, field({ ...f, name: "floor/interruptible", label: "Other work may come between", type: "checkbox", value: floor?.interruptible ?? false }))}
    <div data-for="work"><p class="second">Helpers at the same time, such as two to lift the body. Crew and helpers share the hours, and all of them are priced at the task's own skill.</p><div class="shop-form">${Array.from(
      { length: rows },
      (_, row) => html`
      ${span(6, field({ ...f, name: `floor/helpers/${row}/skill`, label: `Helpers ${row + 1}, skill`, type: "select", value: helpers[row]?.skill ?? "", options: choices(wordsOf(skills), "none", helpers[row]?.skill) }))}
      ${span(6, field({ ...f, name: `floor/helpers/${row}/count`, label: `Helpers ${row + 1}, people`, value: helpers[row]?.count ?? 1, inputmode: "numeric" }))}`,
    )}</div></div>
    <div data-for="cure"><p class="second">A cure with a station holds that place day and night, as a car that dries in the booth. One that can dry anywhere has no station, and the place is free.</p></div>
  </div></details>`;
}

/** Leaves out of a draft what was not filled in; none at all takes away what stood. @param {Schemas["TaskDraft"]} task */
export function readFloor(task) {
  const { longest_break_hours, interruptible, helpers } = task.floor ?? {};
  const named = task.kind === "work" ? (helpers ?? []).filter(({ skill }) => skill) : [];
  /** @type {Schemas["Floor"]} */
  const floor = {};
  if (longest_break_hours) floor.longest_break_hours = longest_break_hours;
  if (interruptible) floor.interruptible = true;
  if (named.length > 0) floor.helpers = named;
  task.floor = floor;
}

/** @param {Schemas["Floor"] | undefined} floor @returns {[string, string][]} */
export function floorRows(floor) {
  return [
    ["Longest break, hours", floor?.longest_break_hours ?? "any"],
    ["Other work between", floor?.interruptible ? "yes" : "no"],
    ["Helpers", (floor?.helpers ?? []).map(({ skill, count }) => `${count} × ${skill}`).join(", ")],
  ];
}

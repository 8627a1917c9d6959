// @ts-check
// The form of "What if": one change at a time, several together in a list. What it says is a list of changes of
// the contract; the server answers with every promise beside the plan that holds.

import { field } from "../../lib/form.js";
import { attr, html } from "../../lib/html.js";
import { choices, span, wordsOf } from "../shop-form.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { Markup } from "../../lib/html.js" */
/** @import { Floor } from "./words.js" */

/** @typedef {Schemas["FloorChange"]} Change */

/** @type {Record<string, string>} */
export const changeKinds = {
  add_person: "One more person",
  add_capacity: "More room at a station",
  close_station: "A station closed",
  person_away: "Somebody away",
  job_first: "A job's promise before all others",
  weigh_job: "A job matters more or less",
  task_not_before: "Something comes late",
};

/** @param {Floor} floor */
const jobWords = (floor) =>
  Object.fromEntries((floor.plan?.jobs ?? []).map((j) => [j.job_id, `Job ${j.number}, ${j.car}`]));

/** Tasks that are not begun, by job and start. @param {Floor} floor */
function taskWords(floor) {
  const numbers = new Map(floor.plan?.jobs.map((j) => [j.job_id, j.number]));
  const open = (floor.plan?.bars ?? []).filter((b) => b.progress === "not_started");
  open.sort((a, b) => (numbers.get(a.job_id) ?? 0) - (numbers.get(b.job_id) ?? 0));
  return Object.fromEntries(
    open.map((b) => [b.task_id, `${numbers.get(b.job_id) ?? ""} · ${b.code} ${b.name}`]),
  );
}

/** @param {Floor} floor */
const skillWords = ({ skills }) => Object.fromEntries(skills.map((s) => [s, s.replaceAll("_", " ")]));

/** @param {Floor} floor */
const peopleWords = (floor) => Object.fromEntries(floor.people.map((p) => [p.id, p.name]));

/** @param {Floor} floor @param {string} today */
export function whatIfForm(floor, today) {
  // Each kind has fields of its own, with ids of their own; only the chosen kind's are sent.
  let form = "";
  const f = (/** @type {import("../../lib/form.js").Field} */ of) => field({ ...of, form, required: true });
  const stations = choices(wordsOf(floor.stations));
  /** @param {string} name @param {string} label */
  const day = (name, label) => span(4, f({ name, label, type: "date", value: today, min: today }));
  /** @param {string} label @param {[string, string][]} options @param {string} name @param {number} wide */
  const pick = (label, options, name, wide = 4) => span(wide, f({ name, label, type: "select", options }));
  /** @type {Record<string, () => Markup[]>} */
  const parts = {
    add_person: () => [pick("Skill", choices(skillWords(floor)), "skill", 6)],
    add_capacity: () => [
      pick("Station", stations, "station"),
      span(4, f({ name: "by", label: "Places more", type: "number", value: 1, min: 1, max: 9 })),
    ],
    close_station: () => [
      pick("Station", stations, "station"),
      day("from", "First day"),
      day("to", "Last day"),
    ],
    person_away: () => [
      pick("Who", choices(peopleWords(floor)), "person"),
      day("from", "First day"),
      day("to", "Last day"),
    ],
    job_first: () => [pick("Job", choices(jobWords(floor)), "job", 8)],
    weigh_job: () => [
      pick("Job", choices(jobWords(floor)), "job", 8),
      span(
        4,
        f({
          name: "by",
          label: "Weight, 1 to 9",
          type: "number",
          value: 3,
          min: 1,
          max: 9,
          hint: "How much a late day matters.",
        }),
      ),
    ],
    task_not_before: () => [
      pick("Task that waits for it", choices(taskWords(floor)), "task", 8),
      day("day", "Here on"),
    ],
  };
  return html`<form id="if-form"><div class="shop-form">
      ${span(6, field({ form: "if", name: "kind", label: "What would be different", type: "select", options: choices(changeKinds, "choose"), value: "" }))}</div>
    ${Object.entries(parts).map(([kind, fields]) => {
      form = `if-${kind}`;
      return html`<fieldset class="floor-part" data-kind="${kind}" hidden disabled><legend class="visually-hidden">${changeKinds[kind]}</legend><div class="shop-form">${fields()}</div></fieldset>`;
    })}
    <ul class="shop-plain" id="if-list"></ul>
    <p class="shop-actions"><button type="submit" class="act">Try it</button><button type="button" data-act="also">And something else</button></p></form>`;
}

/** Shows the fields of the chosen kind. @param {HTMLFormElement} form */
export function showKind(form) {
  const kind = /** @type {HTMLSelectElement | null} */ (form.querySelector("[name=kind]"))?.value;
  for (const part of form.querySelectorAll(".floor-part")) {
    const on = /** @type {HTMLElement} */ (part).dataset["kind"] === kind;
    part.toggleAttribute("hidden", !on);
    part.toggleAttribute("disabled", !on);
  }
}

/** The change that the fields say; undefined while no kind is chosen. @param {FormData} data @param {Formats} formats @returns {Change | undefined} */
export function changeOf(data, formats) {
  const kind = /** @type {Change["kind"] | ""} */ (data.get("kind"));
  if (!kind) return undefined;
  /** @type {Change} */
  const change = { kind };
  for (const name of /** @type {const} */ (["skill", "station", "person", "job", "task", "from", "to"])) {
    const value = data.get(name);
    if (typeof value === "string" && value) change[name] = value;
  }
  const by = Number(data.get("by"));
  if (by > 0) change.by = by;
  const day = data.get("day");
  if (typeof day === "string" && day) change.at = formats.instantOf(`${day}T00:00`);
  return change;
}

/** @param {Change} c @param {Floor} floor @param {Formats} formats */
export function changeWords(c, floor, formats) {
  const job = jobWords(floor)[c.job ?? ""] ?? "a job";
  const station = wordsOf(floor.stations)[c.station ?? ""] ?? c.station ?? "";
  const days = c.from && c.to ? `${formats.day(c.from)} to ${formats.day(c.to)}` : "";
  /** @type {Record<string, string>} */
  const words = {
    add_person: `One more ${(c.skill ?? "").replaceAll("_", " ")}`,
    add_capacity: `${station}: ${c.by ?? 1} more`,
    close_station: `${station} closed, ${days}`,
    person_away: `${peopleWords(floor)[c.person ?? ""] ?? "Somebody"} away, ${days}`,
    job_first: `${job}: its promise before all others`,
    weigh_job: `${job} weighs ${c.by ?? 1}`,
    task_not_before: `${taskWords(floor)[c.task ?? ""] ?? "A task"} not before ${c.at ? formats.day(formats.dayOf(c.at)) : ""}`,
    pin_task: `${taskWords(floor)[c.task ?? ""] ?? "A task"} starts ${c.at ? formats.instant(c.at) : ""}`,
  };
  return words[c.kind] ?? c.kind;
}

/** @param {Change[]} list @param {Floor} floor @param {Formats} formats */
export function changeList(list, floor, formats) {
  return html`${list.map((c, at) => html`<li class="row between"><span>${changeWords(c, floor, formats)}</span><button type="button" class="plain" data-act="less" data-at="${at}" ${attr("aria-label", `Leave out: ${changeWords(c, floor, formats)}`)}>Leave out</button></li>`)}`;
}

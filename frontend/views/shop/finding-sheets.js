// @ts-check
// Reporting a finding, changing it, and saying that nothing need be done. The repair list answers with
// hours and materials as soon as condition and size are known.

import { dialog } from "../../components/bf-dialog.js";
import { say } from "../../components/bf-toast.js";
import { gradeWord } from "../../components/frame/words.js";
import { followPhotos, photoField } from "../../components/photos.js";
import { choices, readForm, span } from "../../components/shop-form.js";
import { ApiProblem, newKey, post, put } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { attr, html, render } from "../../lib/html.js";
import { findingWhat } from "../../lib/words.js";
import { reasoned, sizeFields, sizes } from "./observation-sheets.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @typedef {{ desk: JobDesk, zones: Schemas["Zone"][], again: () => Promise<void> }} Place */

/** @param {Partial<Schemas["Finding"]>} finding @param {Place} place */
function fields(finding, { desk, zones }) {
  const f = { form: "found" };
  const tasks = Object.fromEntries(desk.page.tasks.map((task) => [task.id, `${task.code} ${task.name}`]));
  const names = Object.fromEntries(zones.map((zone) => [zone.id, zone.name]));
  return html`<div class="shop-form">
    ${field({ ...f, name: "zone_id", label: "Zone", type: "select", value: finding.zone_id ?? "", options: choices(names) })}
    ${span(6, field({ ...f, name: "what", label: "What was found", type: "select", value: finding.what ?? "rust", options: choices(findingWhat) }))}
    ${span(6, field({ ...f, name: "condition", label: "Condition of the steel", type: "select", value: finding.condition ?? "", options: choices(gradeWord, "not graded") }))}
    ${sizeFields(f, finding)}
    ${span(4, field({ ...f, name: "count", label: "How many", value: finding.count ?? 1, inputmode: "numeric", required: true }))}
    ${span(8, field({ ...f, name: "task_id", label: "Found during", type: "select", value: finding.task_id ?? "", options: choices(tasks, "no task in particular") }))}
    ${field({ ...f, name: "note", label: "Note", type: "textarea", rows: 2, value: finding.note ?? "", maxlength: 4000 })}
    <div>${photoField("found", finding.photos)}</div>
    <fieldset><legend class="shop-legend">Suggested work</legend><input type="checkbox" name="repairs[]" value="" hidden><div data-repairs role="status"></div></fieldset>
    ${span(6, field({ ...f, name: "points_originality", label: "Originality points lost as found", value: finding.points_originality ?? "", inputmode: "decimal" }))}
    ${span(6, field({ ...f, name: "points_condition", label: "Condition points lost as found", value: finding.points_condition ?? "", inputmode: "decimal" }))}
  </div>`;
}

/** @param {HTMLElement} form @returns {Schemas["FindingDraft"]} */
const read = (form) =>
  readForm(form, { optional: [...sizes, "task_id", "condition", "points_originality", "points_condition"] });

/** Asks the repair list whenever what it depends on changes. @param {HTMLElement} form @param {string[]} chosen @param {JobDesk} desk */
function followRepairs(form, chosen, desk) {
  const place = /** @type {HTMLElement} */ (form.querySelector("[data-repairs]"));
  let asked = 0;
  const ask = async () => {
    asked += 1;
    const mine = asked;
    const { what, condition, length_mm, width_mm, count } = read(form);
    const ticked = place.querySelector("input") ? read(form).repairs : chosen;
    try {
      const items = await suggestions(desk, { what, condition, length_mm, width_mm, count: count ?? 1 });
      if (mine === asked) render(place, choiceOf(items, ticked, desk.formats));
    } catch (error) {
      const words = error instanceof ApiProblem ? error.detail : "It cannot be read now.";
      if (mine === asked) render(place, html`<p class="second">No suggestion: ${words}</p>`);
    }
  };
  form.addEventListener(
    "change",
    (event) => {
      const { name } = /** @type {HTMLInputElement} */ (event.target);
      if (["what", "condition", "count", ...sizes].includes(name)) void ask();
    },
    { signal: desk.signal },
  );
  void ask();
}

/** @type {Map<string, Promise<Schemas["RepairSuggestion"][]>>} */
const answered = new Map();

/**
 * What the repair list answers; each question is asked once.
 * @param {JobDesk} desk @param {{ what: Schemas["FindingWhat"], condition?: Schemas["SteelCondition"] | undefined, count: number, length_mm?: number | undefined, width_mm?: number | undefined }} question
 */
export function suggestions(desk, question) {
  const body = /** @type {Schemas["RepairQuestion"]} */ (JSON.parse(JSON.stringify(question)));
  const key = desk.id + JSON.stringify(body);
  const known = answered.get(key);
  if (known) return known;
  const asked = post("/api/jobs/{job}/repairs", { path: { job: desk.id }, body }).then(({ items }) => items);
  answered.set(key, asked);
  asked.catch(() => answered.delete(key));
  return asked;
}

/** @param {Schemas["RepairSuggestion"][]} items @param {string[]} ticked @param {Formats} formats */
function choiceOf(items, ticked, formats) {
  if (items.length === 0)
    return html`<p class="second">The repair list has no answer to this; draft the work in the order.</p>`;
  return html`${items.map(
    (
      each,
    ) => html`<label class="shop-choice"><input type="checkbox" name="repairs[]" value="${each.code}" ${attr("checked", ticked.includes(each.code))}><span>${repairWords(each, formats)}</span></label>
    <details><summary>How it follows<span class="visually-hidden">: ${each.name}</span></summary><ul>${each.words.map((line) => html`<li class="small">${line}</li>`)}</ul></details>`,
  )}`;
}

/** Name, hours and materials of a repair. @param {Schemas["RepairSuggestion"]} repair @param {Formats} formats */
export function repairWords({ name, mean_hours, hours, materials }, formats) {
  const stuff = materials.map((m) => `${formats.quantity(m.quantity, m.unit)} ${m.description}`).join(", ");
  return html`<strong>${name}</strong>: ${formats.hours(mean_hours)} (${hours.low} to ${hours.high})${stuff ? html`<span class="small">; ${stuff}</span>` : ""}`;
}

/** @param {Place} place @param {string} zone */
export async function reportFinding(place, zone) {
  const { desk, again } = place;
  const key = newKey();
  await dialog({
    title: "Report a finding",
    body: html`<p class="second">From now on each working day counts as waiting: the shop's until it is sent, then the client's until it is decided.</p>${fields({ zone_id: zone }, place)}`,
    action: "Report it",
    signal: desk.signal,
    ready: (form) => {
      followPhotos(form, desk.id, desk.signal);
      followRepairs(form, [], desk);
    },
    submit: async (_, form) => {
      const found = await post("/api/jobs/{job}/findings", { path: { job: desk.id }, body: read(form), key });
      say(`Finding F${found.number} is reported.`);
      await again();
    },
  });
}

/** @param {Place} place @param {Schemas["Finding"]} finding */
export async function changeFinding(place, finding) {
  const { desk, again } = place;
  let { version } = finding;
  await dialog({
    title: `Finding F${finding.number}`,
    body: fields(finding, place),
    action: "Save the finding",
    signal: desk.signal,
    ready: (form) => {
      followPhotos(form, desk.id, desk.signal);
      followRepairs(form, finding.repairs, desk);
      // After a refusal the owner compares with the list behind the sheet and saves again on top of it.
      form.addEventListener("reload", () => void again(), { signal: desk.signal });
    },
    submit: async (_, form) => {
      const path = { finding: finding.id };
      try {
        await put("/api/findings/{finding}", { path, body: read(form), version });
      } catch (error) {
        const now = error instanceof ApiProblem && error.stale ? error.evidence : undefined;
        const stored = /** @type {Partial<Schemas["Finding"]> | undefined} */ (now);
        if (stored?.version) version = stored.version;
        throw error;
      }
      say(`F${finding.number} saved.`);
      await again();
    },
  });
}

/** @param {Place} place @param {Schemas["Finding"]} finding */
export function dismissFinding({ desk, again }, finding) {
  return reasoned({
    title: `Nothing to do about F${finding.number}?`,
    words: html`<p>It stays readable with your reason. The client does not see a price for it.</p>`,
    action: "Dismiss the finding",
    grave: true,
    signal: desk.signal,
    send: async (reason, key) => {
      await post("/api/findings/{finding}/dismiss", { path: { finding: finding.id }, body: { reason }, key });
      say(`F${finding.number} is dismissed.`);
      await again();
    },
  });
}

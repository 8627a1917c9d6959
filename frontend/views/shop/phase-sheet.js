// @ts-check
// Adding, renaming, moving and removing a phase.

import { dialog } from "../../components/bf-dialog.js";
import { otherwise, readForm, span } from "../../components/shop-form.js";
import { post, put, remove } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { html } from "../../lib/html.js";

/** @import { JobPage, Schemas } from "../../lib/contract.js" */
/** @import { JobDesk, Conflict } from "./job-desk.js" */

/** @param {Schemas["PhaseDraft"]} phase @returns {[string, string][]} */
const rows = (phase) => [
  ["Name", phase.name],
  ["Place in the order", String(phase.position)],
];

/** @param {Schemas["PhaseDraft"]} phase */
function fields(phase) {
  return html`<div class="shop-form">
    ${span(8, field({ form: "phase", name: "name", label: "Name", value: phase.name, required: true, maxlength: 160 }))}
    ${span(4, field({ form: "phase", name: "position", label: "Place in the order", value: phase.position, inputmode: "numeric", required: true }))}
  </div>`;
}

/** @param {JobDesk} desk */
export async function addPhase(desk) {
  const { version } = desk;
  /** @type {Conflict | undefined} */
  let conflict;
  await dialog({
    title: "Add a phase",
    body: fields({ name: "", position: desk.page.phases.length + 1 }),
    action: "Add the phase",
    signal: desk.signal,
    submit: async (_, form) => {
      const body = /** @type {Schemas["PhaseDraft"]} */ (readForm(form));
      conflict = await desk.save({
        what: `Phase ${body.name}`,
        version,
        send: (on) => post("/api/jobs/{job}/phases", { path: { job: desk.id }, body, version: on }),
        mine: rows(body),
        stored: () => [],
      });
    },
  });
  await desk.settle(conflict);
}

/** @param {JobDesk} desk @param {string} id */
export async function openPhase(desk, id) {
  const { page, version } = desk;
  const phase = page.phases.find((each) => each.id === id);
  if (!phase) return;
  const path = { job: desk.id, phase: id };
  const empty =
    !page.tasks.some((task) => task.phase_id === id) && !page.lines.some((line) => line.phase_id === id);
  /** @type {Conflict | undefined} */
  let conflict;
  let removing = false;
  await dialog({
    title: `Phase ${phase.name}`,
    body: html`${fields(phase)}
      ${
        empty
          ? html`<p class="shop-actions"><button type="button" class="grave" id="remove-phase">Remove the phase</button></p>`
          : html`<p class="second">It can be removed once no task and no line is left in it.</p>`
      }`,
    action: "Save the phase",
    signal: desk.signal,
    ready: (form) =>
      otherwise(form, "#remove-phase", () => {
        removing = true;
      }),
    submit: async (_, form) => {
      const body = /** @type {Schemas["PhaseDraft"]} */ (readForm(form));
      const taking = removing;
      removing = false;
      form.noValidate = false;
      conflict = await desk.save({
        what: `Phase ${phase.name}`,
        version,
        send: (on) =>
          taking
            ? remove("/api/jobs/{job}/phases/{phase}", { path, version: on })
            : put("/api/jobs/{job}/phases/{phase}", { path, body, version: on }),
        mine: taking ? [["Phase", "removed"]] : rows(body),
        stored: (/** @type {JobPage} */ now) => now.phases.filter((each) => each.id === id).flatMap(rows),
      });
    },
  });
  await desk.settle(conflict);
}

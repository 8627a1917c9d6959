// @ts-check
// Adding, changing and removing a link between two tasks.

import { dialog } from "../../components/bf-dialog.js";
import { choices, otherwise, readForm, span } from "../../components/shop-form.js";
import { linkRows } from "../../components/shop-link-list.js";
import { storedPage } from "../../components/shop-option-form.js";
import { lagKind } from "../../components/shop-words.js";
import { post, put, remove } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { html } from "../../lib/html.js";
import { linkType } from "../../lib/words.js";

/** @import { JobPage, Schemas } from "../../lib/contract.js" */
/** @import { JobDesk, Conflict } from "./job-desk.js" */

/** @param {Schemas["LinkDraft"]} link @param {JobPage} page */
function fields(link, page) {
  const tasks = Object.fromEntries(page.tasks.map((task) => [task.id, `${task.code} ${task.name}`]));
  const f = { form: "link" };
  return html`<div class="shop-form">
    ${span(6, field({ ...f, name: "from_task_id", label: "From", type: "select", value: link.from_task_id, options: choices(tasks) }))}
    ${span(6, field({ ...f, name: "to_task_id", label: "To", type: "select", value: link.to_task_id, options: choices(tasks) }))}
    ${span(6, field({ ...f, name: "type", label: "Link", type: "select", value: link.type, options: choices(linkType) }))}
    ${span(6, field({ ...f, name: "lag_kind", label: "Counted in", type: "select", value: link.lag_kind, options: choices(lagKind) }))}
    ${span(6, field({ ...f, name: "lag_hours", label: "Not earlier than, hours after", value: link.lag_hours, inputmode: "decimal", required: true, hint: "A minus sign lets the second begin before the first is through." }))}
    ${span(6, field({ ...f, name: "max_lag_hours", label: "Not later than, hours after", value: link.max_lag_hours ?? "", inputmode: "decimal", hint: "Steel is primed within so many hours of blasting; the next coat goes on inside its recoat window. The product data sheet says how many. Empty: no limit." }))}
    <p class="hint">Working hours pass while the shop is open; elapsed hours pass day and night, as a coat that cures.</p>
  </div>`;
}

/** @param {JobDesk} desk @param {string} task */
export async function addLink(desk, task) {
  const { version } = desk;
  const page = storedPage(desk.page);
  const other = page.tasks.find((each) => each.id !== task)?.id ?? task;
  /** @type {Conflict | undefined} */
  let conflict;
  await dialog({
    title: "Add a link",
    body: fields(
      { from_task_id: other, to_task_id: task, type: "FS", lag_hours: "0.00", lag_kind: "working" },
      page,
    ),
    action: "Add the link",
    signal: desk.signal,
    submit: async (_, form) => {
      const body = /** @type {Schemas["LinkDraft"]} */ (readForm(form, { optional: ["max_lag_hours"] }));
      conflict = await desk.save({
        what: "Link",
        version,
        send: (on) => post("/api/jobs/{job}/links", { path: { job: desk.id }, body, version: on }),
        mine: linkRows(body, page),
        stored: () => [],
      });
    },
  });
  await desk.settle(conflict);
}

/** @param {JobDesk} desk @param {string} id */
export async function openLink(desk, id) {
  const { version } = desk;
  const page = storedPage(desk.page);
  const link = page.links.find((each) => each.id === id);
  if (!link) return;
  const { from_task_id, to_task_id, type, lag_hours, lag_kind, max_lag_hours } = link;
  const limit = max_lag_hours === undefined ? {} : { max_lag_hours };
  const path = { job: desk.id, link: id };
  /** @param {JobPage} now @returns {[string, string][]} */
  const stored = (now) =>
    storedPage(now)
      .links.filter((each) => each.id === id)
      .flatMap((each) => linkRows(each, storedPage(now)));
  /** @type {Conflict | undefined} */
  let conflict;
  let removing = false;
  await dialog({
    title: "Link",
    body: html`${fields({ from_task_id, to_task_id, type, lag_hours, lag_kind, ...limit }, page)}
      <p class="shop-actions"><button type="button" class="grave" id="remove-link">Remove the link</button></p>`,
    action: "Save the link",
    signal: desk.signal,
    ready: (form) =>
      otherwise(form, "#remove-link", () => {
        removing = true;
      }),
    submit: async (_, form) => {
      const body = /** @type {Schemas["LinkDraft"]} */ (readForm(form, { optional: ["max_lag_hours"] }));
      const taking = removing;
      removing = false;
      form.noValidate = false;
      conflict = await desk.save({
        what: "Link",
        version,
        send: (on) =>
          taking
            ? remove("/api/jobs/{job}/links/{link}", { path, version: on })
            : put("/api/jobs/{job}/links/{link}", { path, body, version: on }),
        mine: taking ? [["Link", "removed"]] : linkRows(body, page),
        stored,
      });
    },
  });
  await desk.settle(conflict);
}

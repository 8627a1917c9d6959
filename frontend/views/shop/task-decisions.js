// @ts-check
// What an owner decides about a task: releasing its hold point, opening it outside the authorised scope.

import { dialog } from "../../components/bf-dialog.js";
import { say } from "../../components/bf-toast.js";
import { newKey, post } from "../../lib/call.js";
import { field, text } from "../../lib/form.js";
import { html } from "../../lib/html.js";

/** @import { JobDesk } from "./job-desk.js" */

/** @param {JobDesk} desk @param {string} id */
export async function releaseHold(desk, id) {
  const task = desk.page.tasks.find((each) => each.id === id);
  if (!task) return;
  const key = newKey();
  await dialog({
    title: `Release the hold at ${task.code}`,
    body: html`<p><strong>${task.hold_point || task.name}</strong></p>
      <p>Work past this point may start once it is released. Your name, the time and the note stay in the record.</p>
      ${field({ form: "release", name: "reason", label: "What was inspected or decided", type: "textarea", required: true, maxlength: 1000 })}`,
    action: "Release the hold",
    signal: desk.signal,
    submit: async (data) => {
      desk.accept(
        await post("/api/jobs/{job}/tasks/{task}/release", {
          path: { job: desk.id, task: id },
          body: { reason: text(data, "reason") },
          key,
        }),
        true,
      );
      say(`Hold at ${task.code} released.`);
    },
  });
}

/** @param {JobDesk} desk @param {string} id */
export async function openOutside(desk, id) {
  const task = desk.page.tasks.find((each) => each.id === id);
  if (!task) return;
  const key = newKey();
  await dialog({
    title: `Open ${task.code} outside the authorised scope`,
    body: html`<p>The client has not agreed to ${task.name}. Opening it lets hours go onto it. <strong>The client will see this and your reason.</strong></p>
      ${field({ form: "open", name: "reason", label: "Reason, as the client will read it", type: "textarea", required: true, maxlength: 1000 })}`,
    action: "Open for hours",
    signal: desk.signal,
    submit: async (data) => {
      desk.accept(
        await post("/api/jobs/{job}/tasks/{task}/open", {
          path: { job: desk.id, task: id },
          body: { reason: text(data, "reason") },
          key,
        }),
        true,
      );
      say(`${task.code} is open for hours.`);
    },
  });
}

// @ts-check
// Opening, adding and removing a task, with its links.

import { dialog } from "../../components/bf-dialog.js";
import { linkList } from "../../components/shop-link-list.js";
import { storedPage, taskOf } from "../../components/shop-option-form.js";
import {
  blankTask,
  draftOf,
  fixSold,
  followKind,
  neighbours,
  readTask,
  taskFields,
  taskRows,
} from "../../components/shop-task-form.js";
import { post, put, remove } from "../../lib/call.js";
import { text } from "../../lib/form.js";
import { html } from "../../lib/html.js";
import { scope, taskState, word } from "../../lib/words.js";
import { offers } from "./job-estimate.js";
import { addLink, openLink } from "./link-sheet.js";
import { openOutside, releaseHold } from "./task-decisions.js";

/** @import { JobDesk, Conflict } from "./job-desk.js" */

/** @param {JobDesk} desk @param {string} id @returns {Promise<void>} */
export async function openTask(desk, id) {
  const page = storedPage(desk.page);
  const version = desk.version;
  const task = taskOf(page, id);
  if (!task) return;
  const sold = task.scope === "authorised";
  /** @type {Conflict | undefined} */
  let conflict;
  /** What to open after this sheet is closed. @type {(() => Promise<unknown>) | undefined} */
  let next;
  await dialog({
    title: `${task.code} ${task.name}`,
    body: html`<p class="small">${word(taskState, task.state)}; ${word(scope, task.scope).toLowerCase()}; ${desk.formats.hours(task.worked_hours)} worked, ${desk.formats.hours(task.to_go_hours)} to go.</p>
      ${sold ? html`<p class="note">Sold with the accepted quote: its hours, kind, skill, crew, helpers and tax class are fixed, and it cannot be removed. Name, note, station, cautions and dates can still be changed. More work is a task of its own.</p>` : ""}
      ${taskFields(draftOf(task), page, offers(desk))}
      ${linkList(task, page)}
      <p class="shop-actions">
        <button type="button" data-next="link">Add a link</button>
        ${(task.hold_point || task.kind === "hold") && !task.released ? html`<button type="button" data-next="release">Release the hold</button>` : ""}
        ${task.scope === "outside" ? html`<button type="button" data-next="open">Open for hours</button>` : ""}
        ${sold ? "" : html`<button type="button" class="grave" data-next="remove">Remove the task</button>`}
      </p>`,
    action: "Save the task",
    signal: desk.signal,
    ready: (form) => {
      followKind(form, desk.signal);
      if (sold) fixSold(form);
      form.addEventListener("click", (event) => {
        const button =
          event.target instanceof Element ? event.target.closest("[data-next], [data-link]") : null;
        if (!button) return;
        const link = button.getAttribute("data-link");
        const way = button.getAttribute("data-next");
        if (link) next = () => openLink(desk, link);
        else if (way === "link") next = () => addLink(desk, id);
        else if (way === "release") next = () => releaseHold(desk, id);
        else if (way === "open") next = () => openOutside(desk, id);
        else next = () => removeTask(desk, id);
        form.closest("dialog")?.close();
      });
    },
    submit: async (_, form) => {
      const draft = readTask(form);
      conflict = await desk.save({
        what: `Task ${draft.code}`,
        version,
        send: (on) =>
          put("/api/jobs/{job}/tasks/{task}", { path: { job: desk.id, task: id }, body: draft, version: on }),
        mine: taskRows(draft, page),
        stored: (now) => [taskOf(now, id)].flatMap((each) => (each ? taskRows(draftOf(each), now) : [])),
      });
    },
  });
  await desk.settle(conflict);
  await next?.();
}

/** @param {JobDesk} desk @param {string} phase */
export async function addTask(desk, phase) {
  const { version } = desk;
  const page = storedPage(desk.page);
  /** @type {Conflict | undefined} */
  let conflict;
  const agreed = page.tasks.some((task) => task.scope === "authorised");
  await dialog({
    title: "Add a task",
    body: html`${agreed ? html`<p>The quote is accepted: this task lies outside the authorised scope until you open it with a reason that the client sees.</p>` : ""}
      ${taskFields(blankTask(phase), page, offers(desk))}
      <div class="shop-form"><div data-span="6">${neighbours("after", "Follows", page)}</div><div data-span="6">${neighbours("before", "Comes before", page)}</div></div>`,
    action: "Add the task",
    signal: desk.signal,
    ready: (form) => followKind(form, desk.signal),
    submit: async (data, form) => {
      const draft = readTask(form);
      draft.after = [text(data, "after")].filter(Boolean);
      draft.before = [text(data, "before")].filter(Boolean);
      conflict = await desk.save({
        what: `Task ${draft.code}`,
        version,
        send: (on) => post("/api/jobs/{job}/tasks", { path: { job: desk.id }, body: draft, version: on }),
        mine: taskRows(draft, page),
        stored: () => [],
      });
    },
  });
  await desk.settle(conflict);
}

/** @param {JobDesk} desk @param {string} id */
async function removeTask(desk, id) {
  const task = taskOf(desk.page, id);
  if (!task) return;
  const version = desk.version;
  /** @type {Conflict | undefined} */
  let conflict;
  await dialog({
    title: `Remove ${task.code} ${task.name}?`,
    body: html`<p>What comes before it will be linked to what follows it. The trail keeps what it was, but there is no button that brings it back.</p>`,
    action: "Remove the task",
    grave: true,
    signal: desk.signal,
    submit: async () => {
      conflict = await desk.save({
        what: `Task ${task.code}`,
        version,
        send: (on) =>
          remove("/api/jobs/{job}/tasks/{task}", { path: { job: desk.id, task: id }, version: on }),
        mine: [["Task", "removed"]],
        stored: (page) =>
          page.tasks.filter((each) => each.id === id).flatMap((each) => taskRows(draftOf(each), page)),
      });
    },
  });
  await desk.settle(conflict);
}

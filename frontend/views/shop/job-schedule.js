// @ts-check
// The schedule: the picture, why the finish is where it is, the chain that drives it, and one task's times.

import "../../components/bf-schedule.js";
import "../../components/calendar-link.js";
import { refuse } from "../../components/shop-form.js";
import { renderKeeping } from "../../components/shop-keep.js";
import { linkList } from "../../components/shop-link-list.js";
import {
  healthPanel,
  holder,
  holdWords,
  limitNotes,
  movedTable,
} from "../../components/shop-schedule-health.js";
import { promiseSentence } from "../../components/shop-words.js";
import { get, put } from "../../lib/call.js";
import { field, onSubmit, text } from "../../lib/form.js";
import { html, make, on, render } from "../../lib/html.js";
import { startReason, taskKind, word } from "../../lib/words.js";
import { jobDraft, jobRows } from "./job-head.js";
import { addLink, openLink } from "./link-sheet.js";
import { openTask } from "./task-sheet.js";

/** @import { JobPage, TaskView } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @param {HTMLElement} root @param {JobDesk} desk @returns {(own: boolean) => void} */
export function schedule(root, desk) {
  const { context, signal } = desk;
  const picture = make("bf-schedule", {
    page: desk.page,
    locale: context.me.shop.locale,
    zone: context.me.shop.time_zone,
  });
  const promise = document.createElement("div");
  const why = document.createElement("div");
  const one = make("div", { className: "sheet" });
  let picked = desk.page.schedule.driving_chain[0] ?? desk.page.tasks[0]?.id ?? "";
  render(
    root,
    html`<h2 class="visually-hidden">Schedule</h2><div class="stack">
      <div class="columns">${why}${promise}</div>
      <div id="limits" class="stack"></div>
      ${picture}
      ${one}<div id="looked-over" class="stack"></div>
      <div class="sheet"><h3>What drives the finish, in order</h3><ol class="shop-chain" id="chain"></ol></div>
      <div id="compared"></div>
      ${calendarPart(desk)}
    </div>`,
  );
  const chain = /** @type {HTMLElement} */ (root.querySelector("#chain"));
  const lookOver = lookedOver(root, desk);
  /** @param {string} id */
  const pick = (id) => {
    picked = id;
    Object.assign(picture, { selected: id });
    render(one, taskTimes(desk.page, id, desk.formats));
  };
  /** @param {boolean} own */
  const draw = (own) => {
    Object.assign(picture, { page: desk.page });
    render(why, reasons(desk.page, desk.formats));
    renderKeeping(promise, promiseForm(desk.page), { own });
    render(chain, chainItems(desk.page));
    render(one, taskTimes(desk.page, picked, desk.formats));
    void lookOver();
  };
  picture.addEventListener("pick", (event) => pick(/** @type {CustomEvent<string>} */ (event).detail), {
    signal,
  });
  on(
    root,
    "click",
    "[data-pick-task]",
    (button) => {
      pick(button.getAttribute("data-pick-task") ?? "");
      one.querySelector("h3")?.focus({ preventScroll: true });
      one.scrollIntoView({ block: "nearest" });
    },
    signal,
  );
  on(root, "click", "[data-open-task]", () => void openTask(desk, picked), signal);
  on(root, "click", "[data-add-link]", () => void addLink(desk, picked), signal);
  on(root, "click", "[data-link]", (button) => void openLink(desk, button.dataset["link"] ?? ""), signal);
  draw(true);
  Object.assign(picture, { selected: picked });
  listenPromise(promise, desk);
  return draw;
}

/** The job in a calendar, as long as it runs. @param {JobDesk} desk */
function calendarPart({ page: { job }, formats, signal }) {
  if (["closed", "declined", "cancelled"].includes(job.state)) return "";
  const link = make("calendar-link", { kind: "job", of: job.id, name: `job ${job.number}`, formats, signal });
  return html`<section class="sheet no-print" aria-labelledby="calendar-h"><h3 id="calendar-h">In a calendar</h3>${link}</section>`;
}

/**
 * Limits, health and comparison: asked for beside each page, drawn with the page they belong to.
 * @param {HTMLElement} root
 * @param {JobDesk} desk
 */
function lookedOver(root, desk) {
  const limits = /** @type {HTMLElement} */ (root.querySelector("#limits"));
  const below = /** @type {HTMLElement} */ (root.querySelector("#looked-over"));
  const compared = /** @type {HTMLElement} */ (root.querySelector("#compared"));
  let asked = 0;
  return async () => {
    asked += 1;
    const mine = asked;
    try {
      const health = await get("/api/jobs/{job}/schedule/health", {
        path: { job: desk.id },
        signal: desk.signal,
      });
      if (mine !== asked) return;
      render(limits, limitNotes(desk.page, health));
      render(below, healthPanel(desk.page, health, desk.formats));
      render(compared, movedTable(desk.page, health, desk.formats));
    } catch (error) {
      if (desk.signal.aborted || mine !== asked) return;
      render(
        below,
        html`<p class="note stop">The schedule could not be looked over. ${error instanceof Error ? error.message : ""} Reload the page to try again.</p>`,
      );
    }
  };
}

/** @param {JobPage} page @param {Formats} formats */
function reasons({ job, schedule, tasks }, formats) {
  const { forecast } = schedule;
  const said = promiseSentence({ promise: job.promise, ...forecast }, formats);
  const begins = tasks.reduce(
    (first, { times }) => (Date.parse(times.start) < Date.parse(first) ? times.start : first),
    tasks[0]?.times.start ?? schedule.start,
  );
  return html`<div class="sheet"><p class="lead ${forecast.late_days > 0 ? "tone-stop" : ""}">${said}</p>
    <p>${schedule.why}</p>
    ${forecast.all_cars ? html`<p>The bars below are this car by itself. <a href="/floor">The floor</a> shows it among the others.</p>` : ""}
    <p class="second">Begins ${formats.instant(begins)}, computed for ${formats.instant(schedule.data_date)}. Confidence not yet computed.</p></div>`;
}

/** @param {JobPage} page */
function promiseForm({ job }) {
  return html`<form class="sheet no-print" data-version="${job.version}" id="promise-form">
    ${field({ form: "plan", name: "promise", label: "Promise", type: "date", value: job.promise ?? "", hint: "The day the client may count on. Empty: nothing promised." })}
    ${field({ form: "plan", name: "not_before", label: "Earliest start", type: "date", value: job.not_before ?? "" })}
    <p class="shop-actions"><button type="submit" class="act">Save the dates</button></p></form>`;
}

/** @param {HTMLElement} place @param {JobDesk} desk */
function listenPromise(place, desk) {
  const form = /** @type {HTMLFormElement} */ (place.querySelector("form"));
  onSubmit(
    form,
    async (data) => {
      const { promise: _, not_before: __, ...body } = jobDraft(desk.page);
      const dates = Object.fromEntries(
        ["promise", "not_before"].map((name) => [name, text(data, name)]).filter(([, day]) => day),
      );
      const draft = { ...body, ...dates };
      const conflict = await desk.save({
        what: "Dates",
        version: Number(form.dataset["version"]),
        send: (version) => put("/api/jobs/{job}", { path: { job: desk.id }, body: draft, version }),
        mine: jobRows(draft),
        stored: (page) => jobRows(jobDraft(page)),
      });
      await desk.settle(conflict);
    },
    (error) => refuse(form, error),
    desk.signal,
  );
}

/** @param {JobPage} page */
function chainItems({ schedule, tasks }) {
  return html`${schedule.driving_chain.map((id) => {
    const task = tasks.find((each) => each.id === id);
    return task
      ? html`<li><button type="button" class="shop-open" data-pick-task="${id}">${task.code} ${task.name}</button></li>`
      : "";
  })}`;
}

/** One task's times, slack and what sets them. @param {JobPage} page @param {string} id @param {Formats} formats */
function taskTimes(page, id, formats) {
  const task = page.tasks.find((each) => each.id === id);
  if (!task)
    return html`<p class="empty">Pick a task in the picture to see its times, its slack and what drives it.</p>`;
  const { times } = task;
  return html`<h3 tabindex="-1">${task.code} ${task.name}</h3>
    <table><caption class="visually-hidden">Times of ${task.code}</caption>
      <thead><tr><th scope="col">Times</th><th scope="col">Start</th><th scope="col">Finish</th></tr></thead>
      <tbody>
        <tr><th scope="row">Planned</th><td>${formats.instant(times.start)}</td><td>${formats.instant(times.finish)}</td></tr>
        <tr><th scope="row">Latest</th><td>${formats.instant(times.late_start)}</td><td>${formats.instant(times.late_finish)}</td></tr>
        <tr><th scope="row">Baseline</th><td>${times.baseline_start ? formats.instant(times.baseline_start) : "none yet"}</td><td>${times.baseline_finish ? formats.instant(times.baseline_finish) : "none yet"}</td></tr>
        ${task.actual_start ? html`<tr><th scope="row">Really</th><td>${formats.instant(task.actual_start)}</td><td>${task.actual_finish ? formats.instant(task.actual_finish) : "still in work"}</td></tr>` : ""}
      </tbody></table>
    ${task.state === "finished" ? "" : slackSentence(task, page, formats)}
    <p>${word(taskKind, task.kind)}: ${setBy(task, page)}.</p>
    ${task.state === "finished" ? "" : drivers(page, task)}
    <details id="task-links"><summary>Links, and how long after each other</summary>${linkList(task, page)}</details>
    <p class="shop-actions no-print"><button type="button" data-open-task>Open the task</button><button type="button" data-add-link>Add a link</button></p>`;
}

/** @param {TaskView} task @param {JobPage} page */
function setBy({ id, state, times }, page) {
  if (state === "finished") return "it is done";
  const pulled = page.links.some((link) => link.from_task_id === id && times.driven_by.includes(link.id));
  return pulled && times.reason === "link"
    ? "held back, for what follows must come soon after"
    : word(startReason, times.reason);
}

/** Late dates count back from the promise where there is one. @param {TaskView} task @param {JobPage} page @param {Formats} formats */
function slackSentence({ kind, times }, { schedule }, formats) {
  const time = `in ${kind === "cure" ? "elapsed" : "working"} time`;
  const slack = times.total_float_minutes;
  const drives = times.driving ? html`<strong>It drives the finish.</strong> ` : "";
  if (slack < 0)
    return html`<p class="tone-stop">${drives}It ends ${formats.minutes(-slack)} too late, ${time}.</p>`;
  if (times.driving && (slack === 0 || !schedule.promise))
    return html`<p>${drives}No slack: when it ends later, so does the car.</p>`;
  return times.driving
    ? html`<p>${drives}The promise leaves it ${formats.minutes(slack)}, ${time}.</p>`
    : html`<p>Slack ${formats.minutes(slack)}, of which ${formats.minutes(times.free_float_minutes)} without moving anything else; ${time}.</p>`;
}

/** @param {JobPage} page @param {TaskView} task */
function drivers(page, task) {
  const links = page.links.filter((link) => task.times.driven_by.includes(link.id));
  if (links.length === 0) return "";
  return html`<p class="small">Set by</p><ul class="shop-links">${links.map((link) => {
    return html`<li data-driving>${holder(page, link, task.id)}<span class="small">${holdWords(link, task.id)}</span></li>`;
  })}</ul>`;
}

// @ts-check
// What was worked against what was sold, by phase and task; who did what; what the owner decides about it.

import "../../components/bf-progress.js";
import { pages } from "../../components/shop-pages.js";
import { tone } from "../../components/shop-words.js";
import { get } from "../../lib/call.js";
import { attr, html, make, on, render } from "../../lib/html.js";
import { scope, taskState, waitingCode, word } from "../../lib/words.js";
import { openOutside, releaseHold } from "./task-decisions.js";

/** @import { HoursEntry, JobPage, Schemas, TaskView } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @param {HTMLElement} root @param {JobDesk} desk @returns {(own: boolean) => void} */
export function hours(root, desk) {
  const { signal } = desk;
  const table = document.createElement("div");
  const entries = document.createElement("div");
  render(
    root,
    html`<div class="stack"><h2 class="visually-hidden">Hours</h2>${table}<h3>Who did what</h3>${entries}</div>`,
  );
  const draw = () => render(table, sold(desk.page, desk.formats));
  draw();
  on(
    root,
    "click",
    "[data-release]",
    (button) => void releaseHold(desk, button.dataset["release"] ?? ""),
    signal,
  );
  on(root, "click", "[data-open]", (button) => void openOutside(desk, button.dataset["open"] ?? ""), signal);
  const again = pages(entries, {
    load: (cursor) =>
      get("/api/jobs/{job}/hours", { path: { job: desk.id }, query: { cursor, limit: 50 }, signal }),
    head: html`<thead><tr><th scope="col">When</th><th scope="col">Who</th><th scope="col">On</th><th scope="col" class="num">Time</th><th scope="col" class="num">To go</th><th scope="col">Note</th></tr></thead>`,
    row: (entry) => entryRow(entry, desk.formats),
    caption: "Entries, newest first. A corrected or voided entry stays, struck through.",
    empty: "No hours yet. They appear here once the quote is accepted and a technician starts the clock.",
    signal,
  });
  return () => {
    draw();
    void again.then((read) => read());
  };
}

/** @param {JobPage} page @param {Formats} formats */
function sold(page, formats) {
  const { progress } = page;
  return html`<div class="sheet">${make("bf-progress", { label: "The whole job", percent: progress.percent_done, text: `${progress.percent_done} % done: ${formats.hours(progress.worked_hours)} worked, ${formats.hours(progress.to_go_hours)} to go` })}
    <p>Sold ${formats.hours(progress.sold_hours)}, forecast at completion ${formats.hours(progress.forecast_hours)}; waited ${formats.hours(progress.waiting_hours)}. Confidence not yet computed.</p></div>
    <div class="shop-scroll" tabindex="0" role="region" aria-label="Hours by phase and task"><table class="shop-list"><caption>Hours sold, worked, to go and forecast at completion. Cures, sublets and holds have no hours.</caption>
    <thead><tr><th scope="col">Code</th><th scope="col">Task</th><th scope="col" class="num">Sold</th><th scope="col" class="num">Worked</th><th scope="col" class="num">To go</th><th scope="col" class="num">Forecast</th><th scope="col" class="num">Waited</th><th scope="col">State</th><th scope="col">Do</th></tr></thead>
    ${page.phases.map((phase) => html`<tbody>${band(phase.name, phase.progress, formats)}${page.tasks.filter((task) => task.phase_id === phase.id).map((task) => taskRow(task, formats))}</tbody>`)}
    <tbody>${band("Whole job", progress, formats)}</tbody></table></div>`;
}

/** @param {string} name @param {Schemas["Progress"]} p @param {Formats} formats */
function band(name, p, formats) {
  return html`<tr class="shop-band"><th scope="rowgroup" colspan="2">${name}</th>
    <td class="num">${formats.hours(p.sold_hours)}</td><td class="num">${formats.hours(p.worked_hours)}</td><td class="num">${formats.hours(p.to_go_hours)}</td><td class="num">${formats.hours(p.forecast_hours)}</td><td class="num">${formats.hours(p.waiting_hours)}</td><td>${p.percent_done} %</td><td></td></tr>`;
}

/** @param {TaskView} task @param {Formats} formats */
function taskRow(task, formats) {
  const held = (task.hold_point !== "" || task.kind === "hold") && !task.released;
  const p = task.progress;
  const figures = [p.sold_hours, p.worked_hours, p.to_go_hours, p.forecast_hours, p.waiting_hours];
  return html`<tr ${attr("data-scope", task.scope)}><td>${task.code}</td><th scope="row" class="shop-name">${task.name}
      ${task.released ? html`<div class="small">Released by ${task.released.by}, ${formats.instant(task.released.at)}: ${task.released.note}</div>` : ""}
      ${task.opened ? html`<div class="small">Opened by ${task.opened.by}, ${formats.instant(task.opened.at)}: ${task.opened.reason}</div>` : ""}</th>
    ${figures.map((value) => html`<td class="num">${task.kind === "work" ? formats.hours(value) : ""}</td>`)}
    <td><span class="state ${tone[task.state === "open" ? "" : task.state] ?? ""}">${word(taskState, task.state)}</span> ${task.scope === "outside" || task.scope === "opened" ? html`<span class="state ${tone[task.scope]}">${word(scope, task.scope)}</span>` : ""}</td>
    <td>${held ? html`<button type="button" id="release-${task.id}" data-release="${task.id}">Release the hold<span class="visually-hidden"> at ${task.code}</span></button>` : ""}
      ${task.scope === "outside" ? html`<button type="button" id="outside-${task.id}" data-open="${task.id}">Open for hours<span class="visually-hidden">: ${task.code}</span></button>` : ""}</td></tr>`;
}

/** @param {HoursEntry} entry @param {Formats} formats */
function entryRow(entry, formats) {
  const gone = entry.corrected || entry.void;
  const until = entry.finished_at
    ? `${formats.instant(entry.started_at)} to ${formats.time(entry.finished_at)}`
    : `${formats.instant(entry.started_at)}, the clock runs`;
  const on =
    entry.kind === "waiting"
      ? `Waiting: ${word(waitingCode, entry.waiting_code ?? "")}`
      : `${entry.task_code ?? ""} ${entry.task_name ?? ""}`;
  const note = [
    entry.void ? "Void." : "",
    entry.corrected ? "Corrected by a later entry." : "",
    entry.corrects ? "Corrects an earlier entry." : "",
    entry.reason ?? "",
    entry.note,
  ]
    .filter(Boolean)
    .join(" ");
  return html`<tr ${attr("data-void", gone)}><td data-label="When">${until}</td><td data-label="Who">${entry.person.name}</td><td data-label="On">${on}</td>
    <td data-label="Time" class="num">${entry.finished_at ? formats.minutes(entry.minutes) : "runs"}</td>
    <td data-label="To go" class="num">${entry.done ? "done" : entry.hours_to_go ? formats.hours(entry.hours_to_go) : ""}</td>
    <td data-label="Note" class="shop-keep">${note}</td></tr>`;
}

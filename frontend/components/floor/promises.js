// @ts-check
// What the plan means for each promise: the list with promises at risk first, and two plans side by side.

import { attr, html } from "../../lib/html.js";
import { movedFigure, movedWords, promiseState, queueWords } from "./words.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @typedef {Schemas["FloorJob"]} Job */

/** @param {Job} job @param {boolean} owner */
const numbered = (job, owner) =>
  owner
    ? html`<a class="shop-rowlink" href="/shop/jobs/${job.job_id}/schedule">${job.number}<span class="visually-hidden"> schedule of job ${job.number}</span></a>`
    : html`${job.number}`;

/** @param {Job} job @param {Formats} formats */
const finish = (job, formats) => (job.unsure ? "none can be said" : formats.day(job.finish_day));

/** @param {Job} job */
function state(job) {
  const [kind, words] = promiseState(job);
  return html`<span class="state ${kind}">${words}</span>`;
}

/** @param {{ jobs: Job[], owner: boolean, formats: Formats, unplaced: Schemas["FloorUnplaced"][] }} what */
export function promiseTable({ jobs, owner, formats, unplaced }) {
  if (jobs.length === 0)
    return html`<p class="empty">No job is sold and open. When a quote is accepted, its car stands here.</p>`;
  return html`<div class="shop-scroll" tabindex="0" role="region" aria-label="Promises"><table class="shop-list shop-stack floor-promises"><caption>Promises at risk first. Lost: working time that the work waited for somebody or for a place.</caption>
    <thead><tr><th scope="col">Job</th><th scope="col">Car</th><th scope="col">Promise</th><th scope="col">Finish in the plan</th><th scope="col">Stands</th><th scope="col">Lost to queues</th></tr></thead>
    <tbody>${jobs.map(
      (job) =>
        html`<tr ${attr("data-late", job.late_days > 0 || job.unsure)}><td data-label="Job">${numbered(job, owner)}</td><th scope="row" data-label="Car">${job.car}</th><td data-label="Promise">${job.promise ? formats.day(job.promise) : "none"}</td><td data-label="Finish in the plan">${finish(job, formats)}</td><td data-label="Stands">${state(job)} ${job.words}</td><td data-label="Lost to queues">${lost(job)}</td></tr>`,
    )}</tbody></table></div>${cannot(unplaced)}`;
}

/** The longest first, the rest folded. @param {Job} job */
function lost({ lost, number, job_id }) {
  const [first, ...rest] = [...lost].sort((a, b) => b.minutes - a.minutes);
  if (!first) return "nothing";
  if (rest.length === 0) return queueWords(first);
  return html`<details id="lost-${job_id}"><summary>${queueWords(first)}<span class="visually-hidden">, all queues of job ${number}</span></summary><ul class="shop-plain small">${rest.map((q) => html`<li>${queueWords(q)}</li>`)}</ul></details>`;
}

/** Reasons first; what only waits for them is folded. @param {Schemas["FloorUnplaced"][]} unplaced */
export function cannot(unplaced) {
  if (unplaced.length === 0) return "";
  const waits = (/** @type {(typeof unplaced)[number]} */ u) => u.code === "waits-for-unplaced";
  const reasons = unplaced.filter((u) => !waits(u));
  const rest = [...reasons.slice(5), ...unplaced.filter(waits)];
  const list = (/** @type {typeof unplaced} */ of) =>
    html`<ul>${of.map((u) => html`<li><strong>${u.name}</strong>: ${u.words}</li>`)}</ul>`;
  return html`<div class="note stop"><p><strong>What no plan can hold</strong></p>${list(reasons.slice(0, 5))}
    ${rest.length > 0 ? html`<details id="cannot-rest"><summary>${rest.length} more, with what only waits for these</summary>${list(rest)}</details>` : ""}</div>`;
}

/**
 * Every promise beside the plan that holds, what moves most first.
 * @param {{ jobs: Job[], formats: Formats, column: string, caption: string }} what
 */
export function sideBySide({ jobs, formats, column, caption }) {
  const far = (/** @type {Job} */ j) => (j.unsure ? Number.MAX_VALUE : Math.abs(j.moved_days ?? 0));
  const sorted = [...jobs].sort((a, b) => far(b) - far(a));
  return html`<div class="shop-scroll" tabindex="0" role="region" aria-label="${caption}"><table class="shop-list shop-stack floor-beside"><caption>${caption}</caption>
    <thead><tr><th scope="col">Job</th><th scope="col">Car</th><th scope="col">Promise</th><th scope="col">Plan that holds</th><th scope="col">${column}</th><th scope="col" class="num">Days</th><th scope="col">So it finishes</th><th scope="col">Promise then</th></tr></thead>
    <tbody>${sorted.map(
      (job) =>
        html`<tr ${attr("data-late", job.late_days > 0 || job.unsure)} data-moved="${Math.sign(job.moved_days ?? 0)}"><td data-label="Job">${job.number}</td><th scope="row" data-label="Car">${job.car}</th><td data-label="Promise">${job.promise ? formats.day(job.promise) : "none"}</td><td data-label="Plan that holds">${job.before ? formats.day(formats.dayOf(job.before)) : "–"}</td><td data-label="${column}"><strong>${finish(job, formats)}</strong></td><td class="num" data-label="Days">${movedFigure(job.moved_days)}</td><td data-label="So it finishes">${job.unsure ? "it does not" : movedWords(job.moved_days)}</td><td data-label="Promise then">${state(job)} <span class="small">${job.words}</span></td></tr>`,
    )}</tbody></table></div>`;
}

// @ts-check
// The schedule as a table: everything the picture says, in words; and the legend that explains the lines.

import { html } from "../../lib/html.js";
import { startReason, taskKind, taskState, word } from "../../lib/words.js";

/** @import { JobPage, TaskView } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** Slack in words; a cure's is elapsed time, everything else's working time. @param {TaskView} task @param {Formats} formats */
export function slack(task, formats) {
  const value = task.times.total_float_minutes;
  if (value === 0) return "none";
  const kind = task.kind === "cure" ? "elapsed" : "working";
  return value < 0 ? `${formats.minutes(-value)} ${kind} too late` : `${formats.minutes(value)} ${kind}`;
}

/** @param {JobPage} page @param {Formats} formats */
export function table(page, formats) {
  const groups = [...page.phases].sort((a, b) => a.position - b.position);
  return html`<div class="scroll" tabindex="0" role="region" aria-label="Schedule as a table"><table class="schedule-table">
    <caption>Schedule of job ${page.job.number}</caption>
    <thead><tr><th scope="col">Code</th><th scope="col">Task</th><th scope="col">Kind</th><th scope="col">Start</th><th scope="col">Finish</th><th scope="col">Slack</th><th scope="col">Drives the date</th><th scope="col">Agreed finish</th><th scope="col">State</th></tr></thead>
    ${groups.map(
      (phase) => html`<tbody>
        <tr class="group"><th scope="rowgroup" colspan="3">${phase.name}</th><td>${phase.start ? formats.instant(phase.start) : "–"}</td><td>${phase.finish ? formats.instant(phase.finish) : "–"}</td><td></td><td></td><td>${phase.baseline_finish ? formats.instant(phase.baseline_finish) : "–"}</td><td>${phase.progress.percent_done} %</td></tr>
        ${page.tasks
          .filter((t) => t.phase_id === phase.id)
          .map(
            (t) =>
              html`<tr><td>${t.code}</td><th scope="row"><button type="button" class="plain" data-pick="${t.id}">${t.name}</button></th><td>${word(taskKind, t.kind)}</td><td>${formats.instant(t.times.start)}<br><span class="small">${word(startReason, t.times.reason)}</span></td><td>${formats.instant(t.times.finish)}</td><td>${slack(t, formats)}</td><td>${t.times.driving ? "yes" : "no"}</td><td>${t.times.baseline_finish ? formats.instant(t.times.baseline_finish) : "–"}</td><td>${word(taskState, t.state)}</td></tr>`,
          )}
      </tbody>`,
    )}
  </table></div>`;
}

export function legend() {
  /** @type {[string, string][]} */
  const entries = [
    ["bar-box", "to do"],
    ["bar-inked", "done"],
    ["driving", "heavy: drives the finish date"],
    ["cure", "hatched: cure or waiting, nobody works"],
    ["away", "open ends: sublet, the work is away"],
    ["ranged", "dashed: not agreed yet"],
    ["gate", "gate: hold point, red while not released"],
    ["tail", "thin tail: slack"],
    ["ghost", "ghost below: as agreed"],
    ["chain", "chain line: today; with a flag: the promise"],
    ["closed", "lightly ruled: the shop is closed"],
  ];
  return html`<details class="legend" id="schedule-legend"><summary>What the lines mean</summary><ul>${entries.map(([kind, words]) => html`<li>${swatch(kind)}<span>${words}</span></li>`)}</ul></details>`;
}

/** @param {string} kind */
function swatch(kind) {
  const box = html`<rect class="bar-box" x="3" y="6" width="34" height="12"></rect>`;
  /** @type {Record<string, unknown>} */
  const drawn = {
    "bar-box": box,
    "bar-inked": html`<rect class="bar-inked" x="3" y="6" width="34" height="12"></rect>`,
    driving: html`<g class="driving">${box}</g>`,
    cure: html`<rect class="bar-box" x="3" y="6" width="34" height="12" fill="url(#hatch-cure)"></rect>`,
    away: html`<path class="bar-away" d="M3 6H37M3 18H37"></path>`,
    ranged: html`<g class="ranged">${box}</g>`,
    gate: html`<path class="gate shut" d="M18 2V22M22 2V22"></path>`,
    tail: html`<path class="tail" d="M3 12H37M37 8V16"></path>`,
    ghost: html`<rect class="ghost" x="3" y="10" width="34" height="4"></rect>`,
    chain: html`<line class="chain" x1="3" x2="37" y1="12" y2="12"></line>`,
    closed: html`<rect x="3" y="2" width="34" height="20" fill="url(#hatch-closed)"></rect>`,
  };
  return html`<svg width="40" height="24" viewBox="0 0 40 24" aria-hidden="true">${drawn[kind]}</svg>`;
}

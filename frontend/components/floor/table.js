// @ts-check
// The floor's picture as a table: the same rows and the same weeks, in words; and what its lines mean.

import { attr, html } from "../../lib/html.js";
import { taskKind, word } from "../../lib/words.js";
import { progress, whereWords, whoWords } from "./words.js";

/** @import { Formats } from "../../lib/format.js" */
/** @import { Bar, Row } from "./rows.js" */
/** @import { Floor } from "./words.js" */

/** @param {{ floor: Floor, rows: Row[], numbers: Map<string, number>, formats: Formats, picked: string }} view */
export function floorTable({ floor, rows, numbers, formats, picked }) {
  const some = rows.filter((row) => row.bars.length > 0);
  if (some.length === 0) return html`<p class="empty">Nothing is planned in these weeks.</p>`;
  return html`<div class="shop-scroll" tabindex="0" role="region" aria-label="The floor as a table"><table class="shop-list shop-stack floor-table">
    <caption>Tasks in the weeks shown, by start. A heavy edge: it drives its job's finish.</caption>
    <thead><tr><th scope="col">Task</th><th scope="col" class="num">Job</th><th scope="col">Start</th><th scope="col">Finish</th><th scope="col">Who</th><th scope="col">Where</th><th scope="col">State</th><th scope="col">Waited</th></tr></thead>
    ${some.map((row) => html`<tbody><tr class="shop-band"><th scope="rowgroup" colspan="8">${row.name} <span class="small">${row.note}</span></th></tr>${row.bars.map((bar) => line(bar, row, floor, numbers, formats, picked))}</tbody>`)}
  </table></div>`;
}

/** @param {Bar} bar @param {Row} row @param {Floor} floor @param {Map<string, number>} numbers @param {Formats} formats @param {string} picked */
function line(bar, row, floor, numbers, formats, picked) {
  return html`<tr ${attr("data-driving", bar.driving)}><th scope="row"><button type="button" class="shop-open" id="row-${row.id}-${bar.task_id}" data-pick="${bar.task_id}" aria-pressed="${String(bar.task_id === picked)}">${bar.code} ${bar.name}</button></th><td class="num" data-label="Job">${numbers.get(bar.job_id) ?? ""}</td><td data-label="Start">${formats.instant(bar.start)}</td><td data-label="Finish">${formats.instant(bar.finish)}</td><td data-label="Who">${whoWords(floor, bar)}</td><td data-label="Where">${whereWords(floor, bar)}</td><td data-label="State">${stateWords(bar)}</td><td data-label="Waited">${bar.waited_minutes > 0 ? formats.minutes(bar.waited_minutes) : "not at all"}</td></tr>`;
}

/** The same on a phone: a fold for each row. @param {{ floor: Floor, rows: Row[], numbers: Map<string, number>, formats: Formats, picked: string }} view */
export function floorLists({ floor, rows, numbers, formats, picked }) {
  const some = rows.filter((row) => row.bars.length > 0);
  if (some.length === 0) return html`<p class="empty">Nothing is planned in these weeks.</p>`;
  return html`<div>${some.map(
    (row) =>
      html`<details class="sheet floor-list" id="list-${row.id}"><summary><span><strong>${row.name}</strong> <span class="small">${row.note}${row.note ? ", " : ""}${row.bars.length === 1 ? "1 task" : `${row.bars.length} tasks`}</span></span></summary><ul class="shop-plain">${row.bars.map(
        (bar) =>
          html`<li><button type="button" class="shop-open" id="item-${row.id}-${bar.task_id}" data-pick="${bar.task_id}" aria-pressed="${String(bar.task_id === picked)}">${numbers.get(bar.job_id) ?? ""} · ${bar.code} ${bar.name}</button><br>${formats.instant(bar.start)} to ${formats.instant(bar.finish)}<br><span class="small">${whoWords(floor, bar)}; ${whereWords(floor, bar)}; ${stateWords(bar)}</span></li>`,
      )}</ul></details>`,
  )}</div>`;
}

/** @param {Bar} bar */
const stateWords = (bar) =>
  [
    word(progress, bar.progress),
    bar.kind === "work" ? "" : word(taskKind, bar.kind).toLowerCase(),
    bar.driving ? "drives the finish" : "",
    bar.pinned ? "start decided on" : "",
  ]
    .filter(Boolean)
    .join(", ");

export function legend() {
  const box = html`<rect class="bar-box" x="3" y="4" width="34" height="16"></rect>`;
  /** @type {[unknown, string][]} */
  const entries = [
    [box, "not started; the figure is the job's number, left out where there is no room"],
    [
      html`<g class="in_progress">${box}<rect class="floor-begun" x="3" y="15" width="18" height="5"></rect></g>`,
      "under way: inked at its foot up to today",
    ],
    [html`<g class="finished">${box}</g>`, "inked: done"],
    [html`<g class="driving">${box}</g>`, "heavy: drives its job's finish"],
    [
      html`<rect class="bar-box" x="3" y="4" width="34" height="16" fill="url(#floor-cure)"></rect>`,
      "hatched: cure, nobody works",
    ],
    [html`<path class="bar-away" d="M3 4H37M3 20H37"></path>`, "open ends: out of the house"],
    [
      html`${box}<path class="floor-pin" d="M3 4h10l-10 10z"></path>`,
      "triangle: somebody decided on this start",
    ],
    [
      html`<rect class="floor-moved-box" x="3" y="4" width="34" height="16"></rect>`,
      "dashed: moved, not kept",
    ],
    [
      html`<line class="chain" x1="24" x2="24" y1="1" y2="23"></line><path class="flag-cloth" d="M24 2h-12l3 5l-3 5h12z"></path>`,
      "chain line with a flag: a job's promise",
    ],
    [html`<line class="chain today" x1="20" x2="20" y1="1" y2="23"></line>`, "chain line: today"],
    [
      html`<rect x="3" y="2" width="34" height="20" fill="url(#floor-closed)"></rect>`,
      "lightly ruled: the shop is closed",
    ],
  ];
  return html`<details class="legend" id="floor-legend"><summary>What the lines mean</summary><ul>${entries.map(([drawn, words]) => html`<li><svg width="40" height="24" viewBox="0 0 40 24" aria-hidden="true">${drawn}</svg><span>${words}</span></li>`)}</ul></details>`;
}

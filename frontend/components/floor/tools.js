// @ts-check
// What stands around the floor's picture: how it is looked at, and the names of its rows.

import { dayAfter } from "../../lib/format.js";
import { html } from "../../lib/html.js";
import { topsOf } from "./picture.js";
import { weekChoices } from "./time.js";

/** @import { Formats } from "../../lib/format.js" */
/** @import { By, Row } from "./rows.js" */

/** @type {[By, string][]} */
const views = [
  ["station", "By station"],
  ["person", "By technician"],
  ["job", "By job"],
];

/** @param {{ by: By, weeks: number, first: string, asTable: boolean }} now @param {Formats} formats */
export function tools({ by, weeks, first, asTable }, formats) {
  const last = dayAfter(first, 7 * weeks - 1);
  return html`<div class="row floor-tools no-print">
      <div class="row" role="group" aria-label="Rows">${views.map(([key, name]) => html`<button type="button" id="by-${key}" data-tool="by ${key}" aria-pressed="${String(by === key)}">${name}</button>`)}</div>
      <div class="row" role="group" aria-label="Weeks shown">${weekChoices.map((n) => html`<button type="button" id="weeks-${n}" data-tool="weeks ${n}" aria-pressed="${String(weeks === n)}">${n} weeks</button>`)}</div>
      <div class="row" role="group" aria-label="Which weeks"><button type="button" id="floor-earlier" data-tool="go -1">Earlier</button><button type="button" id="floor-now" data-tool="now">Today</button><button type="button" id="floor-later" data-tool="go 1">Later</button></div>
      <button type="button" id="floor-as-table" data-tool="table" aria-pressed="${String(asTable)}">As a table</button>
    </div><p class="floor-weeks"><strong>${formats.day(first)} to ${formats.day(last)}</strong></p>`;
}

/** @param {Row[]} rows @param {number} lane */
export function names(rows, lane) {
  const { tops } = topsOf(rows, lane);
  return rows.map(
    (row, i) =>
      html`<div class="floor-name" data-top="${tops[i] ?? 0}" data-tall="${row.height * lane + 8}"><strong>${row.name}</strong> <span class="small">${row.note}</span></div>`,
  );
}

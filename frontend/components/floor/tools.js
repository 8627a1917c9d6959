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

/** What can be done just now, or where a bar was moved. @param {{ lifted: number | undefined, asTable: boolean, moves: boolean }} now @param {Formats} formats */
export function hint({ lifted, asTable, moves }, formats) {
  if (lifted !== undefined) {
    const at = new Date(lifted);
    return html`Moved to <strong>${formats.day(formats.dayOf(at))}, ${formats.time(at)}</strong>. Enter tries it and shows what it does to every promise; Escape puts it back.`;
  }
  if (asTable) return html``;
  return moves
    ? html`Left and right move the picked bar by a working day, with Shift by an hour; or drag it along time. Nothing is kept before you say so.`
    : html`Arrow keys go from bar to bar; Enter picks one and says why it stands where it stands.`;
}

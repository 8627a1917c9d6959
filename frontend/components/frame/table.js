// @ts-check
// The frame as a table: everything the drawing says, in words; and the legend that explains its lines.

import { html } from "../../lib/html.js";
import { hatches, steel } from "./picture.js";
import { conditionWord, gradeWord, hiddenWord, kindWord, sectionWord } from "./words.js";

/** @import { Zone } from "./plan.js" */
/** @import { Conditions } from "./words.js" */

/**
 * Rows by zone. With two columns of conditions it is the table of a comparison.
 * @param {{ label: string, zones: Zone[], columns: { name: string, conditions: Conditions }[], badges: Record<string, string>, selected: string, length: (mm: number) => string }} view
 */
export function frameTable({ label, zones, columns, badges, selected, length }) {
  const marks = zones.some((z) => badges[z.id]);
  return html`<div class="scroll" tabindex="0" role="region" aria-label="${label}, as a table"><table class="frame-table">
    <caption>${label}</caption>
    <thead><tr><th scope="col">Zone</th><th scope="col">Kind</th>${columns.map((c) => html`<th scope="col">${c.name}</th>`)}<th scope="col">With the body on</th>${marks ? html`<th scope="col">Marked</th>` : ""}<th scope="col">Section</th><th scope="col" class="num">Length</th><th scope="col" class="num">Surface</th></tr></thead>
    <tbody>${zones.map(
      (z) =>
        html`<tr data-picked="${String(z.id === selected)}"><th scope="row"><button type="button" class="plain" data-pick="${z.id}" aria-pressed="${String(z.id === selected)}">${z.name}</button></th><td>${kindWord[z.kind]}</td>${columns.map(
          ({ conditions: { [z.id]: c } }) =>
            html`<td>${conditionWord(c)}${c?.text ? html`<br><span class="small">${c.text}</span>` : ""}</td>`,
        )}<td>${hiddenWord(z)}</td>${marks ? html`<td>${badges[z.id] ?? ""}</td>` : ""}<td>${sectionWord(z, length)}</td><td class="num">${length(z.length_mm)}</td><td class="num">${z.kind === "opening" ? "–" : `${z.area_m2} m²`}</td></tr>`,
    )}</tbody>
  </table></div>`;
}

/** @param {string} key @param {boolean} compares */
export function frameLegend(key, compares) {
  const box = [
    { x: 2, y: 4 },
    { x: 2, y: 22 },
    { x: 46, y: 22 },
    { x: 46, y: 4 },
  ];
  /** @type {[string, string, string, string][]} grade, class, kind, words */
  const entries = [
    ["", "", "rail", "thin outline: not graded yet"],
    ...Object.entries(gradeWord).map(
      ([grade, words]) =>
        /** @type {[string, string, string, string]} */ ([
          grade,
          `graded ${grade}`,
          "rail",
          legendWord[grade] + words,
        ]),
    ),
    [
      "",
      compares ? "marked" : "picked",
      "rail",
      compares ? "heavy: the two surveys differ" : "heavy, tinted: selected",
    ],
    ["", "", "kick_up", "lines across: bends of a kick-up"],
  ];
  return html`<details class="legend" id="${key}-legend"><summary>What the lines mean</summary><ul>${entries.map(
    ([grade, classes, kind, words], i) =>
      html`<li><svg width="48" height="26" viewBox="0 0 48 26" aria-hidden="true">${i === 0 ? hatches(`${key}-l`) : ""}<g class="frame-zone ${classes}">${steel(`${key}-l`, box, kind, grade)}</g></svg><span>${words}</span></li>`,
  )}<li><svg width="48" height="26" viewBox="0 0 48 26" aria-hidden="true"><path class="frame-chain" d="M0 13H48"></path></svg><span>chain line: centre line, axles; wheels for the eye only</span></li></ul><p class="hint">A to D are the rust grades of ISO 8501-1. A hatch shows the worst that was found in the zone.</p></details>`;
}

/** @type {Record<string, string>} */
const legendWord = {
  a: "firm outline, no hatch: ",
  b: "wide hatch: ",
  c: "closer hatch: ",
  d: "close hatch: ",
  pitted: "closest hatch: ",
  patched: "outlined twice: ",
  perforated: "cross-hatched: ",
  hidden: "dashed: ",
};

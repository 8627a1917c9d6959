// @ts-check
// The repair list that jobs made from a template go by, to be read: what each repair answers, the hours and
// materials that follow from its size.

import { gradeWord } from "../../components/frame/words.js";
import { counted, named } from "../../components/shop-words.js";
import { html } from "../../lib/html.js";
import { findingWhat, word } from "../../lib/words.js";

/** @import { Schemas } from "../../lib/contract.js" */

/** @param {Schemas["TemplateDetail"]} template */
export function repairList({ repair_list: list, own_repairs: own }) {
  return html`<section class="sheet" aria-labelledby="repairs-h"><h2 id="repairs-h">Repairs</h2>
    <p class="second">Findings on a job made from it are put right by ${own ? "the template's own" : "the program's"} list of ${counted(list.length, "repair")}. Hours are of the whole crew, on steel cut back to sound; the likely ones stand between the least and the most.</p>
    <details><summary>The list</summary><div class="shop-scroll" tabindex="0" role="region" aria-label="The repair list"><table class="shop-list shop-stack"><thead><tr><th scope="col">Repair</th><th scope="col">Answers</th><th scope="col">By</th><th scope="col">Hours</th><th scope="col">Materials</th></tr></thead>
    <tbody>${list.map(row)}</tbody></table></div></details></section>`;
}

/** @param {Schemas["RepairRead"]} r */
function row(r) {
  const found = r.for.map((what) => word(findingWhat, what)).join(", ");
  const grades = r.conditions.map((c) => word(gradeWord, c)).join(", ");
  const per = (/** @type {Schemas["RepairLine"]} */ line, /** @type {string} */ unit) =>
    sized(line, unit, r.unit);
  return html`<tr><th scope="row" data-label="Repair">${r.name}${r.note ? html`<details><summary>How</summary><p class="small shop-lines">${r.note}</p></details>` : ""}</th>
    <td data-label="Answers">${[found, grades].filter(Boolean).join("; on steel: ") || "anything"}</td>
    <td data-label="By">${r.crew} × ${named(r.skill)}${r.station ? html`<span class="second">, at ${named(r.station)}</span>` : ""}</td>
    <td data-label="Hours">${per(r.hours.likely, "h")} <span class="second small">(${per(r.hours.low, "h")} to ${per(r.hours.high, "h")})</span>${r.factors.length > 0 ? html`<span class="small">; ${r.factors.map((f) => `${word(gradeWord, f.condition)} × ${f.times}`).join(", ")}</span>` : ""}</td>
    <td data-label="Materials">${r.materials.length > 0 ? html`<ul class="shop-plain">${r.materials.map((m) => html`<li>${m.item}: ${per(m, m.unit)}</li>`)}</ul>` : "none"}</td></tr>`;
}

const nothing = (/** @type {string} */ figure) => /^0*(\.0*)?$/.test(figure);

/** "0.5 h + 0.06 h per dm²"; a part of nothing is not said. @param {Schemas["RepairLine"]} line @param {string} unit @param {string} size */
function sized({ fixed, per_unit }, unit, size) {
  const each = `${per_unit} ${sign(unit)} per ${sign(size)}`;
  if (nothing(per_unit)) return `${fixed} ${sign(unit)}`;
  return nothing(fixed) ? each : `${fixed} ${sign(unit)} + ${each}`;
}

const sign = (/** @type {string} */ unit) => unit.replace(/m2$/, "m²");

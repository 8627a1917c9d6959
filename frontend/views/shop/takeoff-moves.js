// @ts-check
// What moved with the takeoff, told in sentences: the old figure struck through, then the new one, then why.

import { html } from "../../lib/html.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @typedef {Schemas["TakeoffMove"]} Move */

/** A figure that moved. @param {string} before @param {string} after */
const moved = (before, after) =>
  before === after ? html`<b>${after}</b>` : html`<s>${before}</s> <b>${after}</b>`;

/** The price and the date of a move. @param {Move} m @param {Formats} formats */
export function moneyAndDate(m, formats) {
  const money = (/** @type {string} */ amount) => formats.money(amount, m.currency);
  const day = (/** @type {string} */ instant) => formats.day(formats.dayOf(instant));
  const dates = [day(m.finish_before), day(m.finish_after)];
  return html`Price ${moved(money(m.net_before), money(m.net_after))} net; ${
    dates[0] === dates[1]
      ? `the forecast stays ${dates[1]}`
      : html`forecast ${moved(dates[0] ?? "", dates[1] ?? "")}`
  }.`;
}

/** @param {Move} m @param {Formats} formats */
export function moveItem(m, formats) {
  return html`<li><p><strong>${m.cause}.</strong> ${moneyAndDate(m, formats)}</p>
    <details><summary>${m.tasks.length} ${m.tasks.length === 1 ? "task" : "tasks"}, ${m.materials.length} ${m.materials.length === 1 ? "material" : "materials"}<span class="visually-hidden">: ${m.cause}</span></summary>
    <ul class="shop-plain">${m.tasks.map((t) => html`<li>${t.code} ${t.name}: ${t.follows ? moved(formats.hours(t.before.likely), formats.hours(t.after.likely)) : html`<b>${formats.hours(t.after.likely)}</b> was typed over and stays; the rules ask ${moved(formats.hours(t.asked_before), formats.hours(t.asked_after))}`}${reasons(t.by)}</li>`)}
    ${m.materials.map((g) => html`<li>${g.name}: ${g.line_id && g.follows ? moved(formats.measured(g.before, g.unit), formats.measured(g.after, g.unit)) : html`the rules ask ${moved(formats.measured(g.asked_before, g.unit), formats.measured(g.asked_after, g.unit))}${g.line_id ? ", and the line keeps what was typed" : ", and no line has it"}`}${reasons(g.by)}</li>`)}</ul></details>
    <p class="small">${m.by}, ${formats.instant(m.at)}</p></li>`;
}

/** Why, zone by zone. @param {Schemas["MovedBy"][]} by */
function reasons(by) {
  const most = 6;
  if (by.length === 0) return "";
  return html`<ul class="small second">${by.slice(0, most).map((b) => html`<li>${b.words}</li>`)}${by.length > most ? html`<li>and ${by.length - most} more</li>` : ""}</ul>`;
}

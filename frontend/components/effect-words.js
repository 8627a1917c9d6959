// @ts-check
// What a change order does, in the words and tables that shop and client share.

import { html } from "../lib/html.js";

/** @import { Schemas } from "../lib/contract.js" */
/** @import { Formats } from "../lib/format.js" */

/** @param {string} figure */
const negative = (figure) => figure.startsWith("-");

/** @param {string} figure */
const none = (figure) => /^-?0*(\.0*)?$/.test(figure);

/** "3 working days later", "no day". @param {number} days */
export function daysWords(days) {
  if (days === 0) return "no day";
  const count = Math.abs(days);
  return `${count} working ${count === 1 ? "day" : "days"} ${days > 0 ? "later" : "earlier"}`;
}

/** When it is finished with it: "on the same day", "3 working days later". @param {number} days */
export const finishWords = (days) => (days === 0 ? "on the same day" : daysWords(days));

/** "+0.50" with the sign said. @param {string} points */
export const pointsWords = (points) =>
  negative(points) || none(points) ? points.replace("-", "−") : `+${points}`;

/** @param {Pick<Schemas["ClientEffect"], "amount" | "currency" | "dates" | "authorised_after">} effect @param {Formats} formats */
export function effectSentence({ amount, currency, dates, authorised_after }, formats) {
  const money = formats.money(amount.replace("-", ""), currency);
  const price = none(amount)
    ? "Costs nothing"
    : negative(amount)
      ? `Takes ${money} off, tax included`
      : `Adds ${money}, tax included`;
  const moved = dates.promise_after && dates.promise_after !== dates.promise_before;
  const date = moved
    ? `and moves the promise to ${formats.day(dates.promise_after)}, ${daysWords(dates.days)}`
    : "and leaves the promise where it is";
  return `${price}, to ${formats.money(authorised_after, currency)} in all, ${date}.`;
}

/**
 * What moves the finish, and where the dates come from.
 * @param {Schemas["DateEffect"]} dates
 */
export function datesSaid({ why, words }) {
  return html`${why ? html`<p>${why}</p>` : ""}${words ? html`<p class="small dates-from">${words}</p>` : ""}`;
}

/** The work of a selection line by line, and how it adds up. @param {Pick<Schemas["ClientEffect"], "lines" | "net" | "taxes" | "amount" | "currency">} effect @param {Formats} formats */
export function priceLines({ lines, net, taxes, amount, currency }, formats) {
  const money = (/** @type {string} */ value) => formats.money(value, currency);
  return html`<details id="effect-lines"><summary>The work and its price, line by line</summary><div class="scroll" tabindex="0" role="region" aria-label="The work and its price"><table><thead><tr><th scope="col">What</th><th scope="col" class="num">How much</th><th scope="col" class="num">Net</th></tr></thead>
    <tbody>${lines.map((l) => html`<tr><td>${negative(l.net) ? "Taken out: " : ""}${l.description}</td><td class="num">${formats.quantity(l.quantity, l.unit)}</td><td class="num">${money(l.net)}</td></tr>`)}</tbody>
    <tfoot><tr><th scope="row" colspan="2">Net</th><td class="num">${money(net)}</td></tr>${taxes.map((t) => html`<tr><th scope="row" colspan="2">Tax ${formats.percent(t.percent)} on ${money(t.base)}</th><td class="num">${money(t.tax)}</td></tr>`)}
    <tr><th scope="row" colspan="2">With tax</th><td class="num">${money(amount)}</td></tr></tfoot></table></div></details>`;
}

/** The phases whose ends move. @param {Pick<Schemas["ClientEffect"], "phases">} effect @param {Formats} formats */
export function moves({ phases }, formats) {
  const moved = phases.filter(({ days }) => days !== 0);
  if (moved.length === 0) return "";
  return html`<details id="effect-phases"><summary>What moves</summary><ul class="rows">${moved.map((m) => html`<li>${m.phase}: ${formats.day(m.before)} → ${formats.day(m.after)}, ${daysWords(m.days)}</li>`)}</ul></details>`;
}

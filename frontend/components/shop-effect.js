// @ts-check
// What a change order does, as the server computed it: in a sentence, before and after side by side, alone
// and with the other orders that wait; price lines, moves of the phases, and what the law asks for.

import { field } from "../lib/form.js";
import { html } from "../lib/html.js";
import { choices, span } from "./shop-form.js";
import { counted } from "./shop-words.js";

/** @import { Schemas } from "../lib/contract.js" */
/** @import { Formats } from "../lib/format.js" */

/** @typedef {Schemas["Effect"]} Effect */

/** @param {string} figure */
const negative = (figure) => figure.startsWith("-");

/** @param {string} figure */
const none = (figure) => /^-?0*(\.0*)?$/.test(figure);

/** "3 working days later", "as promised". @param {number} days */
export function daysWords(days) {
  if (days === 0) return "no day";
  return days > 0 ? `${counted(days, "working day")} later` : `${counted(-days, "working day")} earlier`;
}

/** "+0.50" with the sign said. @param {string} points */
export const pointsWords = (points) =>
  negative(points) || none(points) ? points.replace("-", "−") : `+${points}`;

/** @param {Effect} e @param {Formats} formats */
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
 * The choice of an option for each item, as fields that read into `choices`.
 * @param {Schemas["OrderDraft"]["items"]} items @param {Schemas["OrderChoice"][]} taken @param {string} form
 */
export function choiceFields(items, taken, form) {
  return html`<div class="shop-form">${items.map((item, i) => {
    const options = Object.fromEntries(
      item.options.map((o) => [o.key, o.name + (o.advised ? ", advised" : "")]),
    );
    const value = taken.find((each) => each.item_key === item.key)?.option_key ?? "";
    return html`<input type="hidden" name="choices/${i}/item_key" value="${item.key}">${span(
      6,
      field({
        form,
        name: `choices/${i}/option_key`,
        label: item.title,
        type: "select",
        value,
        options: choices(options, item.may_leave || !value ? "left" : undefined),
      }),
    )}`;
  })}</div>`;
}

/** Names of the fields above that may be empty. @param {unknown[]} items */
export const choiceNames = (items) => items.map((_, i) => `choices/${i}/option_key`);

/** @param {Effect} e @param {Formats} formats */
export function effectView(e, formats) {
  const money = (/** @type {string} */ amount) => formats.money(amount, e.currency);
  const { dates, with_others: others } = e;
  const along = others.orders.length > 0;
  const names = others.orders.map(({ number }) => number).join(", ");
  /** @param {string} name @param {unknown} before @param {unknown} after @param {unknown} both */
  const row = (name, before, after, both) =>
    html`<tr><th scope="row">${name}</th><td class="num">${before}</td><td class="num">${after}</td>${along ? html`<td class="num">${both}</td>` : ""}</tr>`;
  return html`${e.contradiction ? html`<div class="note stop"><p><strong>This cannot be scheduled.</strong> ${e.contradiction.detail}</p>${e.contradiction.tasks.length > 0 ? html`<ul>${e.contradiction.tasks.map((task) => html`<li>${task}</li>`)}</ul>` : ""}<p>It is kept as a draft and can be sent once that is mended.</p></div>` : html`<p class="effect-said">${effectSentence(e, formats)}</p>${dates.why ? html`<p>${dates.why}</p>` : ""}`}
    <div class="scroll" tabindex="0" role="region" aria-label="Before and after"><table class="effect"><thead><tr><td></td><th scope="col" class="num">Before</th><th scope="col" class="num">After</th>${along ? html`<th scope="col" class="num">With ${names} too</th>` : ""}</tr></thead><tbody>
    ${row("Authorised amount", money(e.authorised_before), html`<strong>${money(e.authorised_after)}</strong>`, money(others.authorised_after))}
    ${row("This change", "", money(e.amount), money(others.amount))}
    ${row("Promise", formats.day(dates.promise_before), html`<strong>${formats.day(dates.promise_after)}</strong>`, formats.day(others.dates.promise_after))}
    ${row("Forecast finish", formats.day(dates.finish_before), formats.day(dates.finish_after), formats.day(others.dates.finish_after))}
    ${row("Finish moves", "", daysWords(dates.days), daysWords(others.dates.days))}
    ${row("Hours", "", signed(formats.hours(e.hours)), "")}
    ${row("Originality points", "", pointsWords(e.points_originality), "")}
    ${row("Condition points", "", pointsWords(e.points_condition), "")}
    </tbody></table></div>
    <p class="${e.consent_due ? "note watch" : "note"}">${e.consent_why} Work on it begins only with a recorded decision.</p>
    <p class="small">Cost ${money(e.cost)}, margin ${money(e.margin)}: for you only. Confidence of dates not yet computed.</p>
    ${priceLines(e, formats)}${moves(e, formats)}`;
}

/** @param {string} figure */
const signed = (figure) => (negative(figure) ? figure.replace("-", "−") : figure);

/** @param {Effect} e @param {Formats} formats */
function priceLines({ lines, net, taxes, amount, currency }, formats) {
  const money = (/** @type {string} */ value) => formats.money(value, currency);
  return html`<details id="effect-lines"><summary>Scope and price, ${counted(lines.length, "line")}</summary><div class="scroll" tabindex="0" role="region" aria-label="Scope and price"><table><thead><tr><th scope="col">What</th><th scope="col" class="num">Quantity</th><th scope="col" class="num">Net</th></tr></thead>
    <tbody>${lines.map((line) => html`<tr><td>${negative(line.net) ? "Taken out: " : ""}${line.description}</td><td class="num">${formats.quantity(line.quantity, line.unit)}</td><td class="num">${money(line.net)}</td></tr>`)}</tbody>
    <tfoot><tr><th scope="row" colspan="2">Net</th><td class="num">${money(net)}</td></tr>
    ${taxes.map((tax) => html`<tr><th scope="row" colspan="2">Tax ${formats.percent(tax.percent)}</th><td class="num">${money(tax.tax)}</td></tr>`)}
    <tr><th scope="row" colspan="2">With tax</th><td class="num">${money(amount)}</td></tr></tfoot></table></div></details>`;
}

/** @param {Effect} e @param {Formats} formats */
function moves({ phases }, formats) {
  const moved = phases.filter(({ days }) => days !== 0);
  if (moved.length === 0) return "";
  return html`<details id="effect-phases"><summary>${counted(moved.length, "phase")} ${moved.length === 1 ? "moves" : "move"}</summary><ul class="shop-plain">${moved.map((each) => html`<li>${each.phase}: ${formats.day(each.before)} → ${formats.day(each.after)}, ${daysWords(each.days)}</li>`)}</ul></details>`;
}

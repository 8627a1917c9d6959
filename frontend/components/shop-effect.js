// @ts-check
// What a change order does, as the server computed it: in a sentence, before and after side by side, alone
// and with the other orders that wait; price lines, moves of the phases, and what the law asks for.

import { field } from "../lib/form.js";
import { html } from "../lib/html.js";
import {
  datesSaid,
  daysWords,
  effectSentence,
  finishWords,
  moves,
  pointsWords,
  priceLines,
} from "./effect-words.js";
import { choices, span } from "./shop-form.js";

/** @import { Schemas } from "../lib/contract.js" */
/** @import { Formats } from "../lib/format.js" */

/** @typedef {Schemas["Effect"]} Effect */

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
  return html`${e.contradiction ? html`<div class="note stop"><p><strong>This cannot be scheduled.</strong> ${e.contradiction.detail}</p>${e.contradiction.tasks.length > 0 ? html`<ul>${e.contradiction.tasks.map((task) => html`<li>${task}</li>`)}</ul>` : ""}<p>It is kept as a draft and can be sent once that is mended.</p></div>` : html`<p class="effect-said">${effectSentence(e, formats)}</p>${datesSaid(dates)}`}
    <div class="scroll" tabindex="0" role="region" aria-label="Before and after"><table class="effect"><thead><tr><td></td><th scope="col" class="num">Before</th><th scope="col" class="num">After</th>${along ? html`<th scope="col" class="num">With ${names} too</th>` : ""}</tr></thead><tbody>
    ${row("Authorised amount", money(e.authorised_before), html`<strong>${money(e.authorised_after)}</strong>`, money(others.authorised_after))}
    ${row("This change", "", money(e.amount), money(others.amount))}
    ${row("Promise", formats.day(dates.promise_before), html`<strong>${formats.day(dates.promise_after)}</strong>`, formats.day(others.dates.promise_after))}
    ${row("Forecast finish", formats.day(dates.finish_before), formats.day(dates.finish_after), formats.day(others.dates.finish_after))}
    ${row("Finish moves", "", daysWords(dates.days), daysWords(others.dates.days))}
    ${row("Hours", "", signed(formats.hours(e.hours)), "")}
    ${row("Originality points", "", pointsWords(e.points_originality), "")}
    ${row("Condition points", "", pointsWords(e.points_condition), "")}
    </tbody></table></div>${e.floor ? otherCars(e.floor, formats) : ""}
    <p class="${e.consent_due ? "note watch" : "note"}">${e.consent_why} Work on it begins only with a recorded decision.</p>
    <p class="small no-print">Cost ${money(e.cost)}, margin ${money(e.margin)}: for you only. Confidence of dates not yet computed.</p>
    ${priceLines(e, formats)}${moves(e, formats)}`;
}

/**
 * What an order does to the other cars of the shop; broken promises stand out.
 * @param {Schemas["OrderFloor"]} floor @param {Formats} formats
 */
function otherCars({ cars, own_days }, formats) {
  const own = html`<p class="small no-print">By its own schedule this car would finish ${finishWords(own_days)}.</p>`;
  if (cars.length === 0)
    return html`<p class="no-print" id="other-cars">No other car finishes on another day.</p>${own}`;
  /** @param {Schemas["CarMove"]} car */
  const row = (car) =>
    html`<tr><th scope="row"><a href="/shop/jobs/${car.job_id}">${car.number}, ${car.car}</a></th><td class="num">${formats.day(car.before)}</td><td class="num">${formats.day(car.after)}</td><td class="num">${car.promise ? formats.day(car.promise) : "none"}${car.late ? html` <span class="state ${car.breaks ? "stop" : "watch"}">${car.breaks ? "no longer kept" : "late already"}</span>` : ""}</td></tr>`;
  return html`<section class="no-print" id="other-cars" aria-labelledby="other-cars-h"><h3 id="other-cars-h">What it does to the other cars</h3><p class="small">For you only: the client does not see it.</p>
    <div class="scroll" tabindex="0" role="region" aria-label="Other cars"><table><thead><tr><th scope="col">Car</th><th scope="col" class="num">Finish before</th><th scope="col" class="num">After</th><th scope="col" class="num">Promise</th></tr></thead><tbody>${cars.map(row)}</tbody></table></div>${own}</section>`;
}

/** @param {string} figure */
const signed = (figure) => figure.replace("-", "−");

// @ts-check
// What the client's selection does, as the server computed it: this change, the new total, the new date,
// points; alone and together with the other orders that wait.

import "../../components/bf-figure.js";
import { datesSaid, effectSentence, moves, pointsWords, priceLines } from "../../components/effect-words.js";
import { html, make, render } from "../../lib/html.js";
import { confidence, word } from "../../lib/words.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @typedef {Schemas["ClientEffect"]} Effect */

/** @param {HTMLElement} place @param {Formats} formats @returns {(effect: Effect, open: boolean) => void} */
export function effectPanel(place, formats) {
  const [amount, total, date, originality, condition] = Array.from({ length: 5 }, () =>
    make("bf-figure", {}),
  );
  const said = document.createElement("div");
  const more = document.createElement("div");
  // The figures stay in the page: each shows for a moment what it was before.
  render(
    place,
    html`<section class="sheet letter" aria-labelledby="effect-h"><h2 id="effect-h">What it comes to</h2><div aria-live="polite">${said}</div><div class="figures">${amount}${total}${date}${originality}${condition}</div>${more}</section>`,
  );
  return (effect, open) => {
    const { dates, currency } = effect;
    const money = (/** @type {string} */ value) => formats.money(value, currency);
    const sure = `confidence: ${word(confidence, effect.confidence)}`;
    render(said, html`<p class="sentence">${effectSentence(effect, formats)}</p>${datesSaid(dates)}`);
    /** @type {[HTMLElement | undefined, string, string, string][]} */
    const figures = [
      [amount, "This change, tax included", money(effect.amount), ""],
      [
        total,
        open ? "New total, tax included" : "Total with it, tax included",
        money(effect.authorised_after),
        `before: ${money(effect.authorised_before)}`,
      ],
      [
        date,
        "Promised for",
        formats.day(dates.promise_after),
        `before: ${formats.day(dates.promise_before)}; ${sure}`,
      ],
      [originality, "Originality", `${pointsWords(effect.points_originality)} points`, ""],
      [condition, "Condition", `${pointsWords(effect.points_condition)} points`, ""],
    ];
    for (const [figure, label, value, note] of figures)
      if (figure) Object.assign(figure, { label, value, note });
    render(
      more,
      html`${open ? together(effect, formats) : ""}${priceLines(effect, formats)}${moves(effect, formats)}`,
    );
  };
}

/** @param {Effect} e @param {Formats} formats */
function together({ amount, authorised_after, dates, with_others: all, currency }, formats) {
  if (all.orders.length === 0) return "";
  const money = (/** @type {string} */ value) => formats.money(value, currency);
  const others = all.orders.map(
    ({ id, number }, i) =>
      html`${i > 0 ? "," : ""} <a href="/client/orders/${id}">change order ${number}</a>`,
  );
  return html`<section><h3>Alone and together</h3><p>Something else waits for you too:${others}. Together means with that as the shop advises it.</p>
    <div class="scroll"><table class="wraps"><thead><tr><td></td><th scope="col" class="num">Alone</th><th scope="col" class="num">Together</th></tr></thead><tbody>
    <tr><th scope="row">Change</th><td class="num">${money(amount)}</td><td class="num">${money(all.amount)}</td></tr>
    <tr><th scope="row">New total</th><td class="num">${money(authorised_after)}</td><td class="num">${money(all.authorised_after)}</td></tr>
    <tr><th scope="row">Promised for</th><td class="num">${formats.day(dates.promise_after)}</td><td class="num">${formats.day(all.dates.promise_after)}</td></tr>
    </tbody></table></div></section>`;
}

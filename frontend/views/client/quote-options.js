// @ts-check
// What the client may combine in a quote: one of each group, extras or not. Every choice is reckoned by the
// server; the figures of the page follow, and the inputs stay as they are, so that nobody loses their place.

import { daysWords, pointsWords } from "../../components/effect-words.js";
import { attr, html } from "../../lib/html.js";

/** @import { ClientQuote, Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @typedef {Schemas["QuoteOption"]} Option */

/** Options in their groups, extras last, each in the order of the shop. @param {Option[]} options @returns {[string, Option[]][]} */
export function grouped(options) {
  /** @type {Map<string, Option[]>} */
  const groups = new Map();
  for (const option of options) {
    if (!option.group) continue;
    groups.set(option.group, [...(groups.get(option.group) ?? []), option]);
  }
  const extras = options.filter((option) => !option.group);
  return [...groups, ...(extras.length > 0 ? [/** @type {[string, Option[]]} */ (["", extras])] : [])];
}

/** @param {ClientQuote} quote @param {Formats} formats */
export function choices(quote, formats) {
  if (quote.options.length === 0) return "";
  const open = quote.state === "open";
  return html`<section aria-labelledby="choose-h" id="choose"><h2 id="choose-h">${open ? "What you can choose" : "What was chosen"}</h2>
    ${open ? html`<p>Total, date and work below follow what you choose. The shop's advice is chosen to begin with.</p>` : ""}
    ${grouped(quote.options).map(([group, options], g) =>
      open
        ? html`<fieldset class="options"><legend>${group || "Extras, taken or left"}</legend>${options.map((o) => choice(o, `group-${g}`, quote.currency, formats))}</fieldset>`
        : html`<h3>${group || "Extras"}</h3><ul class="rows">${options.map((o) => became(o, quote.state === "accepted", formats, quote.currency))}</ul>`,
    )}</section>`;
}

/** @param {Option} o @param {string} group @param {string} currency @param {Formats} formats */
function choice(o, group, currency, formats) {
  return html`<label class="choose"><input type="${o.group ? "radio" : "checkbox"}" name="${o.group ? group : `extra-${o.id}`}" value="${o.id}" data-option ${attr("checked", o.taken)}><span><strong>${o.name}</strong>
    ${o.advised ? html`<span class="state firm">The shop advises this</span>` : ""}${o.note ? html`<br>${o.note}` : ""}
    <br><span class="num" data-says="${o.id}">${says(o, currency, formats)}</span>
    <br><span class="second">${buys(o, currency, formats)}</span></span></label>`;
}

/** What a change of this choice does. @param {Option} o @param {string} currency @param {Formats} formats */
export function says(o, currency, formats) {
  if (o.group && o.taken) return "In the total as it stands.";
  const off = o.difference.startsWith("-");
  const money = formats.money(o.difference.replace("-", ""), currency);
  const date = o.days === 0 ? "the date stays" : `finished ${daysWords(o.days)}`;
  if (o.taken) return `In the total. Without it ${money} ${off ? "less" : "more"}, ${date}.`;
  return `${money} ${off ? "less" : "more"}, tax included; ${date}.`;
}

/** What belongs to it. @param {Option} o @param {string} currency @param {Formats} formats */
function buys(o, currency, formats) {
  const points = [
    ["originality", o.points_originality],
    ["condition", o.points_condition],
  ].flatMap(([of, by = ""]) => (/[1-9]/.test(by) ? [`${of} ${pointsWords(by)}`] : []));
  return `Its work and material ${formats.money(o.net, currency)} before tax${/[1-9]/.test(o.hours) ? `, ${formats.hours(o.hours)}` : ""}${points.length > 0 ? `; judged points: ${points.join(", ")}` : ""}.`;
}

/** @param {Option} o @param {boolean} accepted @param {Formats} formats @param {string} currency */
function became(o, accepted, formats, currency) {
  const word = o.taken ? (accepted ? "Chosen" : "Advised") : accepted ? "Not taken" : "Not advised";
  return html`<li ${attr("data-left", !o.taken)}><strong>${word}:</strong> ${o.name}${o.note ? html`. ${o.note}` : ""} <span class="second">${buys(o, currency, formats)}</span></li>`;
}

/** What is chosen now. @param {Element} root @returns {string[]} */
export const chosen = (root) =>
  [.../** @type {NodeListOf<HTMLInputElement>} */ (root.querySelectorAll("input[data-option]:checked"))].map(
    (input) => input.value,
  );

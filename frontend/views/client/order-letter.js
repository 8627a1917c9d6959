// @ts-check
// A change order as a letter: why, and each item with what was found, the options the client chooses between
// and what happens if nothing is done.

import { finishWords, pointsWords } from "../../components/effect-words.js";
import { attr, html } from "../../lib/html.js";
import { decisionHow, orderState, word } from "../../lib/words.js";
import { finding } from "./found.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @typedef {Schemas["ClientOrder"]} ClientOrder */
/** @typedef {Schemas["ClientOrderItem"]} Item */
/** @typedef {Map<string, string>} Chosen item key to option key; empty: left */

/** @type {Record<string, string>} */
const comesFrom = {
  inspection: "From the inspection after stripping",
  finding: "From what was found",
  client_wish: "You asked for this",
  price_change: "A price has changed",
  correction: "A correction",
};

/** @param {Schemas["OrderChoices"]} choices @returns {Chosen} */
export const chosenOf = (choices) => new Map(choices.map((c) => [c.item_key, c.option_key ?? ""]));

/** @param {ClientOrder} order @param {Formats} formats */
export function opening({ summary: o, kind, reason, note, effect, decision: d, withdrawn_reason }, formats) {
  const last = formats.lastDay(o.expires_at);
  return html`<h1>Change order ${o.number}: ${o.title}</h1>
    ${
      d
        ? html`<div class="note ${d.outcome === "approved" ? "good" : ""}"><p><strong>${word(orderState, o.state)}</strong> by ${d.name}, ${word(decisionHow, d.how)}, ${formats.instant(d.decided_at)}${d.outcome === "approved" ? `, for ${formats.money(d.amount, effect.currency)}${d.revised_total ? `; ${formats.money(d.revised_total, effect.currency)} in all` : ""}` : ""}.</p>${d.signature ? html`<p>Signed: <span class="signature">${d.signature}</span></p>` : ""}${d.reason ? html`<p>Reason: ${d.reason}</p>` : ""}</div>`
        : ""
    }
    ${o.state === "withdrawn" ? html`<p class="note watch"><strong>Withdrawn by the shop.</strong> ${withdrawn_reason ?? ""} It can no longer be decided; it stays here to be read.</p>` : ""}
    ${o.state === "expired" ? html`<p class="note watch"><strong>Expired on ${formats.day(last)} without a decision.</strong> Nothing of it is agreed. Ask the shop if you still want it: price and date are reckoned anew.</p>` : ""}
    <p class="second">${word(comesFrom, kind)}, sent ${formats.day(formats.dayOf(o.sent_at))}.${o.state === "sent" ? html` <strong>Holds until ${formats.day(last)}, ${formats.relativeDay(last)}.</strong>` : ""}</p>
    ${reason ? html`<p class="sentence terms">${reason}</p>` : ""}${note ? html`<p class="terms">${note}</p>` : ""}`;
}

/** @param {ClientOrder} order @param {Chosen} chosen @param {Formats} formats */
export function items(order, chosen, formats) {
  return html`${order.items.map(
    (
      item,
    ) => html`<section class="sheet" aria-labelledby="item-${item.key}"><h2 id="item-${item.key}">${item.title}</h2>
    ${item.why ? html`<p class="terms">${item.why}</p>` : ""}
    ${item.findings.length > 0 ? html`<ul class="rows">${item.findings.map((f) => finding(f, formats))}</ul>` : ""}
    ${order.summary.state === "sent" ? options(item, chosen, order, formats) : html`<p>${taken(item, order)}</p>`}
    ${warns(item, order) ? html`<p class="note watch"><strong>If nothing is done:</strong> <span class="terms">${item.if_not}</span></p>` : ""}</section>`,
  )}`;
}

/** Whether what happens if nothing is done is said by itself: the choice to leave an item says it already. @param {Item} item @param {ClientOrder} order */
function warns({ key, if_not, may_leave }, { summary, decision }) {
  if (!if_not) return false;
  if (summary.state === "sent") return !may_leave;
  return !decision?.choices.some((c) => c.item_key === key && c.option_key);
}

/** @param {Item} item @param {Chosen} chosen @param {ClientOrder} order @param {Formats} formats */
function options(item, chosen, order, formats) {
  const one = item.options.length === 1;
  const how = one ? (item.may_leave ? "Take it or leave it" : "Belongs to this order") : "Choose one";
  const now = chosen.get(item.key) ?? "";
  /** @param {string} key @param {unknown} words */
  const option = (key, words) =>
    html`<label class="choose"><input type="radio" name="${item.key}" value="${key}" id="choice-${item.key}-${key}" ${attr("checked", key === now)}><span>${words}</span></label>`;
  return html`<fieldset class="options"><legend>${how}<span class="visually-hidden">: ${item.title}</span></legend>
    ${item.options.map((o) => option(o.key, html`<strong>${o.name}</strong> ${o.advised ? html`<span class="state firm">The shop advises this</span>` : ""}${o.note ? html`<br>${o.note}` : ""}<br>${buys(o, order.effect.currency, formats)}`))}
    ${item.may_leave ? option("", html`<strong>Leave it</strong>${item.if_not ? html`<br><span class="second">${item.if_not}</span>` : ""}`) : ""}</fieldset>`;
}

/** @param {Schemas["ClientOrderOption"]} o @param {string} currency @param {Formats} formats */
function buys(o, currency, formats) {
  return html`<strong class="num">${formats.money(o.amount, currency)}</strong> <span class="second">by itself, tax included; finished ${finishWords(o.days)}; points: originality ${pointsWords(o.points_originality)}, condition ${pointsWords(o.points_condition)}</span>`;
}

/**
 * What became of an item: what was advised, what was agreed or left.
 * @param {Item} item @param {ClientOrder} order @param {boolean} [means] with what leaving it means
 */
export function taken(item, { decision }, means = false) {
  const advised = item.options.find((o) => o.advised)?.name;
  const said = advised ? `Advised: ${advised}. ` : "";
  if (!decision) return html`${said}Not decided.`;
  const key = decision.choices.find((c) => c.item_key === item.key)?.option_key;
  const option = key && item.options.find((o) => o.key === key);
  if (option)
    return html`${means ? html`${item.title}. ` : ""}${said}<strong>Agreed: ${option.name}.</strong>`;
  return html`${means ? html`${item.title}. ` : ""}${said}<strong>Left.</strong> ${means && item.if_not ? html`What it means: ${item.if_not}` : ""}`;
}

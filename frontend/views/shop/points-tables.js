// @ts-check
// Judged points in the drawing's language: each item's maximum as a thin box, what would be lost as found
// hatched in it, what is left after the work in solid ink. The figures stand beside, the reasons below.

import { pointsWords } from "../../components/effect-words.js";
import { html } from "../../lib/html.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @typedef {Schemas["JobPoints"]} Points */

/** @param {string} figure */
const none = (figure) => /^-?0*(\.0*)?$/.test(figure);

/** @param {Points} now @param {Formats} formats */
export function pointsTable(now, formats) {
  if (!now.sheet) return html``;
  const widest = Math.max(1, ...now.items.map((i) => Number(i.maximum.total)));
  return html`<section class="sheet" aria-labelledby="items-h"><h3 id="items-h">As found, and after the work</h3>
    <svg width="0" height="0" aria-hidden="true"><defs><pattern id="points-hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line class="hatch" x1="0" x2="0" y1="0" y2="6"></line></pattern></defs></svg>
    <ul class="watch-key"><li>${sample("points-found")} lost as found</li><li>${sample("points-after")} lost after the work</li><li>${sample("points-most")} the most that can be lost</li></ul>
    <div class="shop-scroll" tabindex="0" role="region" aria-label="Items of the sheet"><table class="shop-list points"><caption>Points that a judge could deduct: originality and condition.</caption>
    <thead><tr><th scope="col">Item</th><th scope="col"><span class="visually-hidden">Drawn</span></th><th scope="col" class="num">At most</th><th scope="col" class="num">As found</th><th scope="col" class="num">After</th></tr></thead>
    <tbody>${now.items.map((i) => item(i, widest))}</tbody>
    <tfoot>${now.entered.map(entered)}<tr><th scope="row" colspan="2">Together</th><td class="num">${pair(now.maximum)}</td><td class="num"><strong>${pair(now.as_found)}</strong></td><td class="num"><strong>${pair(now.after)}</strong></td></tr></tfoot></table></div>
    ${now.unmatched.length > 0 ? html`<p class="second">No item deducts for ${now.unmatched.map((u) => `finding ${u.finding} (${u.what.replaceAll("_", " ")}, ${u.where})`).join(", ")}.</p>` : ""}
    <p class="second">What an event deducts is its judges' own. Steel that nobody has seen counts as the sheet says for hidden.</p></section>
    ${options(now, formats)}`;
}

/** @param {string} kind */
const sample = (kind) =>
  html`<svg width="28" height="14" aria-hidden="true"><rect class="${kind}" x="1" y="2" width="26" height="10"></rect></svg>`;

/** @param {Schemas["PointsPair"]} p */
const pair = (p) => html`${p.total}<span class="points-parts">${p.originality} + ${p.condition}</span>`;

/** @param {Schemas["PointsItem"]} i @param {number} widest */
function item(i, widest) {
  // Places on a drawing, not points: pixels may be rounded.
  const w = (/** @type {string} */ figure) => `${Math.max(0, (Number(figure) / widest) * 100).toFixed(2)}%`;
  return html`<tr><th scope="row">${i.name}${reasons(i)}</th>
    <td class="points-drawn"><svg width="100%" height="30" aria-hidden="true"><rect class="points-found" x="0" y="3" width="${w(i.as_found.total)}" height="11"></rect><rect class="points-after" x="0" y="17" width="${w(i.after.total)}" height="9"></rect><rect class="points-most" x="0.5" y="1.5" width="${w(i.maximum.total)}" height="27"></rect></svg></td>
    <td class="num">${pair(i.maximum)}</td><td class="num">${pair(i.as_found)}</td><td class="num">${pair(i.after)}</td></tr>`;
}

/** @param {Schemas["PointsItem"]} i */
function reasons(i) {
  if (i.reasons.length === 0) return html`<p class="second small">Nothing counts against it.</p>`;
  const held = i.before_maximum.total !== i.as_found.total;
  return html`<details id="why-${i.item}"><summary>Why, ${i.reasons.length} ${i.reasons.length === 1 ? "reason" : "reasons"}</summary><ul class="rows small">${i.reasons.map((r) => html`<li><strong>${r.where}</strong>: ${r.words} <span class="second">${none(r.originality) ? "" : `${round(r.originality)} originality `}${none(r.condition) ? "" : `${round(r.condition)} condition`}${r.put_right ? `; put right by ${r.put_right}` : "; stays"}</span></li>`)}</ul>${held ? html`<p class="second small">Together ${i.before_maximum.total}, held to the maximum: work first brings that down before it buys a point.</p>` : ""}</details>`;
}

/** To two places; the sum is the server's. @param {string} figure */
const round = (figure) => Number(figure).toFixed(2);

/** @param {Schemas["PointsEntered"]} e */
function entered(e) {
  const of =
    e.source === "order"
      ? `change order ${e.number}`
      : e.source === "finding"
        ? `finding ${e.number}`
        : "option";
  const figure = `${e.originality} + ${e.condition}`;
  const says =
    e.source === "finding"
      ? ["", e.as_found ? figure : "", e.after ? figure : "put right"]
      : ["", "", e.after ? `gained ${figure}` : `not counted (${figure})`];
  return html`<tr><th scope="row" colspan="2">${e.name} <span class="state ranged">entered by the shop</span> <span class="second small">${of}${e.item ? `, “${e.item}” is on no item of the sheet` : ""}</span></th>${says.map((text) => html`<td class="num">${text}</td>`)}</tr>`;
}

/** @param {Points} now @param {Formats} formats */
function options(now, formats) {
  if (now.options.length === 0) return html``;
  const money = (/** @type {string | undefined} */ value) =>
    value ? formats.money(value, now.currency) : "–";
  return html`<section class="sheet" aria-labelledby="buys-h"><h3 id="buys-h">What the options buy</h3>
    <div class="shop-scroll" tabindex="0" role="region" aria-label="What the options buy"><table class="shop-list"><caption>Costs are net, before tax, of what belongs to an option. The last three columns change what is ${now.decided ? "agreed" : "advised"}.</caption>
    <thead><tr><th scope="col">Option</th><th scope="col" class="num">Net</th><th scope="col" class="num">Buys</th><th scope="col" class="num">A point costs</th><th scope="col" class="num">Changes net by</th><th scope="col" class="num">Buys more</th><th scope="col" class="num">A further point costs</th></tr></thead>
    <tbody>${now.options.map(
      (
        o,
      ) => html`<tr><th scope="row">${o.group ? html`<span class="second">${o.group}:</span> ` : ""}${o.name} <span class="state ${o.taken ? "firm" : "ranged"}">${o.order ? `taken with order ${o.order}` : o.taken ? (now.decided ? "agreed" : "advised") : now.decided ? "not taken" : "not advised"}</span></th>
      <td class="num">${money(o.net)}</td><td class="num">${gains(o.bought)}</td><td class="num">${money(o.cost_per_point)}</td>
      ${o.group && o.taken ? html`<td class="num">–</td><td class="num">–</td><td class="num">–</td>` : html`<td class="num">${money(o.against.net)}</td><td class="num">${gains(o.against.bought)}</td><td class="num">${money(o.against.cost_per_point)}</td>`}</tr>`,
    )}</tbody></table></div></section>`;
}

/** @param {Schemas["PointsPair"]} p */
const gains = (p) =>
  html`${pointsWords(p.total)}<span class="points-parts">${pointsWords(p.originality)} / ${pointsWords(p.condition)}</span>`;

/** The best set, and what was shown about it. @param {Points} now @param {Formats} formats */
export function proven(now, formats) {
  const { best, frontier } = now;
  if (!best) return html``;
  const money = (/** @type {string} */ value) => formats.money(value, now.currency);
  const named = (/** @type {string[]} */ ids) =>
    ids.map((id) => now.options.find((o) => o.id === id)?.name ?? "").join(", ") || "none of the options";
  if (best.status === "impossible")
    return html`<p class="note watch">Nothing within that: one of each choice has to be taken, and the cheapest cost more.</p>`;
  const looked = `${best.nodes} ${best.nodes === 1 ? "set" : "sets"} looked at`;
  const shown =
    best.status === "optimal"
      ? html`<span class="state good">proven best: ${looked}</span> No other set within the budget buys more, and none that buys as much costs less.`
      : html`<span class="state watch">not proven: stopped after ${looked}</span> No set within the budget buys more than ${best.bound} points.`;
  return html`${best.set ? html`<p><strong>${named(best.set.option_ids)}</strong>: ${money(best.set.net)} net buy ${pointsWords(best.set.bought.total)} points${best.set.cost_per_point ? `, ${money(best.set.cost_per_point)} a point` : ""}; ${best.after?.total ?? ""} would still be lost on the sheet.</p>` : ""}<p>${shown}</p>
    ${frontier && frontier.length > 1 ? html`<details id="frontier" open><summary>What more money buys, ${frontier.length} steps</summary><div class="shop-scroll" tabindex="0" role="region" aria-label="What more money buys"><table class="shop-list"><thead><tr><th scope="col" class="num">From a budget of</th><th scope="col" class="num">Buys</th><th scope="col">Set</th></tr></thead><tbody>${frontier.map((s) => html`<tr><td class="num">${money(s.net)}</td><td class="num">${pointsWords(s.bought.total)}</td><td>${named(s.option_ids)}</td></tr>`)}</tbody></table></div></details>` : ""}`;
}

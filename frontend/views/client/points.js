// @ts-check
// The client's car on the shop's judging sheet: one sentence, and behind it the items with their reasons.

import { html } from "../../lib/html.js";

/** @import { Schemas } from "../../lib/contract.js" */

/** @param {Schemas["ClientPoints"] | undefined} points nothing where it could not be read */
export function judged(points) {
  if (!points?.judged) return html``;
  const { items, as_found, after, maximum, sheet } = points;
  const most = maximum?.total ?? "";
  return html`<section aria-labelledby="judged-h" id="judged"><h2 id="judged-h">How it could be judged</h2>
    <p>${points.sentence}</p>
    <details id="judged-items"><summary>Item by item, sheet “${sheet}”</summary>
    <div class="scroll" tabindex="0" role="region" aria-label="Judged item by item"><table><caption>Points that a judge could deduct, originality and condition together.</caption><thead><tr><th scope="col">Item</th><th scope="col" class="num">At most</th><th scope="col" class="num">As found</th>${after ? html`<th scope="col" class="num">After the work</th>` : ""}</tr></thead>
    <tbody>${items.map((i) => html`<tr><th scope="row">${i.name}${why(i)}</th><td class="num">${i.maximum.total}</td><td class="num">${i.as_found.total}</td>${after ? html`<td class="num">${i.after?.total ?? ""}</td>` : ""}</tr>`)}</tbody>
    <tfoot><tr><th scope="row">Together</th><td class="num">${most}</td><td class="num">${as_found?.total ?? ""}</td>${after ? html`<td class="num">${after.total}</td>` : ""}</tr></tfoot></table></div>
    <p class="second">An expectation of the shop's, not a promise: what an event deducts is its judges' own. What each choice buys stands with it.</p></details></section>`;
}

/** @param {Schemas["ClientPointsItem"]} i */
function why({ reasons }) {
  if (reasons.length === 0) return "";
  return html`<details class="no-print"><summary>${reasons.length === 1 ? "1 reason" : `${reasons.length} reasons`}</summary><ul class="second small">${reasons.map((r) => html`<li>${r.where}: ${r.words}${r.put_right ? ", put right" : ""}</li>`)}</ul></details>`;
}

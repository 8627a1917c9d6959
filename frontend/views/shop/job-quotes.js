// @ts-check
// The issued revisions of a job: issuing the next, the client's private links, and what was decided.

import { clientLinks } from "../../components/shop-client-links.js";
import { tone } from "../../components/shop-words.js";
import { html, on, render } from "../../lib/html.js";
import { decisionHow, quoteState, word } from "../../lib/words.js";
import { issueQuote, recordDecision, withdrawQuote } from "./quote-sheets.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @param {HTMLElement} root @param {JobDesk} desk @returns {(own: boolean) => void} */
export function quotes(root, desk) {
  const list = document.createElement("div");
  const links = document.createElement("div");
  render(root, html`<div class="stack"><h2 class="visually-hidden">Quotes</h2>${list}${links}</div>`);
  const draw = () => render(list, revisions(desk));
  draw();
  const { client } = desk.page.job;
  void clientLinks(links, {
    person: client.id,
    name: client.name,
    job: desk.id,
    number: desk.page.job.number,
    formats: desk.formats,
    signal: desk.signal,
  });
  const { signal } = desk;
  on(root, "click", "#issue", () => void issueQuote(desk), signal);
  on(
    root,
    "click",
    "[data-decide]",
    (button) => void recordDecision(desk, button.dataset["decide"] ?? ""),
    signal,
  );
  on(
    root,
    "click",
    "[data-withdraw]",
    (button) => void withdrawQuote(desk, button.dataset["withdraw"] ?? ""),
    signal,
  );
  return draw;
}

/** @param {JobDesk} desk */
function revisions({ page, formats }) {
  const ended = ["closed", "declined", "cancelled", "finished"].includes(page.job.state);
  const issue = ended
    ? ""
    : html`<button type="button" class="act" id="issue">Issue ${page.quotes.length === 0 ? "the first quote" : "the next revision"}</button>`;
  if (page.quotes.length === 0)
    return html`<div class="empty"><p>No quote issued yet. When the estimate is as you want it, issue it: total, dates and terms are fixed in a numbered document that the client can accept.</p>${issue}</div>`;
  return html`<p class="shop-actions">${issue}</p>
    <div class="shop-scroll"><table class="shop-list shop-stack"><caption>Issued revisions, newest first. What was issued never changes.</caption>
    <thead><tr><th scope="col">Quote</th><th scope="col">State</th><th scope="col">Issued</th><th scope="col">Holds until</th><th scope="col">Finish</th><th scope="col" class="num">Total</th><th scope="col">Decision</th><th scope="col">Do</th></tr></thead>
    <tbody>${page.quotes.map((quote) => row(quote, formats))}</tbody></table></div>`;
}

/** @param {Schemas["QuoteSummary"]} quote @param {Formats} formats */
function row(quote, formats) {
  return html`<tr>
    <th scope="row" data-label="Quote">${quote.number}, revision ${quote.revision}</th>
    <td data-label="State"><span class="state ${tone[quote.state]}">${word(quoteState, quote.state)}</span></td>
    <td data-label="Issued">${formats.day(formats.dayOf(quote.issued_at))}</td>
    <td data-label="Holds until">${formats.day(formats.lastDay(quote.expires_at))}</td>
    <td data-label="Finish">${formats.day(quote.finish)}</td>
    <td data-label="Total" class="num">${formats.money(quote.total, quote.currency)}</td>
    <td data-label="Decision">${quote.decision ? decision(quote.decision, quote.currency, formats) : "none yet"}</td>
    <td data-label=""><span class="shop-actions"><a class="button" href="/api/quotes/${quote.id}/document" target="_blank" rel="noopener">Open the document<span class="visually-hidden"> of ${quote.number} in a new tab</span></a>
      <a class="button" href="/api/quotes/${quote.id}/document?as=pdf" target="_blank" rel="noopener">PDF<span class="visually-hidden"> of ${quote.number} in a new tab</span></a>
      <a class="button" href="/api/quotes/${quote.id}/workbook">Spreadsheet<span class="visually-hidden"> of ${quote.number}, as the client may have it</span></a>
      ${quote.state === "open" ? html`<button type="button" id="decide-${quote.id}" data-decide="${quote.id}">Record a decision</button><button type="button" class="grave" id="withdraw-${quote.id}" data-withdraw="${quote.id}">Withdraw</button>` : ""}</span></td>
  </tr>`;
}

/** @param {Schemas["Decision"]} d @param {string} currency @param {Formats} formats */
function decision(d, currency, formats) {
  const how = d.how === "portal" ? "on the private page" : word(decisionHow, d.how);
  return html`<span>${d.outcome === "accepted" ? `Accepted, ${formats.money(d.amount, currency)}` : "Declined"}, ${how}, by ${d.name}, ${formats.instant(d.decided_at)}.${d.said ? ` Said: “${d.said}”.` : ""}${d.reason ? ` Reason: ${d.reason}` : ""}${d.contact ? ` Reached at ${d.contact}.` : ""}${d.recorded_by ? ` Recorded by ${d.recorded_by}.` : ""}</span>`;
}

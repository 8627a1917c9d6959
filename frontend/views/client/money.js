// @ts-check
// Money: what was agreed and how it came about, what was paid, what comes next, and where the shop went on
// beyond the agreed amount, with its reason.

import "../../components/bf-figure.js";
import { live } from "../../components/live.js";
import { get } from "../../lib/call.js";
import { html, make, render } from "../../lib/html.js";
import { paymentHow, word } from "../../lib/words.js";
import { page } from "./page.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @typedef {Schemas["ClientMoney"]} ClientMoney */

/** @type {import("../../lib/router.js").View} */
export default async function view(root, params, context) {
  const { signal, formats } = context;
  const job = params["job"] ?? "";
  const place = page(root, job, "Money");
  await live({
    job,
    context,
    place: root,
    read: () => get("/api/client/jobs/{job}/money", { path: { job }, signal }),
    draw: (money) => render(place, screen(money, formats)),
  });
}

/** @param {ClientMoney} m @param {Formats} formats */
function screen(m, formats) {
  const money = (/** @type {string} */ amount) => formats.money(amount, m.currency);
  if (m.agreed.length === 0)
    return html`<p class="empty">Nothing is agreed yet. When you accept a quote, its amount and how it is paid stand here.</p>`;
  return html`<section class="sheet letter" aria-labelledby="agreed-h"><h2 id="agreed-h">What was agreed</h2>
    <div class="figures">${make("bf-figure", { label: "Agreed, tax included", value: money(m.authorised), note: "nothing beyond it without your yes" })}${make("bf-figure", { label: "Paid so far", value: money(m.paid) })}</div>
    <table><caption>How it came about</caption><thead><tr><th scope="col">What</th><th scope="col">When</th><th scope="col" class="num">Amount</th></tr></thead>
    <tbody>${m.agreed.map((a) => html`<tr><th scope="row">${a.order ? html`<a href="/client/orders/${a.order.id}">Change order ${a.order.number}: ${a.what}</a>` : a.what}</th><td>${formats.day(formats.dayOf(a.at))}</td><td class="num">${money(a.amount)}</td></tr>`)}</tbody>
    <tfoot><tr><th scope="row" colspan="2">Agreed in all</th><td class="num">${money(m.authorised)}</td></tr></tfoot></table></section>
    ${m.overrides.length > 0 ? overrides(m.overrides, money, formats) : ""}
    <section class="sheet" aria-labelledby="paid-h"><h2 id="paid-h">What was paid</h2>
    ${m.payments.length === 0 ? html`<p class="second">No payment is noted yet.</p>` : html`<table><thead><tr><th scope="col">When</th><th scope="col">How</th><th scope="col" class="num">Amount</th></tr></thead><tbody>${m.payments.map((p) => html`<tr><th scope="row">${formats.day(p.paid_on)}</th><td>${word(paymentHow, p.how)}</td><td class="num">${money(p.amount)}</td></tr>`)}</tbody><tfoot><tr><th scope="row" colspan="2">Paid in all</th><td class="num">${money(m.paid)}</td></tr></tfoot></table>`}</section>
    ${m.draws.length > 0 ? html`<section class="sheet" aria-labelledby="next-h"><h2 id="next-h">What comes next</h2><p>How it is paid, as agreed in the quote; expected days are as the work stands today.</p><table><thead><tr><th scope="col">When</th><th scope="col" class="num">Share</th><th scope="col" class="num">Amount</th></tr></thead><tbody>${m.draws.map((d) => html`<tr><th scope="row">${d.name}${d.when ? html`<br><span class="small">${d.when}.</span>` : ""}${d.pay_by ? html`<br><span class="small">To be paid by ${formats.day(d.pay_by)}.</span>` : ""}</th><td class="num">${formats.percent(d.percent)}</td><td class="num">${money(d.amount)}</td></tr>`)}</tbody></table></section>` : ""}`;
}

/** @param {Schemas["Override"][]} all @param {(amount: string) => string} money @param {Formats} formats */
function overrides(all, money, formats) {
  return html`<section class="sheet" aria-labelledby="beyond-h"><h2 id="beyond-h">Work beyond what was agreed</h2><p>The shop let work go on beyond the agreed amount, for the reason given. Ask the shop if something is not clear.</p><ul class="rows">${all.map((o) => html`<li><strong>Up to ${money(o.up_to)}</strong>: <span class="terms">${o.reason}</span> <span class="small">${o.by}, ${formats.instant(o.at)}</span></li>`)}</ul></section>`;
}

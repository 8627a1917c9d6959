// @ts-check
// The money of a job so far: what was agreed and how it came about, what was used of it, what was paid, what
// was bought, and the bill if the work stopped now.

import { live } from "../../components/live.js";
import { watchBar, watchSentence, watchWord } from "../../components/shop-watch.js";
import { counted } from "../../components/shop-words.js";
import { get } from "../../lib/call.js";
import { attr, html, on, render } from "../../lib/html.js";
import { paymentHow, word } from "../../lib/words.js";
import { addPayment, noteSupply, override, supplyWord, voidPayment } from "./money-sheets.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @typedef {Schemas["JobMoney"]} Money */

/** @param {HTMLElement} root @param {JobDesk} desk @returns {Promise<(own: boolean) => void>} */
export async function money(root, desk) {
  const { signal } = desk;
  const place = document.createElement("div");
  render(root, html`<h2 class="visually-hidden">Money</h2>${place}`);
  const reading = await live({
    job: desk.id,
    context: desk.context,
    place: root,
    read: () => get("/api/jobs/{job}/money", { path: { job: desk.id }, signal }),
    draw: (data) => render(place, page(data, desk)),
  });
  const acts = { pay: addPayment, override, void: voidPayment, supply: noteSupply };
  on(
    root,
    "click",
    "[data-act]",
    (button) => {
      const act = acts[/** @type {keyof typeof acts} */ (button.dataset["act"])];
      if (reading.now) void act({ desk, money: reading.now, take: reading.take }, button.dataset["of"] ?? "");
    },
    signal,
  );
  return () => undefined;
}

/** @param {Money} m @param {JobDesk} desk */
function page(m, { id, formats }) {
  if (m.agreed.length === 0)
    return html`<div class="empty"><p>Nothing is agreed yet. Once the client accepts a quote, what is worked, bought and paid is counted against it here.</p></div>`;
  const [frame, state] = watchWord[m.state];
  return html`<div class="stack"><section class="sheet"><div class="row between"><h3>What is used of it</h3><span class="state ${frame}">${state}</span></div>
    <p class="lead">${watchSentence(m, formats)}</p>${watchBar(m, formats)}
    <p class="shop-actions no-print"><button type="button" data-act="override" id="override">Let work go on past the stop</button></p>
    ${m.overrides.length > 0 ? html`<ul class="shop-plain">${m.overrides.map((o) => html`<li>Up to ${formats.money(o.up_to, m.currency)}: ${o.reason} <span class="small">${o.by}, ${formats.instant(o.at)}</span></li>`)}</ul>` : ""}</section>
    <div class="shop-two">${agreed(m, id, formats)}${payments(m, formats)}</div>
    ${draws(m, formats)}${allowances(m, formats)}${stopNow(m, id, formats)}${supplies(m, formats)}</div>`;
}

/** @param {Money} m @param {string} job @param {Formats} formats */
function agreed({ agreed: parts, authorised, currency }, job, formats) {
  return html`<section class="sheet"><h3>What was agreed</h3><table><tbody>${parts.map(
    (p) =>
      html`<tr><th scope="row">${p.order ? html`<a href="/shop/jobs/${job}/orders/${p.order.id}">${p.what}</a>` : p.what}<br><span class="small">${formats.day(formats.dayOf(p.at))}</span></th><td class="num">${formats.money(p.amount, currency)}</td></tr>`,
  )}</tbody><tfoot><tr><th scope="row">Authorised amount</th><td class="num">${formats.money(authorised, currency)}</td></tr></tfoot></table></section>`;
}

/** @param {Money} m @param {Formats} formats */
function payments({ payments: list, paid, invoiced, currency }, formats) {
  return html`<section class="sheet"><h3>What was paid</h3>${
    list.length === 0
      ? html`<p class="second">Nothing yet.</p>`
      : html`<table class="shop-list"><tbody>${list.map(
          (
            p,
          ) => html`<tr ${attr("data-void", p.void)}><td>${formats.day(p.paid_on)}, ${word(paymentHow, p.how)}${p.note ? `, ${p.note}` : ""}</td><td class="num">${formats.money(p.amount, currency)}</td>
    <td class="shop-keep">${p.void ? html`<span class="small">Does not stand: ${p.void_reason ?? ""}</span>` : html`<button type="button" class="plain no-print" data-act="void" data-of="${p.id}" id="void-${p.id}">Does not stand<span class="visually-hidden">: the payment of ${formats.day(p.paid_on)}</span></button>`}</td></tr>`,
        )}</tbody><tfoot><tr><th scope="row">Paid</th><td class="num">${formats.money(paid, currency)}</td><td></td></tr></tfoot></table>`
  }
    <p class="small">Invoiced so far ${formats.money(invoiced, currency)}.</p>
    <p class="shop-actions no-print"><button type="button" data-act="pay" id="pay">Add a payment</button></p></section>`;
}

/** @param {Money} m @param {Formats} formats */
function draws({ draws: list, currency }, formats) {
  if (list.length === 0) return "";
  return html`<section class="sheet"><h3>When it falls due</h3><table class="shop-list shop-stack"><thead><tr><th scope="col">Draw</th><th scope="col">State</th><th scope="col">To be paid by</th><th scope="col" class="num">Amount</th></tr></thead><tbody>${list.map(
    (d) =>
      html`<tr><th scope="row" data-label="Draw">${d.name}${d.when ? html`<br><span class="small">${d.when}.</span>` : ""}</th><td data-label="State"><span class="state ${d.reached ? "firm" : ""}">${d.reached ? "due" : "not due yet"}</span></td><td data-label="To be paid by">${formats.day(d.pay_by)}</td><td data-label="Amount" class="num">${formats.money(d.amount, currency)}</td></tr>`,
  )}</tbody></table></section>`;
}

/** @param {Money} m @param {Formats} formats */
function allowances({ allowances: list, currency }, formats) {
  if (list.length === 0) return "";
  return html`<section class="sheet"><h3>Allowances agreed beforehand</h3><table><thead><tr><th scope="col">For</th><th scope="col" class="num">Cap</th><th scope="col" class="num">Used</th><th scope="col" class="num">Left</th></tr></thead><tbody>${list.map(
    (a) =>
      html`<tr><th scope="row">${a.description}</th><td class="num">${formats.money(a.cap, currency)}</td><td class="num">${formats.money(a.used, currency)}</td><td class="num"><strong>${formats.money(a.left, currency)}</strong></td></tr>`,
  )}</tbody></table></section>`;
}

/** @param {Money} m @param {Formats} formats */
function supplies({ supplies: list, currency }, formats) {
  if (list.length === 0) return "";
  return html`<section><h3>What is bought for it</h3><div class="shop-scroll"><table class="shop-list shop-stack"><caption>${counted(list.length, "line")} of the quote and the orders. Once ordered or fitted, a line counts against the authorised amount.</caption>
    <thead><tr><th scope="col">Line</th><th scope="col" class="num">Quantity</th><th scope="col" class="num">Net</th><th scope="col">State</th><th scope="col">Can it go back</th><th scope="col">Do</th></tr></thead>
    <tbody>${list.map(
      (
        s,
      ) => html`<tr><th scope="row" data-label="Line">${s.description}</th><td data-label="Quantity" class="num">${formats.quantity(s.quantity, s.unit)}</td><td data-label="Net" class="num">${formats.money(s.net, currency)}</td>
      <td data-label="State"><span>${s.state ? html`<span class="state ${s.state === "fitted" ? "firm" : ""}">${word(supplyWord, s.state)}</span>` : "not ordered"}${s.at ? ` ${formats.day(formats.dayOf(s.at))}` : ""}${s.expected_on && s.state === "ordered" ? `, expected ${formats.day(s.expected_on)}` : ""}</span></td>
      <td data-label="Can it go back">${s.state ? `${s.returnable ? `yes, fee ${formats.money(s.restocking_fee, currency)}` : "no"}${s.note ? `; ${s.note}` : ""}` : ""}</td>
      <td data-label=""><button type="button" class="no-print" data-act="supply" data-of="${s.line_id}" id="supply-${s.line_id}">Note<span class="visually-hidden"> what became of ${s.description}</span></button></td></tr>`,
    )}</tbody></table></div></section>`;
}

/** @param {Money} m @param {string} job @param {Formats} formats */
function stopNow({ stop_now: bill, currency, check }, job, formats) {
  const money = (/** @type {string} */ amount) => formats.money(amount, currency);
  /** @param {string} name @param {string} amount */
  const sum = (name, amount) =>
    html`<tr><th scope="row" colspan="2">${name}</th><td class="num">${money(amount)}</td></tr>`;
  return html`<section class="sheet"><h3>If the work stopped now</h3><p>${bill.balance.startsWith("-") ? `The shop owes ${money(bill.balance.slice(1))} back.` : `${money(bill.balance)} is owed.`} As of ${formats.instant(bill.as_of)}.</p>
    <details id="stop-now"><summary>The bill, ${counted(bill.lines.length, "line")}</summary><div class="scroll" tabindex="0" role="region" aria-label="The bill"><table><thead><tr><th scope="col">What</th><th scope="col" class="num">Quantity</th><th scope="col" class="num">Net</th></tr></thead>
    <tbody>${bill.lines.map((l) => html`<tr><td>${l.description}${l.why ? html`<br><span class="small">${l.why}</span>` : ""}</td><td class="num">${formats.quantity(l.quantity, l.unit)}</td><td class="num">${money(l.net)}</td></tr>`)}</tbody>
    <tfoot>${sum("Net", bill.net)}${bill.taxes.map((t) => sum(`Tax ${formats.percent(t.percent)}`, t.tax))}${sum("Total", bill.total)}${sum("Paid", bill.paid)}${sum("Balance", bill.balance)}</tfoot></table></div>
    ${bill.words.map((line) => html`<p class="small">${line}</p>`)}</details>
    <p class="note watch">${check}</p>
    <p class="shop-actions no-print"><a class="button" href="/api/jobs/${job}/stop-now" target="_blank" rel="noopener">Open the bill<span class="visually-hidden"> in a new tab</span></a> <a class="button" href="/api/jobs/${job}/stop-now?as=pdf" target="_blank" rel="noopener">PDF<span class="visually-hidden"> of the bill in a new tab</span></a></p></section>`;
}

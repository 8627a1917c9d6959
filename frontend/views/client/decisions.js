// @ts-check
// Decisions: the change orders that wait, in heavy ink; then those that are settled, as a trace of what was
// advised, what was agreed and what was left, and what that means.

import { finishWords } from "../../components/effect-words.js";
import { live } from "../../components/live.js";
import { get } from "../../lib/call.js";
import { inCurrency } from "../../lib/format.js";
import { html, render } from "../../lib/html.js";
import { orderState, word } from "../../lib/words.js";
import { taken } from "./order-letter.js";
import { page } from "./page.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @typedef {Schemas["ClientOrder"]} ClientOrder */
/** @typedef {{ currency: string, waiting: Schemas["ClientOrderSummary"][], settled: ClientOrder[] }} Decisions */

/** @type {import("../../lib/router.js").View} */
export default async function view(root, params, context) {
  const { signal, formats } = context;
  const job = params["job"] ?? "";
  const place = page(root, job, "Decisions");
  await live({
    job,
    context,
    place: root,
    read: () => read(job, signal),
    draw: (decisions) => render(place, screen(decisions, inCurrency(formats, decisions.currency))),
  });
}

/** @param {string} job @param {AbortSignal} signal @returns {Promise<Decisions>} */
async function read(job, signal) {
  const [{ items }, { currency }] = await Promise.all([
    get("/api/client/jobs/{job}/orders", { path: { job }, signal }),
    get("/api/client/jobs/{job}", { path: { job }, signal }),
  ]);
  const settled = items.filter(({ state }) => state !== "sent");
  return {
    currency,
    waiting: items.filter(({ state }) => state === "sent"),
    settled: await Promise.all(
      settled.map(({ id }) => get("/api/client/orders/{order}", { path: { order: id }, signal })),
    ),
  };
}

/** @param {Decisions} decisions @param {Formats} formats */
function screen({ waiting, settled }, formats) {
  return html`${waiting.length === 0 ? html`<p class="empty">Nothing waits for your decision. When something is found or the work should change, it stands here with its reason, price and date; nothing is done about it before you decide.</p>` : ""}
    ${waiting.map((order) => waits(order, formats))}
    ${settled.length > 0 ? html`<section class="stack" aria-labelledby="settled-h"><h2 id="settled-h">Decided before</h2>${settled.map((order) => trace(order, formats))}</section>` : ""}`;
}

/** @param {Schemas["ClientOrderSummary"]} o @param {Formats} formats */
function waits(o, formats) {
  const last = formats.lastDay(o.expires_at);
  return html`<section class="sheet decide"><h2>Change order ${o.number}: ${o.title}</h2>
    <p>As the shop advises it: ${formats.money(o.amount)}, tax included; finished ${finishWords(o.days)}.</p>
    <p><strong>Holds until ${formats.day(last)}, ${formats.relativeDay(last)}.</strong>${o.questions_open ? " Your question is with the shop." : ""}</p>
    <p><a class="button act" href="/client/orders/${o.id}">Read and decide<span class="visually-hidden"> on change order ${o.number}</span></a></p></section>`;
}

/** @param {ClientOrder} order @param {Formats} formats */
function trace(order, formats) {
  const { summary: o, decision: d, effect } = order;
  return html`<article class="sheet"><h3><a href="/client/orders/${o.id}">Change order ${o.number}: ${o.title}</a></h3>
    <p>${d ? html`<strong>${word(orderState, o.state)}</strong> by ${d.name}, ${formats.day(formats.dayOf(d.decided_at))}${d.outcome === "approved" ? `, for ${formats.money(d.amount, effect.currency)}` : ""}.` : html`<strong>${word(orderState, o.state)}</strong>${order.withdrawn_reason ? ` by the shop: ${order.withdrawn_reason}` : ", without a decision."}`}</p>
    ${d ? html`<ul>${order.items.map((item) => html`<li>${taken(item, order, true)}</li>`)}</ul>` : ""}</article>`;
}

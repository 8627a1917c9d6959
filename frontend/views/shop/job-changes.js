// @ts-check
// What changes a job: findings that wait, gathered at the strip gate; change orders by state; and who may
// authorise them.

import { showProblem } from "../../components/bf-problem.js";
import { sizeWord } from "../../components/frame/seen.js";
import { gradeWord } from "../../components/frame/words.js";
import { live } from "../../components/live.js";
import { photos } from "../../components/photos.js";
import { counted, tone } from "../../components/shop-words.js";
import { get, newKey, post } from "../../lib/call.js";
import { html, on, render } from "../../lib/html.js";
import { findingState, findingWhat, orderKind, orderState, word } from "../../lib/words.js";
import { authorisers, onAuthorisers } from "./authorisers.js";
import { changeFinding, dismissFinding, repairWords, reportFinding, suggestions } from "./finding-sheets.js";
import { draftOrder } from "./order-acts.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @typedef {Schemas["Finding"]} Finding */
/** @typedef {{ findings: Finding[], orders: Schemas["OrderSummary"][], zones: Schemas["Zone"][], people: Schemas["Authoriser"][] }} Changes */

/** What the repair list says of each finding that waits. @typedef {Record<string, Schemas["RepairSuggestion"][]>} Repairs */

/** @param {JobDesk} desk @returns {Promise<Changes>} */
async function read(desk) {
  const { signal } = desk;
  const path = { job: desk.id };
  const [findings, orders, frame, people] = await Promise.all([
    get("/api/jobs/{job}/findings", { path, signal }),
    get("/api/jobs/{job}/orders", { path, signal }),
    get("/api/jobs/{job}/frame", { path, signal }),
    get("/api/jobs/{job}/authorisers", { path, signal }),
  ]);
  return { findings: findings.items, orders: orders.items, zones: frame.zones, people: people.items };
}

/** @param {JobDesk} desk @param {Finding[]} findings @returns {Promise<Repairs>} */
async function repairsOf(desk, findings) {
  const wait = findings.filter((f) => f.state === "reported" && f.repairs.length > 0);
  const all = await Promise.all(
    wait.map(async ({ id, what, condition, length_mm, width_mm, count, repairs: codes }) => {
      const question = { what, condition, length_mm, width_mm, count };
      const list = await suggestions(desk, question).catch(() => []);
      return /** @type {const} */ ([id, list.filter(({ code }) => codes.includes(code))]);
    }),
  );
  return Object.fromEntries(all);
}

/** @param {HTMLElement} root @param {JobDesk} desk @returns {Promise<(own: boolean) => void>} */
export async function changes(root, desk) {
  const { signal, formats } = desk;
  const place = document.createElement("div");
  render(root, html`<h2 class="visually-hidden">Changes</h2>${place}`);
  /** @type {Repairs} */
  let repairs = {};
  /** @param {Changes} data */
  const draw = (data) =>
    render(
      place,
      html`<div class="stack">${waiting(data, repairs, formats)}${orders(data.orders, desk)}${settled(data.findings, desk.id, formats)}${authorisers(data.people, formats)}</div>`,
    );
  // What is known stands at once; the sizes of the suggested work follow.
  /** @param {Changes} data */
  const size = async (data) => {
    const sized = await repairsOf(desk, data.findings);
    if (signal.aborted || JSON.stringify(sized) === JSON.stringify(repairs)) return;
    repairs = sized;
    draw(reading.now ?? data);
  };
  const reading = await live({
    job: desk.id,
    context: desk.context,
    place: root,
    read: () => read(desk),
    draw: (data) => {
      draw(data);
      void size(data);
    },
  });
  const zones = () => reading.now?.zones ?? [];
  const here = () => ({ desk, zones: zones(), again: reading.again });
  on(root, "click", "[data-report]", () => void reportFinding(here(), zones()[0]?.id ?? ""), signal);
  for (const [name, act] of Object.entries({ change: changeFinding, dismiss: dismissFinding }))
    on(
      root,
      "click",
      `[data-${name}]`,
      (button) => {
        const finding = reading.now?.findings.find(({ id }) => id === button.dataset[name]);
        if (finding) void act(here(), finding);
      },
      signal,
    );
  const key = newKey();
  on(root, "click", "#gather", () => void gather(desk, place, key), signal);
  on(
    root,
    "click",
    "#draft-order",
    () => void draftOrder(desk, reading.now?.findings.filter((f) => f.state === "reported") ?? []),
    signal,
  );
  onAuthorisers(root, desk, reading.again);
  return () => undefined;
}

/** @param {JobDesk} desk @param {HTMLElement} place @param {string} key */
async function gather(desk, place, key) {
  try {
    const order = await post("/api/jobs/{job}/inspection", { path: { job: desk.id }, key });
    desk.context.navigate(`/shop/jobs/${desk.id}/orders/${order.summary.id}`);
  } catch (error) {
    showProblem(place, error);
    place.scrollIntoView({ block: "nearest" });
  }
}

/** @param {Changes} changes @param {Repairs} repairs @param {Formats} formats */
function waiting({ findings, zones }, repairs, formats) {
  const wait = findings.filter((each) => each.state === "reported");
  const report =
    zones.length > 0
      ? html`<button type="button" data-report id="report">Report a finding</button>`
      : html`<a class="button" href="survey">Lay out the frame first</a>`;
  if (wait.length === 0)
    return html`<section><h3>Findings that wait</h3><div class="empty"><p>Nothing waits. What the bench uncovers appears here with its photos, and one press gathers it into an order for the client.</p>${report}</div></section>`;
  return html`<section><h3>Findings that wait</h3>
    <p>${counted(wait.length, "finding")} ${wait.length === 1 ? "waits" : "wait"} to be put before the client. Gathering makes one drafted order: an item for each, its suggested repairs as options.</p>
    <p class="shop-actions"><button type="button" class="act" id="gather">Gather at the gate</button>${report}</p>
    <ul class="found">${wait.map((each) => card(each, repairs[each.id] ?? [], formats))}</ul></section>`;
}

/** @param {Finding} f @param {Schemas["RepairSuggestion"][]} repairs @param {Formats} formats */
function card(f, repairs, formats) {
  const size = sizeWord(f, formats.length);
  return html`<li class="sheet"><h4>F${f.number} ${word(findingWhat, f.what)}, ${f.zone}</h4>
    <p>Steel: ${[f.condition ? word(gradeWord, f.condition) : "not graded", size, f.count > 1 ? `${f.count} of them` : ""].filter(Boolean).join("; ")}.${f.note ? html` <span class="shop-lines">${f.note}</span>` : ""}</p>
    ${photos(f.photos, `finding ${f.number}`)}
    <p class="second">${f.repairs.length === 0 ? "No work suggested yet." : "Suggested:"}</p>
    <ul class="shop-plain">${repairs.length > 0 ? repairs.map((each) => html`<li>${repairWords(each, formats)}</li>`) : f.repairs.map((code) => html`<li>${code.replaceAll("-", " ")}</li>`)}</ul>
    <p class="small">${waitedWords(f.waited)} ${f.by}, ${formats.instant(f.at)}.</p>
    <p class="shop-actions"><button type="button" data-change="${f.id}" id="change-${f.id}">Change<span class="visually-hidden"> finding ${f.number}</span></button><button type="button" data-dismiss="${f.id}" id="dismiss-${f.id}">Nothing to do<span class="visually-hidden"> about finding ${f.number}</span></button></p></li>`;
}

/** Whose the waiting days are. @param {Schemas["WaitedDays"]} waited */
export function waitedWords({ shop, client }) {
  if (shop + client === 0) return "Waited no working day yet.";
  return `Waited ${counted(shop, "working day")} with the shop, ${client} for the client's decision.`;
}

/** @param {Schemas["OrderSummary"][]} list @param {JobDesk} desk */
function orders(list, { id, formats }) {
  const draft = html`<button type="button" id="draft-order">Draft a change order</button>`;
  if (list.length === 0)
    return html`<section><h3>Change orders</h3><div class="empty"><p>None yet. A change order says what changes, why, and what it does to price, date and points; nothing in it is done before the client decides.</p>${draft}</div></section>`;
  return html`<section><h3>Change orders</h3><p class="shop-actions">${draft}</p>
    <div class="shop-scroll"><table class="shop-list shop-stack"><caption>Newest first. Amounts with tax; days are working days of the promise.</caption>
    <thead><tr><th scope="col">Order</th><th scope="col">State</th><th scope="col">Comes from</th><th scope="col" class="num">Amount</th><th scope="col" class="num">Days</th><th scope="col">Sent, answer until</th><th scope="col">Waited</th></tr></thead>
    <tbody>${list.map(
      (
        o,
      ) => html`<tr data-row="${o.id}"><th scope="row" data-label="Order"><a class="shop-rowlink" href="/shop/jobs/${id}/orders/${o.id}">${o.number} ${o.title}</a></th>
      <td data-label="State"><span><span class="state ${tone[o.state]}">${word(orderState, o.state)}</span>${o.questions_open ? html` <span class="state watch">The client asks</span>` : ""}</span></td>
      <td data-label="Comes from">${word(orderKind, o.kind)}</td>
      <td data-label="Amount" class="num">${formats.money(o.amount)}</td><td data-label="Days" class="num">${o.days}</td>
      <td data-label="Sent, answer until">${o.sent_at ? formats.day(formats.dayOf(o.sent_at)) : "not sent"}${o.expires_at ? `, ${formats.day(formats.lastDay(o.expires_at))}` : ""}</td>
      <td data-label="Waited">${o.waited.shop} + ${o.waited.client}<span class="visually-hidden"> working days: the shop's, the client's</span></td></tr>`,
    )}</tbody></table></div></section>`;
}

/** Findings that wait no more. @param {Finding[]} findings @param {string} job @param {Formats} formats */
function settled(findings, job, formats) {
  const rest = findings.filter((each) => each.state !== "reported");
  if (rest.length === 0) return "";
  return html`<section><h3>Findings in orders and dismissed</h3><div class="shop-scroll"><table class="shop-list shop-stack">
    <thead><tr><th scope="col">Finding</th><th scope="col">Zone</th><th scope="col">State</th><th scope="col">Order</th><th scope="col">Waited: shop + client, days</th><th scope="col">Photos</th></tr></thead>
    <tbody>${rest.map(
      (
        f,
      ) => html`<tr><th scope="row" data-label="Finding">F${f.number} ${word(findingWhat, f.what)}</th><td data-label="Zone">${f.zone}${sizeWord(f, formats.length) ? `, ${sizeWord(f, formats.length)}` : ""}</td>
      <td data-label="State"><span><span class="state ${tone[f.state]}">${word(findingState, f.state)}</span> ${f.state_reason}</span></td>
      <td data-label="Order">${f.order ? html`<a class="shop-rowlink" href="/shop/jobs/${job}/orders/${f.order.id}">Order ${f.order.number}</a>` : ""}</td>
      <td data-label="Waited">${f.waited.shop} + ${f.waited.client}</td><td data-label="Photos">${photos(f.photos, `finding ${f.number}`)}</td></tr>`,
    )}</tbody></table></div></section>`;
}

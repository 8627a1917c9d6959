// @ts-check
// Payments, what became of a line that was bought, and letting work go on past the stop.

import { dialog } from "../../components/bf-dialog.js";
import { say } from "../../components/bf-toast.js";
import { choices, readForm, span } from "../../components/shop-form.js";
import { newKey, now, post } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { html } from "../../lib/html.js";
import { paymentHow } from "../../lib/words.js";
import { reasoned } from "./observation-sheets.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @typedef {{ desk: JobDesk, money: Schemas["JobMoney"], take: (money: Schemas["JobMoney"]) => void }} Here */

/** @type {Record<Schemas["SupplyState"], string>} */
export const supplyWord = { ordered: "Ordered", fitted: "Fitted", returned: "Sent back" };

/** @param {Here} here */
export async function override({ desk, money, take }) {
  const key = newKey();
  const f = { form: "over", required: true };
  await dialog({
    title: "Let work go on past the stop",
    body: html`<p>Work stops at ${desk.formats.money(money.stop_at, money.currency)}. Going on without the client's word is your risk, and a law may forbid you to bill it: check local law. The client reads your reason.</p>
      ${field({ ...f, name: "up_to", label: `Up to, ${money.currency}`, inputmode: "decimal" })}
      ${field({ ...f, name: "reason", label: "Reason, as the client reads it", type: "textarea", maxlength: 1000 })}`,
    action: "Let it go on",
    grave: true,
    signal: desk.signal,
    submit: async (_, form) => {
      const body = /** @type {Schemas["WatchOverride"]} */ (readForm(form));
      take(await post("/api/jobs/{job}/money/override", { path: { job: desk.id }, body, key }));
      say("Work may go on; the client reads why.");
    },
  });
}

/** @param {Here} here */
export async function addPayment({ desk, money, take }) {
  const key = newKey();
  const f = { form: "pay" };
  await dialog({
    title: "Add a payment",
    body: html`<div class="shop-form">${span(4, field({ ...f, name: "amount", label: `Amount, ${money.currency}`, inputmode: "decimal", required: true }))}
      ${span(4, field({ ...f, name: "paid_on", label: "Came in on", type: "date", value: desk.formats.dayOf(now()), required: true }))}
      ${span(4, field({ ...f, name: "how", label: "How", type: "select", value: "transfer", options: choices(paymentHow) }))}
      ${field({ ...f, name: "note", label: "Note", maxlength: 160 })}</div>`,
    action: "Keep the payment",
    signal: desk.signal,
    submit: async (_, form) => {
      const body = /** @type {Schemas["PaymentDraft"]} */ (readForm(form));
      take(await post("/api/jobs/{job}/payments", { path: { job: desk.id }, body, key }));
      say("The payment is kept.");
    },
  });
}

/** @param {Here} here @param {string} payment */
export function voidPayment({ desk, take }, payment) {
  return reasoned({
    title: "This payment does not stand",
    words: html`<p>It stays readable, struck through, with your reason.</p>`,
    action: "Say so",
    grave: true,
    signal: desk.signal,
    send: async (reason, key) =>
      take(await post("/api/payments/{payment}/void", { path: { payment }, body: { reason }, key })),
  });
}

/** @param {Here} here @param {string} line */
export async function noteSupply({ desk, money, take }, line) {
  const supply = money.supplies.find((each) => each.line_id === line);
  if (!supply) return;
  const key = newKey();
  const f = { form: "supply" };
  await dialog({
    title: supply.description,
    body: html`<div class="shop-form">${span(6, field({ ...f, name: "state", label: "What became of it", type: "select", value: supply.state ?? "ordered", options: choices(supplyWord) }))}
      ${span(6, field({ ...f, name: "restocking_fee", label: `Fee for taking it back, ${money.currency}`, value: supply.restocking_fee, inputmode: "decimal", required: true }))}
      ${span(6, field({ ...f, name: "expected_on", label: "Expected on", type: "date", value: supply.expected_on ?? "", hint: "While it is ordered, the task that needs it does not start before this day." }))}
      ${field({ ...f, name: "returnable", label: "The supplier would take it back", type: "checkbox", value: supply.returnable })}
      ${field({ ...f, name: "note", label: "Note", value: supply.note, maxlength: 160 })}</div>`,
    action: "Note it",
    signal: desk.signal,
    submit: async (_, form) => {
      const body = /** @type {Schemas["SupplyDraft"]} */ (readForm(form, { optional: ["expected_on"] }));
      if (body.state !== "ordered") delete body.expected_on;
      take(await post("/api/jobs/{job}/lines/{line}/supply", { path: { job: desk.id, line }, body, key }));
      say("Noted.");
    },
  });
}

// @ts-check
// Drafting a change order, sending it, withdrawing it, copying it, and recording what the client decided.

import { dialog } from "../../components/bf-dialog.js";
import { say } from "../../components/bf-toast.js";
import { datesSaid, effectSentence } from "../../components/effect-words.js";
import { choiceFields, choiceNames } from "../../components/shop-effect.js";
import { boxes, choices, readForm, span } from "../../components/shop-form.js";
import { ApiProblem, get, newKey, now, post } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { html, render } from "../../lib/html.js";
import { decisionHow, findingWhat, word } from "../../lib/words.js";
import { reasoned } from "./observation-sheets.js";
import { blankOption, headFields } from "./order-sheets.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @typedef {Schemas["Order"]} Order */

/** @param {JobDesk} desk @param {Schemas["Finding"][]} waiting */
export async function draftOrder(desk, waiting) {
  const key = newKey();
  await dialog({
    title: "Draft a change order",
    body: html`${headFields({ kind: "client_wish", title: "", reason: "", note: "" })}
      ${waiting.length > 0 ? boxes({ name: "finding_ids", label: "Findings it answers", choices: waiting.map((f) => [f.id, `F${f.number} ${word(findingWhat, f.what)}, ${f.zone}`]), chosen: [] }) : ""}
      <p class="hint">Tasks, lines and points come next; the effect stands beside them after each change.</p>`,
    action: "Begin the draft",
    signal: desk.signal,
    submit: async (_, form) => {
      const { finding_ids = [], ...head } = /** @type {any} */ (readForm(form));
      const body = {
        ...head,
        items: [
          {
            key: "i1",
            title: head.title,
            why: "",
            if_not: "",
            may_leave: true,
            finding_ids,
            options: [{ ...blankOption("o1", head.title), advised: true }],
          },
        ],
      };
      open(desk, await post("/api/jobs/{job}/orders", { path: { job: desk.id }, body, key }));
    },
  });
}

/** @param {JobDesk} desk @param {Order} order */
function open(desk, order) {
  desk.context.navigate(`/shop/jobs/${desk.id}/orders/${order.summary.id}`);
}

/** @typedef {{ desk: JobDesk, order: Order, take: (order: Order) => void }} Here */

/** @param {Here} here */
export async function sendOrder({ desk, order, take }) {
  const key = newKey();
  const { id, number } = order.summary;
  await dialog({
    title: `Send change order ${number} to the client`,
    body: html`<p><strong>${effectSentence(order.effect, desk.formats)}</strong></p><p>Document and effect are fixed as they stand now; a sent order is never edited. From now on the waiting days are the client's. They are told by e-mail if a mail server is set up; otherwise send their private link yourself.</p>
      ${datesSaid(order.effect.dates)}${brokenBy(order.effect)}
      ${field({ form: "send", name: "valid_days", label: "Good for how many days", value: 14, inputmode: "numeric", required: true })}`,
    action: "Send to client",
    signal: desk.signal,
    submit: async (_, form) => {
      const body = /** @type {Schemas["OrderSending"]} */ (readForm(form));
      take(
        await post("/api/orders/{order}/send", { path: { order: id }, body, version: order.version, key }),
      );
      say(`Change order ${number} is with the client.`);
    },
  });
}

/** The other cars whose promises an order would break. @param {Schemas["Effect"]} effect */
function brokenBy({ floor }) {
  const broken = (floor?.cars ?? []).filter(({ breaks }) => breaks);
  if (!floor) return "";
  return html`${broken.length > 0 ? html`<p class="note stop">With it, promises of other cars are no longer kept: ${broken.map(({ number }) => number).join(", ")}.</p>` : ""}<p>The date that is sent stands until it is decided on, also when the floor is planned anew meanwhile.</p>`;
}

/** @param {Here} here */
export function withdrawOrder({ desk, order, take }) {
  const { id, number, state } = order.summary;
  return reasoned({
    title: `Withdraw change order ${number}`,
    words: html`<p>${state === "sent" ? "The client can read it but no longer decide it." : "The draft ends here."} Its findings wait again. It stays withdrawn; it can be copied into a new draft.</p>`,
    action: "Withdraw the order",
    grave: true,
    signal: desk.signal,
    send: async (reason, key) => {
      take(await post("/api/orders/{order}/withdraw", { path: { order: id }, body: { reason }, key }));
      say(`Change order ${number} is withdrawn.`);
    },
  });
}

/** @param {Here} here @param {string} key */
export async function copyOrder({ desk, order }, key) {
  open(desk, await post("/api/jobs/{job}/orders", { path: { job: desk.id }, body: order.draft, key }));
}

/** The record's fields by what a rule set calls them. @type {Record<string, string>} */
const asked = {
  number_or_address: "contact",
  what_was_said: "said",
  added_parts: "added_parts",
  added_labour: "added_labour",
  revised_total: "revised_total",
};

/** What the lines add, in words for the record. @param {Schemas["Effect"]} effect @param {boolean} labour */
const added = ({ lines }, labour) =>
  lines
    .filter((line) => (line.kind === "labour") === labour && !line.net.startsWith("-"))
    .map((line) => line.description)
    .join(", ") || "none";

/** @param {Here} here */
export async function recordOrderDecision({ desk, order, take }) {
  const { formats, signal } = desk;
  const { id, number } = order.summary;
  const [rules, people] = await Promise.all([
    get("/api/shop/rules", { signal }),
    get("/api/jobs/{job}/authorisers", { path: { job: desk.id }, signal }),
  ]);
  const key = newKey();
  const { portal: _, ...ways } = decisionHow;
  const must = rules.rule_set.record_must_name.flatMap((name) => asked[name] ?? []);
  /** @param {string} name @param {string} label @param {object} [more] */
  const f = (name, label, more) =>
    field({
      form: "word",
      name,
      label,
      ...more,
      ...(must.includes(name) && { hint: `Asked for by: ${rules.rule_set.name}.` }),
    });
  const names = people.items.filter((each) => !each.ended_at);
  const items = order.draft.items;
  await dialog({
    title: `Record what was decided on change order ${number}`,
    body: html`<p>What you record counts as the client's word and stays in the trail with your name.</p>
      <div class="shop-form">
      ${span(6, f("outcome", "Decision", { type: "select", value: "approved", options: choices({ approved: "Approved", declined: "Declined" }) }))}
      ${span(6, f("how", "How it was given", { type: "select", value: "telephone", options: choices(ways) }))}
      ${span(6, f("name", "Who decided", { type: "select", value: names[0]?.name ?? "", options: names.map((each) => [each.name, each.client ? `${each.name}, the client` : each.name]) }))}
      ${span(6, f("contact", "Number or address", { value: names[0]?.contact ?? "", maxlength: 160 }))}
      ${span(6, f("decided_at", "When", { type: "datetime-local", value: formats.wall(now()), required: true }))}
      <div data-approved>${choiceFields(items, order.effect.choices, "word")}<div data-said role="status"></div></div>
      ${f("said", "What was said, in their words", { type: "textarea", maxlength: 4000 })}
      <div data-approved><div class="shop-form">
      ${span(6, f("amount", `Amount of the change, ${order.effect.currency}`, { maxlength: 20 }))}
      ${span(6, f("revised_total", `Revised total, ${order.effect.currency}`, { maxlength: 20 }))}
      ${span(6, f("added_parts", "Added parts", { type: "textarea", rows: 2, value: added(order.effect, false), maxlength: 4000 }))}
      ${span(6, f("added_labour", "Added labour", { type: "textarea", rows: 2, value: added(order.effect, true), maxlength: 4000 }))}</div></div>
      </div>`,
    action: "Record the decision",
    signal,
    ready: (form) => followDecision(form, order, desk),
    submit: async (_, form) => {
      const body = read(form, items.length);
      body.decided_at = formats.instantOf(body.decided_at);
      if (body.outcome === "declined") Object.assign(body, { choices: [], amount: "0.00" });
      try {
        take(await post("/api/orders/{order}/decision", { path: { order: id }, body, key }));
      } catch (error) {
        // What it does has moved since it was read: say the new figures before anything is agreed.
        if (error instanceof ApiProblem && error.status === 409) form.dispatchEvent(new Event("moved"));
        throw error;
      }
      say(`The decision on change order ${number} is recorded.`);
      await desk.refresh();
    },
  });
}

/** @param {HTMLElement} form @param {number} count @returns {Schemas["RecordedOrderDecision"]} */
function read(form, count) {
  const optional = ["contact", "revised_total", "added_parts", "added_labour"];
  const body = /** @type {any} */ (
    readForm(form, { optional: [...optional, ...choiceNames(Array.from({ length: count }))] })
  );
  for (const name of ["amount", "revised_total"])
    if (body[name]) body[name] = body[name].replace(/\s/g, "").replace(",", ".").replace("−", "-");
  return body;
}

/** Says what the chosen options do, before anything is recorded. @param {HTMLFormElement} form @param {Order} order @param {JobDesk} desk */
function followDecision(form, order, { formats, signal }) {
  const said = /** @type {HTMLElement} */ (form.querySelector("[data-said]"));
  /** @param {Schemas["Effect"]} effect */
  const tell = (effect) =>
    render(
      said,
      html`<p class="note"><strong>${effectSentence(effect, formats)}</strong> Type the amount to confirm it: ${effect.amount}; revised total ${effect.authorised_after}.</p>`,
    );
  tell(order.effect);
  const ask = async () => {
    const { choices: taken } = read(form, order.draft.items.length);
    try {
      const path = { order: order.summary.id };
      tell(await post("/api/orders/{order}/effect", { path, body: { choices: taken }, signal }));
    } catch (error) {
      render(
        said,
        html`<p class="note stop">${error instanceof Error ? error.message : "No figures now."}</p>`,
      );
    }
  };
  form.addEventListener("moved", () => void ask(), { signal });
  form.addEventListener(
    "change",
    (event) => {
      const { name, value } = /** @type {HTMLSelectElement} */ (event.target);
      if (name === "outcome")
        for (const each of form.querySelectorAll("[data-approved]"))
          each.toggleAttribute("hidden", value === "declined");
      if (name.startsWith("choices/")) void ask();
    },
    { signal },
  );
}

// @ts-check
// One change order: its items and options, with the effect beside them as the server computed it; sending,
// deciding, questions; and the frame with the findings that it answers.

import "../../components/bf-title-block.js";
import "../../components/frame/bf-frame.js";
import { showProblem } from "../../components/bf-problem.js";
import { say } from "../../components/bf-toast.js";
import { badgesOf, conditionsAt } from "../../components/frame/seen.js";
import { live } from "../../components/live.js";
import { choiceFields, choiceNames, effectView } from "../../components/shop-effect.js";
import { readForm } from "../../components/shop-form.js";
import { askWhichVersion } from "../../components/shop-versions.js";
import { tone, vehicleName } from "../../components/shop-words.js";
import { ApiProblem, get, newKey, post, put } from "../../lib/call.js";
import { html, make, on, render } from "../../lib/html.js";
import { decisionHow, orderKind, orderState, word } from "../../lib/words.js";
import { waitedWords } from "./job-changes.js";
import { JobDesk } from "./job-desk.js";
import { copyOrder, recordOrderDecision, sendOrder, withdrawOrder } from "./order-acts.js";
import { orderItems } from "./order-items.js";
import { messages } from "./order-messages.js";
import { fallsSheet, hoursSheet, lineSheet, taskSheet } from "./order-pieces.js";
import { headSheet, itemSheet, optionSheet } from "./order-sheets.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { View } from "../../lib/router.js" */
/** @import { Draft, Editing, Which } from "./order-sheets.js" */

/** @typedef {Schemas["Order"]} Order */

/** @type {Record<string, (editing: Editing, which: Which) => unknown>} */
const sheets = {
  head: headSheet,
  item: itemSheet,
  option: optionSheet,
  task: taskSheet,
  line: lineSheet,
  hours: hoursSheet,
  falls: fallsSheet,
};

/** @type {View} */
export default async function view(root, params, context) {
  const { signal } = context;
  const path = { order: params["order"] ?? "" };
  const job = { job: params["job"] ?? "" };
  const [page, book, shop, frame, found] = await Promise.all([
    get("/api/jobs/{job}", { path: job, signal }),
    get("/api/shop/price-book", { query: job, signal }),
    get("/api/shop", { signal }),
    get("/api/jobs/{job}/frame", { path: job, signal }),
    get("/api/jobs/{job}/findings", { path: job, signal }),
  ]);
  const desk = new JobDesk({ page, book, shop, context });
  const { formats } = desk;
  const [top, items, effect, map] = [1, 2, 3, 4].map(() => document.createElement("div"));
  const talk = document.createElement("div");
  const drawing = make("bf-frame", { zones: frame.zones, length: formats.length });
  render(
    root,
    html`${top}<div class="shop-estimate order"><section class="sheet order-effect" aria-label="Effect">${effect}</section><div class="stack">${items}${talk}${map}</div></div>`,
  );
  if (!top || !items || !effect || !map) return;
  render(map, html`<section class="sheet"><h2>The frame with what was found</h2>${drawing}</section>`);
  const drawTalk = messages(talk, desk, (order) => reading.take(order));
  /** @param {Order} order */
  const draw = (order) => {
    const open = order.summary.state === "draft";
    render(top, head(order, desk));
    render(
      items,
      html`<div class="stack">${orderItems({ order, page: desk.page, findings: found.items, formats, open })}</div>`,
    );
    showEffect(order, order.effect);
    drawTalk(order);
    const ids = order.draft.items.flatMap((item) => item.finding_ids);
    const here = frame.findings.filter(({ id }) => ids.includes(id));
    map.hidden = frame.zones.length === 0 || here.length === 0;
    Object.assign(drawing, {
      conditions: conditionsAt(frame.observations, "", formats.length),
      badges: badgesOf(here),
      marked: here.map((each) => each.zone_id),
      label: "Frame with the findings of this order",
    });
  };
  /** @param {Order} order @param {Schemas["Effect"]} shown */
  const showEffect = (order, shown) => {
    const { items: list } = order.draft;
    const tries = list.some((item) => item.may_leave || item.options.length > 1) && !order.decision;
    const advised = JSON.stringify(shown.choices) === JSON.stringify(order.effect.choices);
    render(
      effect,
      html`<h2>${order.decision ? "What it did" : "What it does"}</h2>
      ${tries ? html`<form class="no-print" data-try>${choiceFields(list, shown.choices, "try")}<p class="small">${advised ? "This is what the shop advises; look at another choice here." : "A choice to look at; nothing of it is kept."}</p></form>` : ""}${effectView(shown, formats)}`,
    );
  };
  const reading = await live({
    job: desk.id,
    context,
    place: root,
    read: () => get("/api/orders/{order}", { path, signal }),
    draw,
  });
  const order = () => /** @type {Order} */ (reading.now);
  const here = () => ({ desk, order: order(), take: reading.take });
  on(
    effect,
    "change",
    "[data-try]",
    (form) => void look(form).catch((error) => showProblem(effect, error)),
    signal,
  );
  /** @param {HTMLElement} form */
  const look = async (form) => {
    const body = /** @type {Schemas["OrderSelection"]} */ (
      readForm(form, { optional: choiceNames(order().draft.items) })
    );
    showEffect(order(), await post("/api/orders/{order}/effect", { path, body, signal }));
  };
  const save = saving({ desk, path, order, take: reading.take });
  on(
    root,
    "click",
    "[data-sheet]",
    (button) => {
      const { sheet = "", item = "", option = "", index } = button.dataset;
      const which = { item, option, index: index ? Number(index) : undefined };
      const editing = {
        order: order(),
        page: desk.page,
        book,
        desk,
        zones: frame.zones,
        findings: found.items,
        signal,
        save,
      };
      void sheets[sheet]?.(editing, which);
    },
    signal,
  );
  const key = newKey();
  const acts = { send: sendOrder, withdraw: withdrawOrder, decide: recordOrderDecision, copy: copyOrder };
  on(
    top,
    "click",
    "[data-act]",
    (button) => {
      const act = acts[/** @type {keyof typeof acts} */ (button.dataset["act"])];
      act(here(), key).catch((/** @type {unknown} */ error) => showProblem(top, error));
    },
    signal,
  );
  return { title: `Change order ${reading.now?.summary.number ?? ""}, job ${page.job.number}` };
}

/**
 * Saves one change of the draft. When somebody else saved first the change is put to the owner beside what
 * is stored now, and goes on top of it if they wish.
 * @param {{ desk: JobDesk, path: { order: string }, order: () => Order, take: (order: Order) => void }} what
 * @returns {Editing["save"]}
 */
function saving({ desk, path, order, take }) {
  return async (what, change) => {
    const { draft, version } = order();
    const mine = structuredClone(draft);
    change(mine);
    try {
      take(await put("/api/orders/{order}", { path, body: mine, version }));
    } catch (error) {
      if (!(error instanceof ApiProblem) || error.status !== 412) throw error;
      const now = await get("/api/orders/{order}", { path, signal: desk.signal });
      const keep = async () => {
        const merged = structuredClone(now.draft);
        change(merged);
        take(await put("/api/orders/{order}", { path, body: merged, version: now.version }));
      };
      const both = { what, mine: rows(mine), theirs: rows(now.draft), keep, signal: desk.signal };
      if (!(await askWhichVersion(both))) return take(now);
    }
    say(`${what}: saved in the draft.`);
  };
}

/** A draft in words. @param {Draft} draft @returns {[string, string][]} */
const rows = ({ kind, title, reason, note, items }) => [
  ["Title", title],
  ["Comes from", word(orderKind, kind)],
  ["Reason", reason],
  ["Note", note],
  ...items.flatMap((item) =>
    item.options.map(
      (o) =>
        /** @type {[string, string]} */ ([
          `${item.title}: ${o.name}`,
          [
            item.why,
            item.if_not,
            o.note,
            ...o.tasks.map((t) => `${t.name} ${t.hours.likely} h`),
            ...o.lines.map((l) => `${l.description} ${l.quantity} × ${l.unit_cost}`),
          ]
            .filter(Boolean)
            .join("; "),
        ]),
    ),
  ),
];

/** @param {Order} order @param {JobDesk} desk */
function head({ summary: s, draft, effect, decision, withdrawn_reason }, { id, page, formats }) {
  const block = make("bf-title-block", {
    cells: {
      job: String(page.job.number),
      title: `Change order ${s.number}`,
      vehicle: vehicleName(page.job.vehicle),
      client: page.job.client.name,
      revision: s.revision ? String(s.revision) : "draft",
      date: formats.day(formats.dayOf(s.sent_at ?? s.created_at)),
      authorised: formats.money(
        decision?.outcome === "approved" ? effect.authorised_after : effect.authorised_before,
        effect.currency,
      ),
      promise: formats.day(
        decision?.outcome === "approved" ? effect.dates.promise_after : effect.dates.promise_before,
      ),
      sheet: "1 of 1",
    },
  });
  const state = s.state;
  const stuck = state === "draft" && effect.contradiction;
  return html`<div class="shop-head"><div><p class="small no-print"><a href="/shop/jobs/${id}/changes">Job ${page.job.number}, changes</a></p>
    <h1>Change order ${s.number}: ${s.title}</h1>
    <p><span class="state ${tone[state]}">${word(orderState, state)}</span> ${word(orderKind, s.kind)}. ${s.expires_at && state === "sent" ? `Holds until ${formats.day(formats.lastDay(s.expires_at))}. ` : ""}${waitedWords(s.waited)}</p>
    ${draft.reason ? html`<p class="shop-lines">${draft.reason}</p>` : ""}${draft.note ? html`<p class="shop-lines">${draft.note}</p>` : ""}
    ${withdrawn_reason ? html`<p class="note stop">Withdrawn: ${withdrawn_reason}</p>` : ""}${decision ? decided(decision, effect.currency, formats) : ""}
    <p class="shop-actions no-print">
      ${state === "draft" ? html`<button type="button" class="act" data-act="send" id="send" ${stuck ? html`disabled` : ""}>Send to client</button><button type="button" data-sheet="head" id="head-sheet">Change title and reason</button>` : ""}
      ${state === "sent" ? html`<button type="button" class="act" data-act="decide" id="decide">Record a decision</button>` : ""}
      <a class="button" href="/api/orders/${s.id}/document" target="_blank" rel="noopener">Open the document<span class="visually-hidden"> in a new tab</span></a>
      <a class="button" href="/api/orders/${s.id}/document?as=pdf" target="_blank" rel="noopener">PDF<span class="visually-hidden"> of order ${s.number} in a new tab</span></a>
      ${["withdrawn", "expired", "declined"].includes(state) ? html`<button type="button" data-act="copy" id="copy">Copy into a new draft</button>` : ""}
      ${["draft", "sent"].includes(state) ? html`<button type="button" class="grave" data-act="withdraw" id="withdraw">Withdraw</button>` : ""}
    </p>${stuck ? html`<p class="note stop">It cannot be sent while it cannot be scheduled; see the effect.</p>` : ""}</div>${block}</div>`;
}

/** @param {Schemas["OrderDecision"]} d @param {string} currency @param {JobDesk["formats"]} formats */
function decided(d, currency, formats) {
  const how = d.how === "portal" ? "on the private page" : word(decisionHow, d.how);
  const yes = d.outcome === "approved";
  return html`<p class="note ${yes ? "good" : "stop"}">${yes ? `Approved, ${formats.money(d.amount, currency)}` : "Declined"}, ${how}, by ${d.name}, ${formats.instant(d.decided_at)}.${[
    ["Said", d.said],
    ["Reason", d.reason],
    ["Reached at", d.contact],
    ["Revised total", d.revised_total && formats.money(d.revised_total, currency)],
    ["Added parts", d.added_parts],
    ["Added labour", d.added_labour],
    ["Recorded by", d.recorded_by],
    ["Document", d.document_hash?.slice(0, 16)],
  ].map(([name, value]) => (value ? ` ${name}: ${value}.` : ""))}</p>`;
}

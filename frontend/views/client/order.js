// @ts-check
// One change order: read like a letter, chosen from, decided. What the selection does is asked of the server
// again at each choice, and whenever something else of the job has changed. Forms stay while the rest is
// drawn again, so that nobody loses what is being typed.

import "../../components/bf-title-block.js";
import "../../components/frame/bf-frame.js";
import { clearProblem, showProblem } from "../../components/bf-problem.js";
import { badgesOf, conditionsAt } from "../../components/frame/seen.js";
import { live } from "../../components/live.js";
import { get, post } from "../../lib/call.js";
import { html, make, on, render } from "../../lib/html.js";
import { enlarges } from "./found.js";
import { decides } from "./order-decide.js";
import { effectPanel } from "./order-effect.js";
import { chosenOf, items, opening } from "./order-letter.js";
import { talk } from "./order-talk.js";
import { pagesOf } from "./page.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Context } from "../../lib/router.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { ClientOrder, Chosen } from "./order-letter.js" */

/** What is being decided, and what it does; `reckoned` once the figures are those of the selection. @typedef {{ order: ClientOrder, chosen: Chosen, effect: Schemas["ClientEffect"], reckoned: boolean }} Sitting */

/** @type {import("../../lib/router.js").View} */
export default async function view(root, params, context) {
  const { signal, formats } = context;
  const path = { order: params["order"] ?? "" };
  const [head, letter, work, map, comes, decide, asks] = Array.from({ length: 7 }, () => part());
  const sheet = html`${head}<div class="order-page">${letter}${map}${work}</div>${comes}${decide}${asks}`;
  if (!head || !letter || !work || !map || !comes || !decide || !asks) return;
  letter.className = "sheet letter";
  map.className = "order-map";
  render(root, sheet);
  const panel = effectPanel(comes, formats);
  /** @type {Sitting | undefined} */
  let sitting;
  /** @type {Schemas["ClientJobSummary"] | undefined} */
  let job;
  let asked = new AbortController();
  let since = "this was sent";

  /** @param {Schemas["ClientEffect"]} effect */
  const settle = (effect) => {
    if (!sitting) return;
    const before = sitting.effect;
    sitting.effect = effect;
    sitting.reckoned = true;
    clearProblem(comes);
    panel(effect, true);
    deciding.show(sitting);
    // The same choice with other figures: nobody is to approve what was not read.
    if (differs(before, effect)) deciding.moved(before, effect, since);
    since = "you read them";
  };
  const reckon = async () => {
    asked.abort();
    // While a decision is on its way there is nothing to reckon.
    if (sitting?.order.summary.state !== "sent" || decide.querySelector("[aria-busy]")) return;
    asked = new AbortController();
    const mine = AbortSignal.any([signal, asked.signal]);
    const choices = [...sitting.chosen].map(([item_key, option_key]) =>
      option_key ? { item_key, option_key } : { item_key },
    );
    try {
      const effect = await post("/api/client/orders/{order}/effect", {
        path,
        body: { choices },
        signal: mine,
      });
      if (!mine.aborted) settle(effect);
    } catch (error) {
      if (!mine.aborted) showProblem(comes, error);
    }
  };
  const soon = delayed(reckon, signal);

  /** @param {ClientOrder} order */
  const draw = (order) => {
    const open = order.summary.state === "sent";
    const first = !sitting;
    const chosen = sitting?.chosen ?? chosenOf(order.effect.choices);
    const effect = open && sitting ? sitting.effect : order.effect;
    sitting = { order, chosen, effect, reckoned: open && (sitting?.reckoned ?? false) };
    if (first) {
      render(head, html`${pagesOf(order.job_id)}`);
      void drawing(map, order, context);
    }
    render(
      letter,
      html`${opening(order, formats)}${documentLink(order)}${job ? titleBlock(order, job, formats) : ""}`,
    );
    render(work, items(order, chosen, formats));
    panel(effect, open);
    comes.hidden = !open && order.summary.state !== "approved";
    deciding.show(sitting);
    asking(order);
  };

  const deciding = decides(decide, context, {
    begins: () => asked.abort(),
    refused: () => soon(),
    moved: settle,
    decided: (order) => {
      reading.take(order);
      const heading = root.querySelector("h1");
      heading?.setAttribute("tabindex", "-1");
      heading?.focus();
      scrollTo(0, 0);
    },
    again: () => reading.again(),
  });
  const asking = talk(asks, context, (order) => reading.take(order));
  on(
    work,
    "change",
    'input[type="radio"]',
    (input) => {
      if (!sitting) return;
      const { name, value } = /** @type {HTMLInputElement} */ (input);
      sitting.chosen.set(name, value);
      sitting.reckoned = false;
      // An answer on its way is about another choice.
      asked.abort();
      deciding.still();
      deciding.show(sitting);
      soon();
    },
    signal,
  );
  enlarges(root, signal);
  const reading = await live({
    job: "",
    context,
    place: root,
    read: async () => {
      const order = await get("/api/client/orders/{order}", { path, signal });
      job ??= (await get("/api/client/jobs/{job}", { path: { job: order.job_id }, signal })).summary;
      // Another order that waits, or the work itself, may have moved the figures: once this one is drawn.
      soon(0);
      return order;
    },
    draw,
  });
}

/** Whether the same choice comes to something else. @param {Schemas["ClientEffect"]} before @param {Schemas["ClientEffect"]} now */
function differs(before, now) {
  return (
    JSON.stringify(before.choices) === JSON.stringify(now.choices) &&
    (before.amount !== now.amount || before.dates.promise_after !== now.dates.promise_after)
  );
}

function part() {
  const place = document.createElement("div");
  place.className = "view";
  return place;
}

/** Some moments after the last call. @param {() => Promise<void>} act @param {AbortSignal} signal */
function delayed(act, signal) {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;
  signal.addEventListener("abort", () => clearTimeout(timer));
  return (wait = 200) => {
    clearTimeout(timer);
    timer = setTimeout(() => void act(), wait);
  };
}

/** @param {ClientOrder} order */
function documentLink({ summary }) {
  const which = ["approved", "declined"].includes(summary.state) ? "as decided" : "as sent";
  return html`<p><a href="/api/client/orders/${summary.id}/document" target="_blank" rel="noopener">The exact document, ${which}, to read, print and keep (new tab)</a>; <a href="/api/client/orders/${summary.id}/document?as=pdf" target="_blank" rel="noopener">the same as PDF (new tab)</a></p>`;
}

/** @param {ClientOrder} order @param {Schemas["ClientJobSummary"]} job @param {Formats} formats */
function titleBlock({ summary: o, effect }, job, formats) {
  const agreed = o.state === "approved";
  const amount = agreed ? effect.authorised_after : effect.authorised_before;
  const promise = agreed ? effect.dates.promise_after : effect.dates.promise_before;
  return make("bf-title-block", {
    cells: {
      job: String(job.number),
      vehicle: job.vehicle,
      title: `${job.title}, change order ${o.number}`,
      revision: "1",
      date: formats.day(formats.dayOf(o.sent_at)),
      authorised: formats.money(amount, effect.currency),
      promise: formats.day(promise),
      sheet: "1 of 1",
    },
  });
}

/** The frame with this order's findings marked. @param {HTMLElement} place @param {ClientOrder} order @param {Context} context */
async function drawing(place, order, { signal, formats }) {
  const found = order.items.flatMap((item) => item.findings);
  place.hidden = found.length === 0;
  if (place.hidden) return;
  try {
    const frame = await get("/api/client/jobs/{job}/frame", { path: { job: order.job_id }, signal });
    place.hidden = frame.zones.length === 0;
    render(
      place,
      html`<section class="sheet" aria-labelledby="where-h"><h2 id="where-h">Where on the frame</h2>${make("bf-frame", { zones: frame.zones, conditions: conditionsAt(frame.observations, "", formats.length), badges: badgesOf(found), marked: found.map((f) => f.zone_id), length: formats.length, label: `Frame with the findings of change order ${order.summary.number}` })}</section>`,
    );
  } catch (error) {
    if (!signal.aborted) showProblem(place, error);
  }
}

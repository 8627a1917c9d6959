// @ts-check
// The options of an estimate in one table: what each changes against what is looked at, as the server
// computes it on today's estimate. What is not taken is drawn dashed. A combination can be looked at before
// it is advised.

import { clearProblem, showProblem } from "../../components/bf-problem.js";
import { daysWords, pointsWords } from "../../components/effect-words.js";
import { get, newKey, post } from "../../lib/call.js";
import { attr, html, on, render } from "../../lib/html.js";
import { orderState, word } from "../../lib/words.js";
import { addOption, advise, openOption } from "./option-sheet.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @typedef {Schemas["OptionComparison"]} Comparison */
/** @typedef {Schemas["QuoteOption"]} Option */
/** @typedef {Schemas["OptionOrdered"]} Ordered */

/** @param {HTMLElement} root @param {JobDesk} desk @returns {() => void} called with each new page */
export function options(root, desk) {
  const { signal } = desk;
  /** What is looked at instead of what is advised. @type {string[] | undefined} */
  let looked;
  let asked = new AbortController();
  const read = async () => {
    asked.abort();
    asked = new AbortController();
    const mine = AbortSignal.any([signal, asked.signal]);
    const { options: all, job } = desk.page;
    const over = job.authorised_amount && desk.page.quotes.some((quote) => quote.state === "accepted");
    if (all.length === 0) {
      looked = undefined;
      render(root, over ? html`` : empty());
      return;
    }
    try {
      const known = looked?.every((id) => all.some((o) => o.id === id));
      if (!known) looked = undefined;
      const comparison = await get("/api/jobs/{job}/options", {
        path: { job: desk.id },
        ...(looked ? { query: { selection: looked.join(",") } } : {}),
        signal: mine,
      });
      if (mine.aborted) return;
      clearProblem(root);
      render(root, table(comparison, desk, Boolean(over)));
    } catch (error) {
      if (!mine.aborted) showProblem(root, error);
    }
  };
  on(root, "click", "#add-option", () => void addOption(desk), signal);
  on(root, "click", "[data-edit-option]", (button) => void openOption(desk, idOf(button)), signal);
  on(root, "click", "[data-advise]", (button) => void advise(desk, idOf(button)), signal);
  on(root, "click", "[data-order-option]", (button) => void order(desk, root, button), signal);
  on(
    root,
    "change",
    "input[data-look]",
    () => {
      looked = [
        .../** @type {NodeListOf<HTMLInputElement>} */ (root.querySelectorAll("input[data-look]:checked")),
      ].map((input) => input.value);
      const focused = document.activeElement?.id;
      void read().then(() => focused && document.getElementById(focused)?.focus());
    },
    signal,
  );
  on(
    root,
    "click",
    "#look-advised",
    () => {
      looked = undefined;
      void read();
    },
    signal,
  );
  return () => void read();
}

/** Drafts a change order from an option that the quote left, and opens it. @param {JobDesk} desk @param {HTMLElement} root @param {Element} button */
async function order(desk, root, button) {
  const option = button.getAttribute("data-order-option") ?? "";
  try {
    const made = await post("/api/jobs/{job}/options/{option}/order", {
      path: { job: desk.id, option },
      key: button.getAttribute("data-key") ?? "",
    });
    desk.context.navigate(`/shop/jobs/${desk.id}/orders/${made.summary.id}`);
  } catch (error) {
    showProblem(root, error);
    root.scrollIntoView({ block: "nearest" });
  }
}

/** @param {Element} button */
const idOf = (button) => button.getAttribute("data-edit-option") ?? button.getAttribute("data-advise") ?? "";

function empty() {
  return html`<section class="sheet" aria-labelledby="options-h"><h3 id="options-h">Options</h3>
    <p class="empty">No options yet. Add two ways to do a piece of work, or an extra that the client may take or leave; then give tasks and lines to them.</p>
    <p class="shop-actions"><button type="button" id="add-option">Add an option</button></p></section>`;
}

/** @param {Comparison} comparison @param {JobDesk} desk @param {boolean} over */
function table({ advised, selected: s, ordered }, desk, over) {
  const { formats, page } = desk;
  const money = (/** @type {string} */ value) => formats.money(value, s.currency);
  const same = advised.length === s.option_ids.length && advised.every((id) => s.option_ids.includes(id));
  const chosen = over ? "chosen" : "advised";
  return html`<section class="sheet" aria-labelledby="options-h"><h3 id="options-h">Options</h3>
    <p aria-live="polite"><strong>${money(s.total)}</strong>, tax included, finished by <strong>${formats.day(s.finish)}</strong> with what is ${same ? chosen : "looked at"}${s.days === 0 ? "" : `, ${daysWords(s.days)} than with what is ${chosen}`}; margin ${money(s.margin)}; ${formats.hours(s.hours)}; points ${pointsWords(s.points_originality)} originality, ${pointsWords(s.points_condition)} condition.</p>
    <div class="shop-scroll" tabindex="0" role="region" aria-label="Options compared"><table class="shop-list shop-options"><caption>What a change of each option does to total and finish, from what is looked at.</caption>
    <thead><tr><th scope="col">Look at</th><th scope="col">Option</th><th scope="col" class="num">Net</th><th scope="col" class="num">Total changes by</th><th scope="col" class="num">Hours</th><th scope="col">Finish</th><th scope="col">Points</th><th scope="col"><span class="visually-hidden">Actions</span></th></tr></thead>
    <tbody>${s.options.map((o) =>
      row(
        o,
        desk,
        over,
        chosen,
        s.currency,
        ordered.find((each) => each.option_id === o.id),
      ),
    )}</tbody></table></div>
    ${left(page, desk, ordered)}
    <p class="shop-actions">${over ? "" : html`<button type="button" id="add-option">Add an option</button>`}${same ? "" : html`<button type="button" id="look-advised">Look at what is ${chosen}</button>`}</p></section>`;
}

/** @param {Option} o @param {JobDesk} desk @param {boolean} over @param {string} chosen @param {string} currency @param {Ordered | undefined} ordered */
function row(o, { formats, id, page }, over, chosen, currency, ordered) {
  const label = o.group ? `${o.group}: ${o.name}` : o.name;
  const points = `${pointsWords(o.points_originality)} / ${pointsWords(o.points_condition)}`;
  const inside = o.group && o.taken;
  return html`<tr ${attr("data-left", !o.taken)}>
    <td><input type="${o.group ? "radio" : "checkbox"}" id="look-${o.id}" name="${o.group ? `look-${o.group}` : `look-${o.id}`}" value="${o.id}" data-look aria-label="Look at ${label}" ${attr("checked", o.taken)}></td>
    <th scope="row">${o.group ? html`<span class="second">${o.group}:</span> ` : ""}<button type="button" class="shop-open" data-edit-option="${o.id}">${o.name}</button> ${o.advised ? html`<span class="state firm">${chosen}</span>` : html`<span class="state ${ordered?.state === "approved" ? "firm" : "ranged"}">${over ? (ordered?.state === "approved" ? `taken with order ${ordered.order.number}` : "not taken") : "not advised"}</span>`}</th>
    <td class="num">${formats.money(o.net, currency)}</td><td class="num">${inside ? "–" : formats.money(o.difference, currency)}</td>
    <td class="num">${formats.hours(o.hours)}</td><td>${inside ? "–" : o.days === 0 ? "same day" : daysWords(o.days)}</td><td class="num">${points}</td>
    <td>${over ? later(o, id, page, label, ordered) : o.group && o.advised ? "" : html`<button type="button" data-advise="${o.id}">${o.advised ? "Do not advise" : "Advise"}<span class="visually-hidden"> ${label}</span></button>`}</td></tr>`;
}

/** What can still be done about an option that the quote left. @param {Option} o @param {string} job @param {JobDesk["page"]} page @param {string} label @param {Ordered | undefined} ordered */
function later(o, job, page, label, ordered) {
  if (ordered)
    return html`<a href="/shop/jobs/${job}/orders/${ordered.order.id}">Order ${ordered.order.number}, ${word(orderState, ordered.state)}<span class="visually-hidden">, with ${label}</span></a>`;
  if (o.advised || !["accepted", "in_work"].includes(page.job.state)) return "";
  return html`<button type="button" data-order-option="${o.id}" data-key="${newKey()}">Put into a change order<span class="visually-hidden">: ${label}</span></button>`;
}

/** What belongs to options that are not taken: outside price and plan, and still to be edited. @param {JobDesk["page"]} page @param {JobDesk} desk @param {Ordered[]} ordered */
function left({ not_taken, options: all }, { formats }, ordered) {
  // Work of an option that an order brought in is among the agreed work, as the order has it.
  const here = (/** @type {{ option_id?: string }} */ { option_id }) =>
    !ordered.some((o) => o.state === "approved" && o.option_id === option_id);
  const n = { tasks: not_taken.tasks.filter(here), lines: not_taken.lines.filter(here) };
  if (n.tasks.length + n.lines.length === 0) return "";
  const of = (/** @type {string | undefined} */ id) => all.find((o) => o.id === id)?.name ?? "";
  return html`<h4>Not taken: outside price and schedule</h4><ul class="rows shop-left">${n.tasks.map((t) => html`<li><button type="button" class="shop-open" data-task="${t.id}">${t.code} ${t.name}</button> <span class="second">${of(t.option_id)}; ${t.kind === "sublet" ? `${t.lead_days} working days away` : formats.hours(t.kind === "cure" ? t.elapsed_hours : t.mean_hours)}</span></li>`)}
    ${n.lines.map((l) => html`<li><button type="button" class="shop-open" data-line="${l.id}">${l.description}</button> <span class="second">${of(l.option_id)}; ${formats.quantity(l.quantity, l.unit)}</span></li>`)}</ul>`;
}

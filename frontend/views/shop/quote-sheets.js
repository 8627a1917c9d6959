// @ts-check
// Issuing a quote, recording what the client decided elsewhere, withdrawing.

import { dialog } from "../../components/bf-dialog.js";
import { say } from "../../components/bf-toast.js";
import { choices, readForm, span } from "../../components/shop-form.js";
import { counted, vehicleName } from "../../components/shop-words.js";
import { ApiProblem, get, newKey, now, post } from "../../lib/call.js";
import { decimal, field, text } from "../../lib/form.js";
import { attr, html, on } from "../../lib/html.js";
import { decisionHow } from "../../lib/words.js";

/** @import { JobPage, Schemas } from "../../lib/contract.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @param {JobDesk} desk */
export async function issueQuote(desk) {
  const { page, version, formats } = desk;
  const key = newKey();
  const open = page.quotes.find((quote) => quote.state === "open");
  const queue = await get("/api/jobs/{job}/queue", { path: { job: desk.id }, signal: desk.signal });
  await dialog({
    title: `Issue revision ${nextRevision(page)}`,
    body: html`<p><strong>${formats.money(page.price.total, page.price.currency)}</strong> for job ${page.job.number}, ${vehicleName(page.job.vehicle)}; finish <strong>${formats.day(page.job.promise ?? queue.finish)}</strong>. ${queue.words} Confidence not yet computed; the document says so.</p>
      <p>What is fixed now, as it stands: ${counted(page.tasks.length, "task")} and ${counted(page.lines.length, "line")} with their prices, the tax rates, the deposit and draws, the dates, your terms. Later changes to the estimate make a next revision.</p>
      ${open ? html`<p class="note watch">Revision ${open.revision} is still waiting for its decision; it is superseded.</p>` : ""}
      ${field({ form: "issue", name: "valid_days", label: "Holds for how many days", value: desk.shop.settings.quote_valid_days, inputmode: "numeric", required: true })}
      ${field({ form: "issue", name: "note", label: "Note to the client", type: "textarea", maxlength: 4000 })}`,
    action: "Issue the quote",
    signal: desk.signal,
    submit: async (_, form) => {
      const body = /** @type {Schemas["QuoteIssue"]} */ (readForm(form));
      try {
        const quote = await post("/api/jobs/{job}/quotes", { path: { job: desk.id }, body, version, key });
        say(`Quote ${quote.summary.number} is issued.`);
      } catch (error) {
        if (error instanceof ApiProblem && error.status === 412) {
          await desk.refresh();
          throw new ApiProblem({
            type: error.type,
            title: error.title,
            status: 409,
            detail:
              "The estimate changed while you were here, so nothing was issued. Close this, look at the estimate, and issue again.",
          });
        }
        throw error;
      }
      await desk.refresh();
    },
  });
}

/** @param {JobPage} page */
const nextRevision = (page) =>
  page.quotes.reduce((highest, quote) => Math.max(highest, quote.revision), 0) + 1;

/** @param {JobDesk} desk @param {string} id */
export async function recordDecision(desk, id) {
  const { page, formats } = desk;
  const quote = page.quotes.find((each) => each.id === id);
  if (!quote) return;
  const offered =
    page.options.length > 0
      ? (await get("/api/quotes/{quote}", { path: { quote: id }, signal: desk.signal })).options
      : [];
  const key = newKey();
  const { portal: _, ...ways } = decisionHow;
  const f = { form: "decision" };
  await dialog({
    title: `Record what the client decided on ${quote.number}`,
    body: html`<p>Quote ${quote.number}, revision ${quote.revision}: <strong>${formats.money(quote.total, quote.currency)}</strong>. What you record here counts as the client's word and stays in the trail with your name.</p>
      <div class="shop-form">
      ${span(6, field({ ...f, name: "outcome", label: "Decision", type: "select", value: "accepted", options: choices({ accepted: "Accepted", declined: "Declined" }) }))}
      ${span(6, field({ ...f, name: "how", label: "How it was given", type: "select", value: "telephone", options: choices(ways) }))}
      ${span(6, field({ ...f, name: "name", label: "Who decided", value: page.job.client.name, required: true, maxlength: 160 }))}
      ${span(6, field({ ...f, name: "contact", label: "Number or address", maxlength: 160, hint: "Where they called or wrote from." }))}
      ${field({ ...f, name: "said", label: "What was said, in their words", type: "textarea", required: true, maxlength: 4000 })}
      ${span(6, field({ ...f, name: "decided_at", label: "When", type: "datetime-local", value: formats.wall(now()), required: true }))}
      ${span(6, field({ ...f, name: "amount", label: `Amount, ${quote.currency}`, inputmode: "decimal", required: true, hint: `Type the total to confirm it: ${quote.total}` }))}
      </div>
      ${offered.length > 0 ? html`<fieldset class="options"><legend>What was chosen</legend>${offered.map((o) => html`<label class="choose"><input type="${o.group ? "radio" : "checkbox"}" name="${o.group ? `chosen-${o.group}` : `chosen-${o.id}`}" value="${o.id}" data-chosen ${attr("checked", o.taken)}><span>${o.group ? `${o.group}: ` : ""}${o.name}</span></label>`)}</fieldset><p id="chosen-total" aria-live="polite">Comes to ${formats.money(quote.total, quote.currency)}, finished by ${formats.day(quote.finish)}.</p>` : ""}`,
    action: "Record the decision",
    signal: desk.signal,
    ready: (form) => followChoices(form, id, desk),
    submit: async (data, form) => {
      const body = {
        ...(offered.length > 0 && text(data, "outcome") === "accepted" ? { option_ids: chosenIn(form) } : {}),
        outcome: /** @type {Schemas["DecisionOutcome"]} */ (text(data, "outcome")),
        how: /** @type {Schemas["RecordedHow"]} */ (text(data, "how")),
        name: text(data, "name"),
        contact: text(data, "contact"),
        said: text(data, "said"),
        decided_at: formats.instantOf(text(data, "decided_at")),
        amount: decimal(data, "amount"),
      };
      await post("/api/quotes/{quote}/decision", { path: { quote: id }, body, key });
      say(`Decision on ${quote.number} recorded.`);
      await desk.refresh();
    },
  });
}

/** @param {HTMLElement} form */
const chosenIn = (form) =>
  [.../** @type {NodeListOf<HTMLInputElement>} */ (form.querySelectorAll("input[data-chosen]:checked"))].map(
    (input) => input.value,
  );

/** Says what the choice comes to, so that it can be repeated. @param {HTMLElement} form @param {string} quote @param {JobDesk} desk */
function followChoices(form, quote, { formats, signal }) {
  const place = form.querySelector("#chosen-total");
  if (!place) return;
  let asked = new AbortController();
  on(
    form,
    "change",
    "input[data-chosen]",
    async () => {
      asked.abort();
      asked = new AbortController();
      const mine = AbortSignal.any([signal, asked.signal]);
      try {
        const s = await post("/api/quotes/{quote}/preview", {
          path: { quote },
          body: { option_ids: chosenIn(form) },
          signal: mine,
        });
        if (!mine.aborted)
          place.textContent = `Comes to ${formats.money(s.total, s.currency)}, finished by ${formats.day(s.finish)}. Type ${s.total} as the amount.`;
      } catch (error) {
        if (!mine.aborted) place.textContent = error instanceof Error ? error.message : "";
      }
    },
    signal,
  );
}

/** @param {JobDesk} desk @param {string} id */
export async function withdrawQuote(desk, id) {
  const quote = desk.page.quotes.find((each) => each.id === id);
  if (!quote) return;
  const key = newKey();
  await dialog({
    title: `Withdraw ${quote.number}`,
    body: html`<p>The client can read it but no longer accept it. A withdrawn quote stays withdrawn; issue a next revision instead.</p>
      ${field({ form: "withdraw", name: "reason", label: "Reason", type: "textarea", required: true, maxlength: 1000 })}`,
    action: "Withdraw the quote",
    grave: true,
    signal: desk.signal,
    submit: async (data) => {
      await post("/api/quotes/{quote}/withdraw", {
        path: { quote: id },
        body: { reason: text(data, "reason") },
        key,
      });
      say(`${quote.number} is withdrawn.`);
      await desk.refresh();
    },
  });
}

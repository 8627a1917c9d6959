// @ts-check
// A quote, read like a letter and decided: accept with name and typed signature, or decline with a reason.

import "../../components/bf-figure.js";
import "../../components/bf-title-block.js";
import { clearProblem, showProblem } from "../../components/bf-problem.js";
import { say } from "../../components/bf-toast.js";
import { ApiProblem, get, newKey, post } from "../../lib/call.js";
import { field, onSubmit, showErrors, text } from "../../lib/form.js";
import { html, make, render } from "../../lib/html.js";
import { confidence, decisionHow, quoteState, word } from "../../lib/words.js";

/** @import { ClientQuote, Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { Context } from "../../lib/router.js" */

/** @type {import("../../lib/router.js").View} */
export default async function view(root, params, context) {
  const { signal, changed } = context;
  const id = params["quote"] ?? "";
  let shown = "";
  const load = async () => {
    const quote = await get("/api/client/quotes/{quote}", { path: { quote: id }, signal });
    // Somebody may be writing in the form: draw again only when the quote itself is another.
    const state = `${quote.state} ${quote.document_hash}`;
    if (state === shown) return;
    shown = state;
    const job = await get("/api/client/jobs/{job}", { path: { job: quote.job_id }, signal });
    await draw(root, { quote, job: job.summary }, context, (decided) => {
      shown = `${decided.state} ${decided.document_hash}`;
    });
  };
  await load();
  changed(() => {
    void load().catch((error) => {
      if (!signal.aborted) showProblem(root, error);
    });
  });
}

/** @typedef {{ quote: ClientQuote, job: Schemas["ClientJobSummary"] }} Shown */

/** @param {HTMLElement} root @param {Shown} shown @param {Context} context @param {(decided: ClientQuote) => void} decided */
async function draw(root, { quote, job }, context, decided) {
  const { formats } = context;
  render(
    root,
    html`<p class="no-print"><a href="/client/jobs/${quote.job_id}">Back to where it stands</a></p>
    <article class="sheet letter">
      <h1>Quote ${quote.number}</h1>
      ${decision(quote, formats)}
      <p class="sentence">${sentence(quote, formats)}</p>
      ${quote.note ? html`<p class="terms">${quote.note}</p>` : ""}
      <div class="figures">
        ${make("bf-figure", { label: "Total, tax included", value: formats.money(quote.total, quote.currency), note: `confidence: ${word(confidence, quote.confidence)}`, steps: steps(quote, formats) })}
        ${quote.finish ? make("bf-figure", { label: "Finished by", value: formats.day(quote.finish), note: `confidence: ${word(confidence, quote.confidence)}` }) : ""}
      </div>
      ${phases(quote, formats)}
      ${draws(quote, formats)}
      <section aria-labelledby="terms-h"><h2 id="terms-h">Terms</h2><p class="terms">${quote.terms}</p></section>
      <p><a href="/api/client/quotes/${quote.id}/document" target="_blank" rel="noopener">The exact document, to read, print and keep (new tab)</a>; <a href="/api/client/quotes/${quote.id}/document?as=pdf" target="_blank" rel="noopener">the same as PDF (new tab)</a>; <a href="/api/client/quotes/${quote.id}/workbook">as a spreadsheet to reckon with</a></p>
      ${make("bf-title-block", { cells: { job: String(job.number), revision: String(quote.revision), date: formats.day(formats.dayOf(quote.issued_at)), authorised: quote.state === "accepted" ? formats.money(quote.total, quote.currency) : "not yet", promise: formats.day(quote.finish), vehicle: job.vehicle, title: `${job.title}, quote ${quote.number}`, sheet: "1 of 1" } })}
    </article>
    ${quote.state === "open" ? forms(quote, formats) : ""}`,
  );
  if (quote.state === "open") decide(root, { quote, job }, context, decided);
}

/** @param {ClientQuote} quote @param {Formats} formats */
function sentence(quote, formats) {
  const finish = quote.finish ? `, finished by ${formats.day(quote.finish)}` : "";
  const until =
    quote.state === "open"
      ? ` The quote is open until ${formats.day(formats.lastDay(quote.expires_at))}.`
      : "";
  return `${formats.money(quote.total, quote.currency)} for the work below${finish}.${until}`;
}

/** @param {ClientQuote} quote @param {Formats} formats */
function steps(quote, formats) {
  return [
    {
      name: "Work and material",
      words: "sum of the phases below",
      value: formats.money(quote.net, quote.currency),
    },
    ...quote.taxes.map((t) => ({
      name: `Tax ${formats.percent(t.percent)}`,
      words: `on ${formats.money(t.base, quote.currency)}`,
      value: formats.money(t.tax, quote.currency),
    })),
    { name: "Total", words: "work and material with tax", value: formats.money(quote.total, quote.currency) },
  ];
}

/** @param {ClientQuote} quote @param {Formats} formats */
function phases(quote, formats) {
  return html`<section aria-labelledby="work-h"><h2 id="work-h">The work</h2>
    ${quote.phases.map(
      (
        p,
        index,
      ) => html`<details id="quote-phase-${index}"><summary><span class="row between grow"><strong>${p.name}</strong><span class="num">${formats.money(p.net, quote.currency)}</span></span></summary>
      ${p.start && p.finish ? html`<p class="second">${formats.day(p.start)} to ${formats.day(p.finish)}</p>` : ""}
      <div class="scroll"><table><thead><tr><th scope="col">What</th><th scope="col" class="num">How much</th><th scope="col" class="num">Net</th></tr></thead>
      <tbody>${p.lines.map((l) => html`<tr><th scope="row">${l.description}</th><td class="num">${formats.quantity(l.quantity, l.unit)}</td><td class="num">${formats.money(l.net, quote.currency)}</td></tr>`)}</tbody></table></div></details>`,
    )}
    <table class="totals"><tbody>
      <tr><th scope="row">Net</th><td class="num">${formats.money(quote.net, quote.currency)}</td></tr>
      ${quote.taxes.map((t) => html`<tr><th scope="row">Tax ${formats.percent(t.percent)} on ${formats.money(t.base, quote.currency)}</th><td class="num">${formats.money(t.tax, quote.currency)}</td></tr>`)}
      <tr class="sum"><th scope="row">Total</th><td class="num">${formats.money(quote.total, quote.currency)}</td></tr>
    </tbody></table></section>`;
}

/** @param {ClientQuote} quote @param {Formats} formats */
function draws(quote, formats) {
  return html`<section aria-labelledby="draws-h"><h2 id="draws-h">How it is paid</h2><table><thead><tr><th scope="col">When</th><th scope="col" class="num">Share</th><th scope="col" class="num">Amount</th></tr></thead>
    <tbody>${quote.draws.map((d) => html`<tr><th scope="row">${d.name}</th><td class="num">${formats.percent(d.percent)}</td><td class="num">${formats.money(d.amount, quote.currency)}</td></tr>`)}</tbody></table></section>`;
}

/** @param {ClientQuote} quote @param {Formats} formats */
function decision(quote, formats) {
  if (quote.state === "open") return "";
  const d = quote.decision;
  if (!d)
    return html`<p class="note watch"><strong>${word(quoteState, quote.state)}.</strong> This revision can no longer be accepted; it stays here to be read.</p>`;
  return html`<div class="note ${d.outcome === "accepted" ? "good" : ""}"><p><strong>${word(quoteState, quote.state)}</strong> by ${d.name}, ${word(decisionHow, d.how)}, ${formats.instant(d.decided_at)}${d.outcome === "accepted" ? `, for ${formats.money(d.amount, quote.currency)}` : ""}.</p>
    ${d.signature ? html`<p>Signed: <span class="signature">${d.signature}</span></p>` : ""}${d.reason ? html`<p>Reason: ${d.reason}</p>` : ""}</div>`;
}

/** @param {ClientQuote} quote @param {Formats} formats */
function forms(quote, formats) {
  return html`<section class="sheet decide no-print" aria-labelledby="decide-h"><h2 id="decide-h">Your decision</h2>
    <form id="accept">
      ${field({ form: "accept", name: "name", label: "Your name", required: true, maxlength: 160, autocomplete: "name" })}
      ${field({ form: "accept", name: "signature", label: "Type your name again as your signature", required: true, maxlength: 160, autocomplete: "off", hint: `You agree to ${formats.money(quote.total, quote.currency)} and the terms above, as in the document of revision ${quote.revision}.` })}
      <div class="actions"><button type="submit" class="act big">Accept for ${formats.money(quote.total, quote.currency)}</button></div>
    </form>
    <details id="decline-more"><summary>Decline instead</summary><form id="decline">
      ${field({ form: "decline", name: "name", label: "Your name", required: true, maxlength: 160, autocomplete: "name" })}
      ${field({ form: "decline", name: "reason", label: "Why, so that the shop can answer", type: "textarea", required: true, maxlength: 4000 })}
      <div class="actions"><button type="submit" class="grave">Decline the quote</button></div>
    </form></details></section>`;
}

/** @param {HTMLElement} root @param {Shown} shown @param {Context} context @param {(decided: ClientQuote) => void} decided */
function decide(root, { quote, job }, context, decided) {
  // One key for each form: a tap that was answered by nothing may be repeated safely.
  for (const outcome of /** @type {const} */ (["accepted", "declined"])) {
    const form = /** @type {HTMLFormElement} */ (
      root.querySelector(outcome === "accepted" ? "#accept" : "#decline")
    );
    let key = newKey();
    let sent = "";
    onSubmit(
      form,
      async (data) => {
        clearProblem(form);
        const body = {
          outcome,
          name: text(data, "name"),
          signature: text(data, "signature"),
          document_hash: quote.document_hash,
          reason: text(data, "reason"),
        };
        // Another body needs another key.
        if (sent && sent !== JSON.stringify(body)) key = newKey();
        sent = JSON.stringify(body);
        const answer = await post("/api/client/quotes/{quote}/decision", {
          path: { quote: quote.id },
          body,
          key,
          signal: context.signal,
        });
        decided(answer);
        await draw(root, { quote: answer, job }, context, decided);
        const heading = root.querySelector("h1");
        heading?.setAttribute("tabindex", "-1");
        heading?.focus();
        scrollTo(0, 0);
        say(
          outcome === "accepted"
            ? "Accepted. The document as agreed can be downloaded here at any time."
            : "Declined. The shop sees your reason.",
        );
      },
      (error) => {
        showProblem(form, error);
        if (error instanceof ApiProblem) showErrors(form, error);
      },
      context.signal,
    );
  }
}

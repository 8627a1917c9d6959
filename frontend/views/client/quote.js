// @ts-check
// A quote, read like a letter and decided: accept with name and typed signature, or decline with a reason.

import "../../components/bf-figure.js";
import { daysWords } from "../../components/effect-words.js";
import "../../components/bf-title-block.js";
import { clearProblem, showProblem } from "../../components/bf-problem.js";
import { say } from "../../components/bf-toast.js";
import { ApiProblem, get, newKey, post } from "../../lib/call.js";
import { field, onSubmit, showErrors, text } from "../../lib/form.js";
import { html, make, on, render } from "../../lib/html.js";
import { confidence, decisionHow, quoteState, word } from "../../lib/words.js";
import { judged } from "./points.js";
import { choices, chosen, says } from "./quote-options.js";

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
    const path = { job: quote.job_id };
    const [job, points] = await Promise.all([
      get("/api/client/jobs/{job}", { path, signal }),
      // The quote can be read and decided on without them.
      get("/api/client/jobs/{job}/points", { path, signal }).catch(() => undefined),
    ]);
    await draw(root, { quote, job: job.summary, points }, context, (decided) => {
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

/** @typedef {{ quote: ClientQuote, job: Schemas["ClientJobSummary"], points?: Schemas["ClientPoints"] | undefined }} Shown */

/** The figures of a selection, at first of what the shop advises. @typedef {Pick<ClientQuote, "net" | "total" | "taxes" | "draws" | "phases" | "currency" | "finish"> & { days: number, option_ids: string[], options: Schemas["QuoteOption"][] }} Chosen */

/** @param {ClientQuote} quote @returns {Chosen} */
const advised = (quote) => ({
  ...quote,
  days: 0,
  option_ids: quote.options.filter((o) => o.taken).map((o) => o.id),
});

/** @param {HTMLElement} root @param {Shown} shown @param {Context} context @param {(decided: ClientQuote) => void} decided */
async function draw(root, { quote, job, points }, context, decided) {
  const { formats } = context;
  const total = make("bf-figure", {
    label: "Total, tax included",
    value: formats.money(quote.total, quote.currency),
    note: `confidence: ${word(confidence, quote.confidence)}`,
    steps: steps(quote, formats),
  });
  const finish = make("bf-figure", {
    label: "Finished by",
    value: formats.day(quote.finish),
    note: `confidence: ${word(confidence, quote.confidence)}`,
  });
  render(
    root,
    html`<p class="no-print"><a href="/client/jobs/${quote.job_id}">Back to where it stands</a></p>
    <article class="sheet letter">
      <h1>Quote ${quote.number}</h1>
      ${decision(quote, formats)}
      ${quote.opening ? html`<p class="terms">${quote.opening}</p>` : ""}
      <p class="sentence" id="lead">${sentence(quote, formats)}</p>
      ${quote.note ? html`<p class="terms">${quote.note}</p>` : ""}
      <div class="figures">
        ${total}${quote.finish ? finish : ""}
      </div>
      <p class="sentence" id="comes-to" aria-live="polite"></p>
      ${choices(quote, formats)}
      <div class="view" id="quote-work">${phases(quote, formats)}${draws(quote, formats)}</div>
      ${judged(points)}
      ${quote.closing ? html`<p class="terms">${quote.closing}</p>` : ""}
      <section aria-labelledby="terms-h"><h2 id="terms-h">Terms</h2><p class="terms">${quote.terms}</p></section>
      <p><a href="/api/client/quotes/${quote.id}/document" target="_blank" rel="noopener">The exact document, to read, print and keep (new tab)</a>; <a href="/api/client/quotes/${quote.id}/document?as=pdf" target="_blank" rel="noopener">the same as PDF (new tab)</a>; <a href="/api/client/quotes/${quote.id}/workbook">as a spreadsheet to reckon with</a></p>
      ${quote.decision?.document_hash ? html`<p><a href="/api/client/quotes/${quote.id}/document?agreed=true" target="_blank" rel="noopener">The document as agreed, with what was chosen (new tab)</a>; <a href="/api/client/quotes/${quote.id}/document?agreed=true&amp;as=pdf" target="_blank" rel="noopener">the same as PDF (new tab)</a></p>` : ""}
      ${make("bf-title-block", { cells: { job: String(job.number), revision: String(quote.revision), date: formats.day(formats.dayOf(quote.issued_at)), authorised: quote.state === "accepted" ? formats.money(quote.total, quote.currency) : "not yet", promise: formats.day(quote.finish), vehicle: job.vehicle, title: `${job.title}, quote ${quote.number}`, sheet: "1 of 1" } })}
    </article>
    ${quote.state === "open" ? forms(quote, formats) : ""}`,
  );
  if (quote.state !== "open") return;
  /** What was read last, and whether it is what is chosen. */
  const sitting = { now: advised(quote), reckoned: true };
  decide(root, { quote, job, points }, sitting, context, decided, (now) => show(now));
  const show = (/** @type {Chosen} */ now) => {
    sitting.now = now;
    sitting.reckoned = true;
    Object.assign(total, { value: formats.money(now.total, now.currency), steps: steps(now, formats) });
    Object.assign(finish, { value: formats.day(now.finish) });
    const work = /** @type {HTMLElement} */ (root.querySelector("#quote-work"));
    render(work, html`${phases(now, formats)}${draws(now, formats)}`);
    for (const o of now.options)
      for (const place of root.querySelectorAll(`[data-says="${o.id}"]`))
        place.textContent = says(o, now.currency, formats);
    const lead = root.querySelector("#lead");
    if (lead) lead.textContent = sentence({ ...quote, ...now }, formats);
    const comes = root.querySelector("#comes-to");
    if (comes) comes.textContent = comesTo(now, formats);
    for (const place of root.querySelectorAll("[data-total]"))
      place.textContent = formats.money(now.total, now.currency);
  };
  let asked = new AbortController();
  on(
    root,
    "change",
    "input[data-option]",
    async () => {
      asked.abort();
      asked = new AbortController();
      sitting.reckoned = false;
      const mine = AbortSignal.any([context.signal, asked.signal]);
      const place = /** @type {HTMLElement} */ (root.querySelector("#choose"));
      clearProblem(place);
      try {
        const now = await post("/api/client/quotes/{quote}/preview", {
          path: { quote: quote.id },
          body: { option_ids: chosen(root) },
          signal: mine,
        });
        if (!mine.aborted) show(now);
      } catch (error) {
        if (!mine.aborted) showProblem(place, error);
      }
    },
    context.signal,
  );
}

/** What the selection comes to, for who cannot see the figures move. @param {Chosen} now @param {Formats} formats */
function comesTo(now, formats) {
  const moved = now.days === 0 ? "" : `, ${daysWords(now.days)} than with what the shop advises`;
  return `With what you chose: ${formats.money(now.total, now.currency)}${now.finish ? `, finished by ${formats.day(now.finish)}${moved}` : ""}.`;
}

/** @param {Pick<ClientQuote, "total" | "finish" | "currency" | "state" | "expires_at">} quote @param {Formats} formats */
function sentence(quote, formats) {
  const finish = quote.finish ? `, finished by ${formats.day(quote.finish)}` : "";
  const until =
    quote.state === "open"
      ? ` This quote holds until ${formats.day(formats.lastDay(quote.expires_at))}.`
      : "";
  return `${formats.money(quote.total, quote.currency)} for the work below${finish}.${until}`;
}

/** @param {Pick<ClientQuote, "net" | "taxes" | "total" | "currency">} quote @param {Formats} formats */
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

/** @param {Pick<ClientQuote, "phases" | "net" | "taxes" | "total" | "currency">} quote @param {Formats} formats */
function phases(quote, formats) {
  return html`<section aria-labelledby="work-h"><h2 id="work-h">The work</h2>
    ${quote.phases.map(
      (
        p,
        index,
      ) => html`<details id="quote-phase-${index}"><summary><span class="row between grow"><strong>${p.name}</strong><span class="num">${formats.money(p.net, quote.currency)}</span></span></summary>
      ${p.start && p.finish ? html`<p class="second">${formats.day(p.start)} to ${formats.day(p.finish)}</p>` : ""}
      <div class="scroll" tabindex="0" role="region" aria-label="Lines of ${p.name}"><table><thead><tr><th scope="col">What</th><th scope="col" class="num">How much</th><th scope="col" class="num">Net</th></tr></thead>
      <tbody>${p.lines.map((l) => html`<tr><th scope="row">${l.description}</th><td class="num">${formats.quantity(l.quantity, l.unit)}</td><td class="num">${formats.money(l.net, quote.currency)}</td></tr>`)}</tbody></table></div></details>`,
    )}
    <table class="totals"><tbody>
      <tr><th scope="row">Net</th><td class="num">${formats.money(quote.net, quote.currency)}</td></tr>
      ${quote.taxes.map((t) => html`<tr><th scope="row">Tax ${formats.percent(t.percent)} on ${formats.money(t.base, quote.currency)}</th><td class="num">${formats.money(t.tax, quote.currency)}</td></tr>`)}
      <tr class="sum"><th scope="row">Total</th><td class="num">${formats.money(quote.total, quote.currency)}</td></tr>
    </tbody></table></section>`;
}

/** @param {Pick<ClientQuote, "draws" | "currency">} quote @param {Formats} formats */
function draws(quote, formats) {
  return html`<section aria-labelledby="draws-h"><h2 id="draws-h">How it is paid</h2><table><thead><tr><th scope="col">When</th><th scope="col" class="num">Share</th><th scope="col" class="num">Amount</th></tr></thead>
    <tbody>${quote.draws.map((d) => html`<tr><th scope="row">${d.name}${d.when ? html`<br><span class="small">${d.when}.</span>` : ""}</th><td class="num">${formats.percent(d.percent)}</td><td class="num">${formats.money(d.amount, quote.currency)}</td></tr>`)}</tbody></table></section>`;
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
      ${field({ form: "accept", name: "signature", label: "Type your name again as your signature", required: true, maxlength: 160, autocomplete: "off", hint: `You agree to the total, the date and the terms above, as in the document of revision ${quote.revision}${quote.options.length > 0 ? " with what you chose" : ""}.` })}
      <div class="actions"><button type="submit" class="act big">Accept for <span data-total>${formats.money(quote.total, quote.currency)}</span></button></div>
    </form>
    <details id="decline-more"><summary>Decline instead</summary><form id="decline">
      ${field({ form: "decline", name: "name", label: "Your name", required: true, maxlength: 160, autocomplete: "name" })}
      ${field({ form: "decline", name: "reason", label: "Why, so that the shop can answer", type: "textarea", required: true, maxlength: 4000 })}
      <div class="actions"><button type="submit" class="grave">Decline the quote</button></div>
    </form></details></section>`;
}

/**
 * @param {HTMLElement} root
 * @param {Shown} shown
 * @param {{ now: Chosen, reckoned: boolean }} sitting
 * @param {Context} context
 * @param {(decided: ClientQuote) => void} decided
 * @param {(now: Chosen) => void} moved
 */
function decide(root, { quote, job, points }, sitting, context, decided, moved) {
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
        // The figures of this choice are on their way: nobody agrees to what was not read.
        if (outcome === "accepted" && !sitting.reckoned) return;
        const { now } = sitting;
        const agreed =
          outcome === "accepted" && quote.options.length > 0
            ? { option_ids: now.option_ids, amount: now.total, ...(now.finish ? { finish: now.finish } : {}) }
            : {};
        const body = {
          ...agreed,
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
        await draw(root, { quote: answer, job, points }, context, decided);
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
        if (!(error instanceof ApiProblem)) return;
        if (error.type.endsWith(":selection-moved") && error.evidence)
          moved(/** @type {Chosen} */ (error.evidence));
        showErrors(form, error);
      },
      context.signal,
    );
  }
}

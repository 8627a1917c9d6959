// @ts-check
// Where it stands: one sentence, one picture, the date and how sure it is, what happens next, the money.

import "../../components/bf-figure.js";
import { showProblem } from "../../components/bf-problem.js";
import { get } from "../../lib/call.js";
import { html, make, render } from "../../lib/html.js";
import { confidence, quoteState, word } from "../../lib/words.js";
import { drawing } from "./drawing.js";
import { pagesOf } from "./page.js";

/** @import { ClientJob, Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @type {import("../../lib/router.js").View} */
export default async function view(root, params, { signal, formats, changed }) {
  const id = params["job"] ?? "";
  const load = async () => {
    const [job, { items }] = await Promise.all([
      get("/api/client/jobs/{job}", { path: { job: id }, signal }),
      get("/api/client/jobs/{job}/orders", { path: { job: id }, signal }),
    ]);
    const waiting = items.filter(({ state }) => state === "sent");
    render(root, screen(job, waiting, formats));
  };
  await load();
  changed((change) => {
    if (change.job && change.job !== id) return;
    void load().catch((error) => {
      if (!signal.aborted) showProblem(root, error);
    });
  });
}

/** @param {ClientJob} job @param {Schemas["ClientOrderSummary"][]} waiting @param {Formats} formats */
function screen(job, waiting, formats) {
  const open = job.quotes.filter((q) => q.state === "open");
  return html`${pagesOf(job.summary.id, "Where it stands")}<header><p class="second">Job ${job.summary.number}, ${job.summary.title}</p><h1>${job.summary.vehicle}</h1></header>
    ${open.map(
      (q) =>
        html`<section class="sheet decide"><h2>A quote waits for your decision</h2><p>Quote ${q.number}, ${formats.money(q.total, q.currency)}, holds until ${formats.day(formats.lastDay(q.expires_at))}.</p><p><a class="button act" href="/client/quotes/${q.id}">Read and decide</a></p></section>`,
    )}
    ${waits(job, waiting, formats)}
    <section class="sheet letter" aria-labelledby="stands-h">
      <h2 id="stands-h" class="visually-hidden">Where it stands</h2>
      <p class="sentence">${job.summary.sentence}</p>
      <div class="beside"><div>${drawing(job, formats)}</div><div class="stack">${dates(job, formats)}</div></div>
    </section>
    <section class="sheet" aria-labelledby="next-h"><h2 id="next-h">What happens next</h2>
      ${job.next.length > 0 ? html`<ol class="rows">${job.next.map((n) => html`<li><strong>${formats.day(n.day)}</strong>: ${n.name} <span class="second">(${n.phase})</span></li>`)}</ol>` : html`<p class="second">Nothing is scheduled at the moment.</p>`}
    </section>
    ${
      job.opened.length > 0
        ? html`<section class="sheet" aria-labelledby="opened-h"><h2 id="opened-h">Done beyond the quote</h2><p>The shop opened this work itself, for the reason given. Ask the shop if something is not clear.</p><ul class="rows">${job.opened.map((o) => html`<li><strong>${o.task}</strong><br>${o.reason} <span class="second">(${formats.instant(o.at)})</span></li>`)}</ul></section>`
        : ""
    }
    ${money(job, formats)}`;
}

/** @param {ClientJob} job @param {Schemas["ClientOrderSummary"][]} waiting @param {Formats} formats */
function waits(job, waiting, formats) {
  const [first] = waiting;
  if (!first) return "";
  // Whichever ends first comes first.
  const last = formats.lastDay(waiting.map((o) => o.expires_at).sort()[0] ?? first.expires_at);
  const until = `holds until ${formats.day(last)}, ${formats.relativeDay(last)}`;
  return waiting.length === 1
    ? html`<section class="sheet decide"><h2>A change order waits for your decision</h2><p>Change order ${first.number}, ${first.title}: ${formats.money(first.amount, job.currency)} as the shop advises it; it ${until}.</p><p><a class="button act" href="/client/orders/${first.id}">Read and decide<span class="visually-hidden"> on change order ${first.number}</span></a></p></section>`
    : html`<section class="sheet decide"><h2>${waiting.length} change orders wait for your decision</h2><p>The first of them ${until}.</p><p><a class="button act" href="/client/jobs/${job.summary.id}/decisions">Read and decide<span class="visually-hidden"> on ${waiting.length} change orders</span></a></p></section>`;
}

/** @param {ClientJob} job @param {Formats} formats */
function dates(job, formats) {
  const sure = `confidence: ${word(confidence, job.confidence)}`;
  const late = job.late_days > 0;
  return html`
    ${make("bf-figure", { label: "Promised for", value: formats.day(job.promise), note: job.promise ? sure : "" })}
    ${job.finish ? make("bf-figure", { label: "As it stands now, finished on", value: formats.day(job.finish), note: sure, tone: late ? "stop" : "" }) : ""}
    ${late ? html`<p class="note stop">${job.late_days === 1 ? "One working day" : `${job.late_days} working days`} later than promised.</p>` : ""}
    ${job.assumptions.length > 0 ? html`<div><h3>This assumes</h3><ul>${job.assumptions.map((a) => html`<li>${a}</li>`)}</ul></div>` : ""}`;
}

/** @param {ClientJob} job @param {Formats} formats */
function money(job, formats) {
  const agreed = job.quotes.some((q) => q.state === "accepted");
  return html`<section class="sheet" aria-labelledby="money-h"><h2 id="money-h">Money agreed</h2>
    ${
      agreed
        ? html`${make("bf-figure", { label: "Agreed so far, tax included", value: formats.money(job.agreed_amount, job.currency), note: "nothing beyond it without your yes" })}
      <p><a href="/client/jobs/${job.summary.id}/money">How it came about, what was paid and what comes next</a></p>`
        : html`<p class="empty">Nothing is agreed yet. When you accept a quote, its amount and how it is paid stand here.</p>`
    }
    ${
      job.quotes.length > 0
        ? html`<h3>Quotes</h3><ul class="rows">${job.quotes.map((q) => html`<li class="row between"><span><a href="/client/quotes/${q.id}">Quote ${q.number}</a>, ${formats.money(q.total, q.currency)}<br><span class="small">${word(quoteState, q.state)}${q.decision ? `, ${formats.instant(q.decision.decided_at)}` : ""}</span></span><a href="/api/client/quotes/${q.id}/document" target="_blank" rel="noopener">Document of ${q.number} (new tab)</a></li>`)}</ul>`
        : ""
    }
  </section>`;
}

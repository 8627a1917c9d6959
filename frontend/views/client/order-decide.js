// @ts-check
// The decision on a change order: approve by name and typed signature, or decline with a reason. The figures
// that were read go with it; when they have moved meanwhile, old and new are shown and asked about again.

import { clearProblem, showProblem } from "../../components/bf-problem.js";
import { say } from "../../components/bf-toast.js";
import { ApiProblem, newKey, post } from "../../lib/call.js";
import { field, onSubmit, showErrors, text } from "../../lib/form.js";
import { html, render } from "../../lib/html.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Context } from "../../lib/router.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { ClientOrder } from "./order-letter.js" */
/** @import { Sitting } from "./order.js" */

/** @typedef {Schemas["ClientEffect"]} Effect */

/** Refusals after which the page itself is another. */
const over = /:(order-(decided|withdrawn|expired|not-sent)|another-document)$/;

/**
 * @param {HTMLElement} place
 * @param {Context} context
 * @param {object} told
 * @param {() => void} told.begins
 * @param {() => void} told.refused
 * @param {(effect: Effect) => void} told.moved
 * @param {(order: ClientOrder) => void} told.decided
 * @param {() => Promise<void>} told.again
 */
export function decides(place, { signal, formats }, told) {
  /** @type {Sitting | undefined} */
  let sitting;
  render(place, forms());
  const [approve, decline] = /** @type {NodeListOf<HTMLFormElement>} */ (place.querySelectorAll("form"));
  const all = /** @type {HTMLDetailsElement} */ (place.querySelector("details"));
  const said = place.querySelector("#moved");
  if (!approve || !decline || !said) throw new TypeError("no forms");

  for (const [form, outcome] of /** @type {[HTMLFormElement, "approved" | "declined"][]} */ ([
    [approve, "approved"],
    [decline, "declined"],
  ])) {
    // One key for each decision: a tap that was answered by nothing may be repeated safely.
    let key = newKey();
    let sent = "";
    onSubmit(
      form,
      async (data) => {
        if (!sitting || (outcome === "approved" && !sitting.reckoned)) return;
        told.begins();
        clearProblem(form);
        render(said, html``);
        const { order, effect } = sitting;
        const body = {
          outcome,
          name: text(data, "name"),
          signature: text(data, "signature"),
          document_hash: order.document_hash,
          choices: outcome === "approved" ? effect.choices : [],
          amount: effect.amount,
          ...(effect.dates.promise_after ? { promise_after: effect.dates.promise_after } : {}),
          reason: text(data, "reason"),
        };
        // Another body needs another key.
        if (sent && sent !== JSON.stringify(body)) key = newKey();
        sent = JSON.stringify(body);
        const path = { order: order.summary.id };
        const answer = await post("/api/client/orders/{order}/decision", { path, body, key, signal });
        told.decided(answer);
        say(
          answer.summary.state === "approved"
            ? "Approved. The document as decided can be downloaded here at any time."
            : "Declined. The shop sees your reason.",
        );
      },
      (error) => {
        const now = movedTo(error);
        if (now) {
          told.moved(now);
          return;
        }
        showProblem(form, error);
        told.refused();
        if (!(error instanceof ApiProblem)) return;
        showErrors(form, error);
        if (over.test(error.type))
          told.again().then(
            () => sitting?.order.summary.state !== "sent" && showProblem(place, error),
            () => undefined,
          );
      },
      signal,
    );
  }

  return {
    /** @param {Effect} before @param {Effect} now @param {string} since when the first were so */
    moved: (before, now, since) => render(said, moved(before, now, since, formats)),
    still: () => render(said, html``),
    /** @param {Sitting} now */
    show(now) {
      sitting = now;
      const { order, chosen, effect, reckoned } = now;
      const open = order.summary.state === "sent";
      for (const part of [approve, all, place.querySelector("#left")])
        if (part instanceof HTMLElement) part.hidden = !open;
      place.hidden = !open && !place.querySelector(":scope > bf-problem");
      /** @type {HTMLElement} */ (place.querySelector("section")).hidden = !open;
      const leaves = [...chosen.values()].every((key) => key === "");
      approve.hidden = leaves;
      /** @type {HTMLElement} */ (place.querySelector("#left")).hidden = !leaves;
      if (leaves) all.open = true;
      const button = /** @type {HTMLButtonElement} */ (approve.querySelector("button"));
      button.disabled = !reckoned;
      button.textContent = reckoned
        ? `Approve for ${formats.money(effect.amount, effect.currency)}`
        : "The figures are being worked out";
      const hint = approve.querySelector("#approve-signature-hint");
      if (hint && reckoned) hint.textContent = agreed(effect, formats);
    },
  };
}

function forms() {
  return html`<section class="sheet decide no-print" aria-labelledby="decide-h"><h2 id="decide-h">Your decision</h2>
    <div id="moved" role="alert"></div>
    <p id="left" class="note" hidden>You leave everything in this order: that is to decline it. Say why below, so that the shop knows.</p>
    <form id="approve">
      ${field({ form: "approve", name: "name", label: "Your name", required: true, maxlength: 160, autocomplete: "name" })}
      ${field({ form: "approve", name: "signature", label: "Type your name again as your signature", required: true, maxlength: 160, autocomplete: "off", hint: "You agree to what is chosen above." })}
      <div class="actions"><button type="submit" class="act big" disabled></button></div>
    </form>
    <details id="decline-more"><summary>Decline all of it instead</summary><form id="decline">
      ${field({ form: "decline", name: "name", label: "Your name", required: true, maxlength: 160, autocomplete: "name" })}
      ${field({ form: "decline", name: "reason", label: "Why, so that the shop can answer", type: "textarea", required: true, maxlength: 4000 })}
      <div class="actions"><button type="submit" class="grave">Decline the change order</button></div>
    </form></details></section>`;
}

/** @param {Effect} effect @param {Formats} formats */
function agreed({ amount, authorised_after, dates, currency }, formats) {
  const date = dates.promise_after ? `, promised for ${formats.day(dates.promise_after)}` : "";
  return `You agree to what is chosen above, ${formats.money(amount, currency)}: ${formats.money(authorised_after, currency)} in all${date}, as in the document.`;
}

/** What the selection does now, when that is why a decision was refused. @param {unknown} error */
function movedTo(error) {
  if (!(error instanceof ApiProblem) || !error.type.endsWith(":effect-moved") || !error.evidence)
    return undefined;
  return /** @type {Effect} */ (error.evidence);
}

/** @param {Effect} before @param {Effect} now @param {string} since @param {Formats} formats */
function moved(before, now, since, formats) {
  /** @param {string} name @param {string} was @param {string} is */
  const row = (name, was, is) =>
    html`<tr><th scope="row">${name}</th><td class="num">${was === is ? was : html`<s>${was}</s>`}</td><td class="num"><strong>${is}</strong></td></tr>`;
  const money = (/** @type {string} */ value) => formats.money(value, now.currency);
  return html`<div class="note watch"><p><strong>Price or date have moved since ${since}.</strong> Nothing is decided yet. If you agree to the new ones, approve below; what you typed is still there.</p>
    <div class="scroll"><table class="wraps"><thead><tr><td></td><th scope="col" class="num">Before</th><th scope="col" class="num">Now</th></tr></thead><tbody>
    ${row("This change", money(before.amount), money(now.amount))}${row("New total", money(before.authorised_after), money(now.authorised_after))}${row("Promised for", formats.day(before.dates.promise_after), formats.day(now.dates.promise_after))}
    </tbody></table></div></div>`;
}

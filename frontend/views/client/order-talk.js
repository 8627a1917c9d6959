// @ts-check
// What the client asks about a change order before deciding, and what the shop answers.

import { clearProblem, showProblem } from "../../components/bf-problem.js";
import { say } from "../../components/bf-toast.js";
import { ApiProblem, newKey, post } from "../../lib/call.js";
import { field, onSubmit, showErrors, text } from "../../lib/form.js";
import { html, render } from "../../lib/html.js";

/** @import { Context } from "../../lib/router.js" */
/** @import { ClientOrder } from "./order-letter.js" */

/** @param {HTMLElement} place @param {Context} context @param {(order: ClientOrder) => void} take @returns {(order: ClientOrder) => void} */
export function talk(place, { signal, formats }, take) {
  const list = document.createElement("div");
  render(
    place,
    html`<section class="sheet" aria-labelledby="ask-h"><h2 id="ask-h">Questions and answers</h2>${list}<form>${field({ form: "ask", name: "text", label: "Ask the shop before you decide", type: "textarea", required: true, maxlength: 2000 })}<div class="actions"><button type="submit">Send the question</button></div></form></section>`,
  );
  const form = /** @type {HTMLFormElement} */ (place.querySelector("form"));
  let order = "";
  let key = newKey();
  let sent = "";
  onSubmit(
    form,
    async (data) => {
      clearProblem(form);
      const body = { text: text(data, "text") };
      // Another question needs another key; the same one may be repeated safely.
      if (sent && sent !== body.text) key = newKey();
      sent = body.text;
      take(await post("/api/client/orders/{order}/messages", { path: { order }, body, key, signal }));
      key = newKey();
      sent = "";
      form.reset();
      say("Your question is with the shop. The answer appears here.");
    },
    (error) => {
      showProblem(form, error);
      if (error instanceof ApiProblem) showErrors(form, error);
    },
    signal,
  );
  return ({ summary, messages }) => {
    order = summary.id;
    const open = summary.state === "sent";
    place.hidden = !open && messages.length === 0;
    form.hidden = !open;
    render(
      list,
      html`${messages.length > 0 ? html`<ul class="rows">${messages.map((m) => html`<li><p class="small">${m.by}${m.role === "client" ? "" : ", the shop"}, ${formats.instant(m.at)}</p><p class="terms">${m.text}</p></li>`)}</ul>` : ""}
      ${open && summary.questions_open ? html`<p class="note watch">Your question is with the shop; deciding can wait for the answer.</p>` : ""}`,
    );
  };
}

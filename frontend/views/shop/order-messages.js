// @ts-check
// The client's questions about a sent order, and the box that answers them.

import { showProblem } from "../../components/bf-problem.js";
import { say } from "../../components/bf-toast.js";
import { newKey, post } from "../../lib/call.js";
import { field, onSubmit, text } from "../../lib/form.js";
import { html, render } from "../../lib/html.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @param {HTMLElement} root @param {JobDesk} desk @param {(order: Schemas["Order"]) => void} take @returns {(order: Schemas["Order"]) => void} */
export function messages(root, desk, take) {
  const list = document.createElement("div");
  const { signal, formats } = desk;
  // The box stays while the list is drawn again, with what is being typed in it.
  render(
    root,
    html`<section class="sheet"><h2>Questions and answers</h2>${list}<form class="no-print" novalidate>${field({ form: "answer", name: "text", label: "Answer the client", type: "textarea", maxlength: 2000, required: true })}<p class="shop-actions"><button type="submit" id="answer">Send the answer</button></p></form></section>`,
  );
  const form = /** @type {HTMLFormElement} */ (root.querySelector("form"));
  let order = "";
  let key = newKey();
  onSubmit(
    form,
    async (data) => {
      const body = { text: text(data, "text") };
      take(await post("/api/orders/{order}/messages", { path: { order }, body, key }));
      key = newKey();
      form.reset();
      say("The answer is with the client.");
    },
    (error) => showProblem(form, error),
    signal,
  );
  return ({ summary, messages: all }) => {
    order = summary.id;
    root.hidden = summary.state !== "sent" && all.length === 0;
    form.hidden = summary.state !== "sent";
    render(
      list,
      all.length === 0
        ? html`<p class="second">No question yet.</p>`
        : html`<ul class="shop-plain">${all.map((m) => html`<li><p class="small">${m.by}${m.role === "client" ? ", the client" : ""}, ${formats.instant(m.at)}</p><p class="shop-lines">${m.text}</p></li>`)}</ul>`,
    );
  };
}

// @ts-check
// Progress letters of a job: a draft from what happened since the last one, ready to edit; and those sent.

import { showProblem } from "../../components/bf-problem.js";
import { say } from "../../components/bf-toast.js";
import { live } from "../../components/live.js";
import { renderKeeping } from "../../components/shop-keep.js";
import { get, newKey, post } from "../../lib/call.js";
import { field, onSubmit, text } from "../../lib/form.js";
import { html, render } from "../../lib/html.js";
import { mailState } from "./mail.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @param {HTMLElement} root @param {JobDesk} desk @returns {Promise<(own: boolean) => void>} */
export async function letters(root, desk) {
  const { signal, formats } = desk;
  const path = { job: desk.id };
  const fields = document.createElement("div");
  const list = document.createElement("div");
  render(
    root,
    html`<div class="stack"><section class="sheet"><h2>Next letter to ${desk.page.job.client.name}</h2><p class="second">Drafted from what happened since the last one. Change it as you like; nothing goes out before you send it.</p><form novalidate>${fields}<p class="shop-actions"><button type="submit" class="act" id="send-letter">Send to client</button></p></form></section>${list}</div>`,
  );
  const form = /** @type {HTMLFormElement} */ (root.querySelector("form"));
  let key = newKey();
  let own = true;
  const reading = await live({
    job: desk.id,
    context: desk.context,
    place: root,
    read: () => get("/api/jobs/{job}/letters", { path, signal }),
    draw: ({ draft, items }) => {
      const f = { form: "letter", required: true };
      renderKeeping(
        fields,
        html`${field({ ...f, name: "subject", label: "Subject", value: draft.subject, maxlength: 160 })}${field({ ...f, name: "text", label: "Letter", type: "textarea", rows: 14, value: draft.text, maxlength: 8000 })}`,
        { own },
      );
      own = false;
      render(list, sent(items, formats));
    },
  });
  onSubmit(
    form,
    async (data) => {
      const body = { subject: text(data, "subject"), text: text(data, "text") };
      await post("/api/jobs/{job}/letters", { path, body, key });
      key = newKey();
      say("The letter is sent.");
      own = true;
      fields.replaceChildren();
      await reading.again();
    },
    (error) => showProblem(form, error),
    signal,
  );
  return () => undefined;
}

/** @param {Schemas["Letter"][]} items @param {Formats} formats */
function sent(items, formats) {
  if (items.length === 0)
    return html`<p class="empty">No letter sent yet. A short one each week keeps the telephone quiet.</p>`;
  return html`<section><h3>Sent letters</h3>${items.map(
    (l) =>
      html`<details class="sheet" id="letter-${l.id}"><summary><span>${l.number}. ${l.subject} <span class="small">${formats.instant(l.sent_at)}, ${l.sent_by}</span> ${l.mail ? html`<span class="state ${mailState[l.mail][0]}">${mailState[l.mail][1]}</span>` : ""}</span></summary><p class="shop-lines">${l.text}</p></details>`,
  )}</section>`;
}

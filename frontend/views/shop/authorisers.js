// @ts-check
// Who may authorise a change of a job: the client, and a second person that the client named.

import { dialog } from "../../components/bf-dialog.js";
import { say } from "../../components/bf-toast.js";
import { readForm } from "../../components/shop-form.js";
import { newKey, post } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { html, on } from "../../lib/html.js";
import { reasoned } from "./observation-sheets.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @param {Schemas["Authoriser"][]} people @param {Formats} formats */
export function authorisers(people, formats) {
  return html`<section class="sheet"><h3>Who may authorise</h3><ul class="shop-plain">${people.map(
    (
      each,
    ) => html`<li><div class="row between"><span><strong>${each.name}</strong>${each.contact ? `, ${each.contact}` : ""}${each.client ? ", the client" : ""}${each.note ? html` <span class="small">${each.note}</span>` : ""}</span>
      ${each.ended_at ? html`<span class="state">Until ${formats.day(formats.dayOf(each.ended_at))}</span>` : each.id && !each.client ? html`<button type="button" data-end="${each.id}" id="end-${each.id}">End it<span class="visually-hidden"> for ${each.name}</span></button>` : ""}</div></li>`,
  )}</ul><p class="shop-actions"><button type="button" id="name-authoriser">Name a second person</button></p></section>`;
}

/** @param {HTMLElement} root @param {JobDesk} desk @param {() => Promise<void>} again */
export function onAuthorisers(root, desk, again) {
  const { signal } = desk;
  on(root, "click", "#name-authoriser", () => void nameOne(desk, again), signal);
  on(
    root,
    "click",
    "[data-end]",
    (button) =>
      void reasoned({
        title: "May authorise no longer",
        words: html`<p>What was authorised until now stands.</p>`,
        action: "End it",
        grave: true,
        signal,
        send: async (reason, key) => {
          const authoriser = button.dataset["end"] ?? "";
          await post("/api/authorisers/{authoriser}/end", { path: { authoriser }, body: { reason }, key });
          await again();
        },
      }),
    signal,
  );
}

/** @param {JobDesk} desk @param {() => Promise<void>} again */
async function nameOne(desk, again) {
  const key = newKey();
  const f = { form: "who", required: true, maxlength: 160 };
  await dialog({
    title: "Name a second person",
    body: html`<p>Only whom the client named may authorise for them. Say how you know.</p>
      ${field({ ...f, name: "name", label: "Name" })}${field({ ...f, name: "contact", label: "Number or address" })}
      ${field({ form: "who", name: "note", label: "How the client named them", type: "textarea", maxlength: 4000 })}`,
    action: "Name them",
    signal: desk.signal,
    submit: async (_, form) => {
      const body = /** @type {Schemas["AuthoriserDraft"]} */ (readForm(form));
      await post("/api/jobs/{job}/authorisers", { path: { job: desk.id }, body, key });
      say(`${body.name} may authorise.`);
      await again();
    },
  });
}

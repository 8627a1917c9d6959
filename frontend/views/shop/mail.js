// @ts-check
// The shop's outgoing mail: what waits, what went, what failed and why.

import { showProblem } from "../../components/bf-problem.js";
import { say } from "../../components/bf-toast.js";
import { pages } from "../../components/shop-pages.js";
import { get, post } from "../../lib/call.js";
import { html, on, render } from "../../lib/html.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { View } from "../../lib/router.js" */

/** The frame and the word of each state. @type {Record<Schemas["MailState"], [string, string]>} */
export const mailState = {
  waiting: ["watch", "Waits to go out"],
  sent: ["good", "Sent"],
  failed: ["stop", "Failed"],
  off: ["ranged", "Not mailed: no server"],
};

/** @type {View} */
export default async function view(root, _params, { signal, formats, changed }) {
  const list = document.createElement("div");
  const note = document.createElement("div");
  render(root, html`<h1>Mail</h1>${note}${list}`);
  const again = await pages(list, {
    load: async (cursor) => {
      const page = await get("/api/mail", { query: { cursor, limit: 50 }, signal });
      note.hidden = page.configured;
      render(
        note,
        html`<p class="note watch">No mail server is set up, so nothing goes out by e-mail. Copy a client's private link under a job's Quotes and send it yourself; what you send here is on their page at once.</p>`,
      );
      return page;
    },
    head: html`<thead><tr><th scope="col">Written</th><th scope="col">To</th><th scope="col">Subject</th><th scope="col">State</th><th scope="col" class="num">Tries</th><th scope="col">Do</th></tr></thead>`,
    row: (mail) => row(mail, formats),
    caption: "Outgoing mail, newest first. What failed is tried again by itself, ever more slowly.",
    empty: "Nothing was written yet. Quotes, change orders and letters that you send appear here.",
    signal,
  });
  changed(({ what }) => {
    if (["letter", "mail", "order", "quote", "reconnected"].includes(what)) void again();
  });
  on(
    list,
    "click",
    "[data-retry]",
    (button) =>
      void post("/api/mail/{mail}/retry", { path: { mail: button.dataset["retry"] ?? "" } })
        .then((mail) => {
          say(mailState[mail.state][1]);
          return again();
        })
        .catch((error) => showProblem(list, error)),
    signal,
  );
}

/** @param {Schemas["Mail"]} m @param {Formats} formats */
function row(m, formats) {
  const [frame, state] = mailState[m.state];
  return html`<tr><td data-label="Written">${formats.instant(m.created_at)}</td><td data-label="To">${m.to}</td><td data-label="Subject">${m.job_id ? html`<a class="shop-rowlink" href="/shop/jobs/${m.job_id}">${m.subject}</a>` : m.subject}</td>
    <td data-label="State"><span><span class="state ${frame}">${state}</span> <span class="small">${m.sent_at ? formats.instant(m.sent_at) : m.last_error}${m.next_try_at && m.state !== "sent" ? ` Tried again ${formats.instant(m.next_try_at)}.` : ""}</span></span></td>
    <td data-label="Tries" class="num">${m.tries}</td><td data-label="">${m.state === "failed" || m.state === "waiting" ? html`<button type="button" data-retry="${m.id}" id="retry-${m.id}">Try now<span class="visually-hidden">: ${m.subject}</span></button>` : ""}</td></tr>`;
}

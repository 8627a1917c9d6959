// @ts-check
// The private links of one client: making one, which is shown once, listing and revoking. Used on a job's
// quotes and on the people page.

import { get, post, remove } from "../lib/call.js";
import { field } from "../lib/form.js";
import { html, make, on, render } from "../lib/html.js";
import { dialog } from "./bf-dialog.js";
import { showProblem } from "./bf-problem.js";
import { say } from "./bf-toast.js";
import { readForm } from "./shop-form.js";
import "./shop-once.js";

/** @import { Schemas } from "../lib/contract.js" */
/** @import { Formats } from "../lib/format.js" */

/**
 * @typedef {object} Whose
 * @property {string} person
 * @property {string} name
 * @property {string} [job] the job a new link opens; without it, all jobs of the client
 * @property {number} [number] of that job
 * @property {Formats} formats
 * @property {AbortSignal} signal
 */

/** @param {HTMLElement} root @param {Whose} whose */
export async function clientLinks(root, whose) {
  const { signal } = whose;
  const list = document.createElement("div");
  const once = document.createElement("div");
  render(
    root,
    html`<div class="sheet"><h3>Private links of ${whose.name}</h3>
      <p class="second">A link opens ${whose.number ? `job ${whose.number}` : "all jobs"} to whoever holds it, without a password: send it only to the client. Revoking it ends the sessions it opened.</p>
      <p class="shop-actions"><button type="button" data-make-link>Make a private link</button></p>${once}${list}</div>`,
  );
  const refresh = async () => {
    try {
      const { items } = await get("/api/people/{person}/links", { path: { person: whose.person }, signal });
      render(list, table(items, whose.formats));
    } catch (error) {
      if (!signal.aborted) showProblem(list, error);
    }
  };
  on(root, "click", "[data-make-link]", () => void makeLink(once, whose).then(refresh), signal);
  on(
    root,
    "click",
    "[data-revoke]",
    (button) => void revoke(button.dataset["revoke"] ?? "", whose).then(refresh),
    signal,
  );
  await refresh();
}

/** @param {Schemas["ClientLink"][]} items @param {Formats} formats */
function table(items, formats) {
  if (items.length === 0)
    return html`<p class="empty">No link yet. Make one and send it, so that the client can read the quote and decide.</p>`;
  const at = (/** @type {string | undefined} */ instant) => (instant ? formats.instant(instant) : "never");
  return html`<div class="shop-scroll"><table class="shop-list shop-stack"><thead><tr><th scope="col">Made</th><th scope="col">Opens</th><th scope="col">Works until</th><th scope="col">Last used</th><th scope="col">State</th></tr></thead>
    <tbody>${items.map(
      (
        link,
      ) => html`<tr><td data-label="Made">${at(link.created_at)}</td><td data-label="Opens">${link.job_id ? "one job" : "all jobs"}</td><td data-label="Works until">${at(link.expires_at)}</td><td data-label="Last used">${at(link.last_used_at)}</td>
      <td data-label="State">${link.revoked_at ? html`<span class="state">Revoked ${at(link.revoked_at)}</span>` : html`<button type="button" data-revoke="${link.id}" aria-label="Revoke the link made ${at(link.created_at)}">Revoke</button>`}</td></tr>`,
    )}</tbody></table></div>`;
}

/** @param {HTMLElement} once @param {Whose} whose */
async function makeLink(once, { person, name, job, number, formats, signal }) {
  await dialog({
    title: `Make a private link for ${name}`,
    body: html`${field({ form: "link", name: "valid_days", label: "Works for how many days", value: 60, inputmode: "numeric", required: true })}
      <p class="second">It opens ${number ? `job ${number} only` : "all jobs of this client"}.</p>`,
    action: "Make the link",
    signal,
    submit: async (_, form) => {
      const body = /** @type {Schemas["ClientLinkDraft"]} */ (readForm(form));
      if (job) body.job_id = job;
      const link = await post("/api/people/{person}/links", { path: { person }, body });
      render(
        once,
        html`${make("shop-once", { path: link.path, until: formats.instant(link.expires_at), words: `Private link of ${name}.` })}`,
      );
    },
  });
}

/** @param {string} link @param {Whose} whose */
async function revoke(link, { name, signal }) {
  await dialog({
    title: `Revoke a link of ${name}?`,
    body: html`<p>Whoever holds it is signed out and cannot come back with it. It cannot be made to work again; you can make a new one.</p>`,
    action: "Revoke the link",
    grave: true,
    signal,
    submit: async () => {
      await remove("/api/client-links/{link}", { path: { link } });
      say("Revoked.");
    },
  });
}

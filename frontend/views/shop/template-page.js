// @ts-check
// What stands around the rows of a template: its head, the bar with the steps, what may be chosen, its
// history.

import { optionLabel } from "../../components/shop-option-form.js";
import { planRows } from "../../components/shop-plan-rows.js";
import { counted } from "../../components/shop-words.js";
import { attr, html } from "../../lib/html.js";
import { repairList } from "./template-repairs.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { Plan, Steps } from "../../components/shop-plan.js" */

/** @typedef {Schemas["TemplateDetail"]} Template */

/** @param {Template} template @param {Plan} plan @param {Formats} formats @param {boolean} fixed */
export function head({ summary, newest_id, newest_revision }, plan, formats, fixed) {
  const old = summary.id !== newest_id;
  return html`<div class="row between"><h1>${plan.name}</h1>${fixed ? "" : html`<a class="button" href="/shop/jobs/new?template=${summary.id}">Make a job from it</a>`}</div>
    <p class="second">Revision ${summary.revision}${summary.saved_at ? `, saved ${formats.instant(summary.saved_at)}` : ""}${summary.saved_by ? ` by ${summary.saved_by}` : ""}${summary.note ? `: ${summary.note}` : ""}.</p>
    ${fixed ? html`<p class="note watch">${old ? html`This is an old revision, to read. <a href="/shop/templates/${newest_id}">Revision ${newest_revision}</a> is the newest.` : "This template is retired: no new jobs are made from it."}</p><p class="shop-actions"><button type="button" data-do="restore" data-id="${summary.id}">Bring this revision back</button></p>` : ""}
    ${plan.description ? html`<p class="shop-lines">${plan.description}</p>` : ""}`;
}

/** @param {Steps} steps @param {boolean} fixed @param {{ problems: unknown[] }} answer */
export function toolbar(steps, fixed, { problems }) {
  if (fixed) return html``;
  const last = steps.past.at(-1)?.words;
  const next = steps.future.at(-1)?.words;
  return html`<button type="button" id="undo" data-do="undo" ${attr("disabled", !last)} title="${last ?? ""}">Undo<span class="visually-hidden">${last ? `: ${last}` : ""}</span></button>
    <button type="button" id="redo" data-do="redo" ${attr("disabled", !next)} title="${next ?? ""}">Redo<span class="visually-hidden">${next ? `: ${next}` : ""}</span></button>
    <button type="button" id="save" class="act" data-do="save" ${attr("disabled", !steps.changed)}>Save</button>
    <a class="shop-narrow" href="#sample">Sample job</a>
    ${problems.length > 0 ? html`<a class="shop-rowlink tone-stop" href="#problems">${counted(problems.length, "thing")} to put right</a>` : ""}
    <span class="second">${steps.changed ? "Not saved yet." : ""}</span>`;
}

/** @param {Plan} plan @param {import("../../components/shop-plan-rows.js").Offers} offers */
export function body(plan, offers) {
  const frame = offers.frames.find((each) => each.code === plan.frame);
  return html`<p class="shop-actions"><button type="button" id="open-head" data-do="head">Name, description and frame</button><span class="second">${plan.frame ? `A job begins with the frame ${frame?.name ?? plan.frame}.` : "A job begins without a frame."}</span></p>
    <section class="sheet"><h2>What about the vehicle changes the work</h2><p class="shop-actions">${plan.vehicle_options.map((option, n) => html`<button type="button" id="v${n}" data-do="vehicle" data-at="${n}">${option.name}<span class="small">: ${option.choices.map((c) => c.name).join(" or ")}</span></button>`)}<button type="button" data-do="vehicle" data-at="-1">Add</button></p></section>
    ${planRows(plan, offers)}
    <p class="shop-actions"><button type="button" data-do="add-phase">Add a phase</button></p>
    <section class="sheet"><h2>Options the client may choose</h2><p class="shop-actions">${plan.options.map((option, n) => html`<button type="button" id="o${n}" data-do="option" data-at="${n}">${optionLabel(option)}${option.taken ? html`<span class="small"> (advised)</span>` : ""}</button>`)}<button type="button" data-do="option" data-at="-1">Add an option</button></p></section>
    <section class="sheet"><h2>Cautions</h2><p class="shop-actions">${plan.cautions.map((caution, n) => html`<button type="button" data-do="caution" data-at="${n}">${caution.key.replaceAll("_", " ")}</button>`)}<button type="button" id="add-caution" data-do="caution" data-at="-1">Add a caution</button></p></section>`;
}

/** @param {Template} template @param {Schemas["TemplateRevision"][]} history @param {Formats} formats */
export function rest(template, history, formats) {
  return html`${repairList(template)}
    <section class="sheet" id="history"><h2>History</h2><div class="shop-scroll"><table class="shop-list shop-stack"><thead><tr><th scope="col">Revision</th><th scope="col">Saved</th><th scope="col">By</th><th scope="col">What</th><th scope="col">Do</th></tr></thead>
    <tbody>${history.map(
      (
        r,
      ) => html`<tr><th scope="row" data-label="Revision"><a class="shop-rowlink" href="/shop/templates/${r.id}">Revision ${r.revision}</a></th><td data-label="Saved">${r.saved_at ? formats.instant(r.saved_at) : "with the installation"}</td><td data-label="By">${r.saved_by}</td><td data-label="What">${r.retired ? html`<span class="state stop">Retired</span> ` : ""}${r.note}</td>
      <td data-label="">${r.id === template.newest_id ? "" : html`<button type="button" data-do="restore" data-id="${r.id}">Bring back<span class="visually-hidden"> revision ${r.revision}</span></button>`}</td></tr>`,
    )}</tbody></table></div>
    ${template.summary.retired ? "" : html`<p class="shop-actions"><button type="button" class="grave" data-do="retire">Retire the template</button></p>`}</section>`;
}

// @ts-check
// A new job from a template, a vehicle and a client.

import { dialog } from "../../components/bf-dialog.js";
import { say } from "../../components/bf-toast.js";
import { choices, readForm, refuse, span } from "../../components/shop-form.js";
import { counted } from "../../components/shop-words.js";
import { get, newKey, post } from "../../lib/call.js";
import { field, onSubmit } from "../../lib/form.js";
import { attr, html, on, render } from "../../lib/html.js";
import { everyone } from "./everyone.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { View } from "../../lib/router.js" */

/** @typedef {Schemas["TemplateSummary"]} Template */

/** @type {View} */
export default async function view(root, _params, { signal, navigate, query }) {
  const [{ items: templates }, clients, { settings }] = await Promise.all([
    get("/api/templates", { signal }),
    everyone("client", signal),
    get("/api/shop", { signal }),
  ]);
  const chosen = templates.find((template) => template.id === query.get("template")) ?? templates[0];
  if (!chosen) {
    render(
      root,
      html`<h1>New job</h1><p class="empty">This shop has no template yet, and a job is made from one.</p>`,
    );
    return;
  }
  render(
    root,
    html`<h1>New job</h1><form class="stack" id="new-job" novalidate>
      <fieldset><legend>1. Template</legend>${templates.map((template) => choice(template, template === chosen))}</fieldset>
      <fieldset><legend>2. Vehicle</legend>${vehicle()}<div id="options">${optionFields(chosen)}</div></fieldset>
      <fieldset><legend>3. Client</legend><div id="client">${clientField(clients, "")}</div>
        <p class="shop-actions"><button type="button" id="add-client">Add a client</button></p></fieldset>
      <fieldset><legend>4. When</legend><div class="shop-form">
        ${span(6, field({ form: "new", name: "not_before", label: "Earliest start", type: "date", hint: "Empty: as soon as the shop can." }))}</div></fieldset>
      ${currency(settings)}
      <p class="shop-save"><button type="submit" class="act">Make the job</button> <a class="shop-rowlink" href="/shop">Leave it</a></p></form>`,
  );
  const form = /** @type {HTMLFormElement} */ (root.querySelector("#new-job"));
  on(
    root,
    "change",
    '[name="template_id"]',
    (radio) => swapOptions(root, templates, /** @type {HTMLInputElement} */ (radio).value),
    signal,
  );
  on(root, "click", "#add-client", () => void addClient(root, clients, signal), signal);
  const key = newKey();
  onSubmit(
    form,
    async () => {
      const body = /** @type {Schemas["JobCreate"]} */ (readForm(form, { optional: ["not_before"] }));
      body.vehicle.options ??= {};
      const page = await post("/api/jobs", { body, key: `${key}-${await digest(body)}` });
      say(`Job ${page.job.number} made: ${counted(page.tasks.length, "task")}.`);
      navigate(`/shop/jobs/${page.job.id}`);
    },
    (error) => refuse(form, error),
    signal,
  );
}

/**
 * The same form sent twice is the same job; a form that was mended is another request. (`crypto.subtle`
 * exists only on HTTPS and localhost, so a plain sum of the text does: it need not be secret.)
 * @param {unknown} body
 */
async function digest(body) {
  let sum = 0;
  for (const character of JSON.stringify(body))
    sum = (Math.imul(sum, 31) + (character.codePointAt(0) ?? 0)) >>> 0;
  return sum.toString(36);
}

/** Only where there is something to choose. @param {Schemas["ShopDraft"]} settings */
function currency({ currency: own, currencies = [] }) {
  if (currencies.length === 0) return "";
  const rates = currencies.map(({ code, rate, on }) => [code, `${code}, at ${rate} of ${on}`]);
  return html`<fieldset><legend>5. Currency</legend><div class="shop-form">
    ${span(6, field({ form: "new", name: "currency", label: "Quoted and paid in", type: "select", value: own, options: choices(Object.fromEntries([[own, own], ...rates])), hint: "Fixed with its rate for this job. Check the rate before you make it." }))}</div></fieldset>`;
}

/** @param {Template} template @param {boolean} chosen */
function choice(template, chosen) {
  return html`<label class="shop-choice"><input type="radio" name="template_id" value="${template.id}" ${attr("checked", chosen)}>
    <span><strong>${template.name}</strong>, ${counted(template.task_count, "task")}<br><span class="second">${template.description}</span></span></label>`;
}

function vehicle() {
  const f = { form: "new", required: true, maxlength: 160 };
  return html`<div class="shop-form">
    ${field({ ...f, name: "title", label: "Work", value: "Body-off restoration" })}
    ${span(4, field({ ...f, name: "vehicle/make", label: "Make" }))}
    ${span(6, field({ ...f, name: "vehicle/model", label: "Model" }))}
    ${span(2, field({ ...f, name: "vehicle/year", label: "Year", inputmode: "numeric", maxlength: 4 }))}
    ${span(6, field({ ...f, name: "vehicle/serial", label: "Serial number", required: false }))}</div>`;
}

/** What about the vehicle changes the work, by this template. @param {Template} template */
function optionFields(template) {
  if (template.vehicle_options.length === 0) return html``;
  return html`<p class="small">These change which tasks the job gets.</p><div class="shop-form">${template.vehicle_options.map(
    (option) =>
      span(
        6,
        field({
          form: "new",
          name: `vehicle/options/${option.key}`,
          label: option.name,
          type: "select",
          options: choices(Object.fromEntries(option.choices.map(({ key, name }) => [key, name]))),
        }),
      ),
  )}</div>`;
}

/** @param {HTMLElement} root @param {Template[]} templates @param {string} id */
function swapOptions(root, templates, id) {
  const template = templates.find((each) => each.id === id);
  const place = root.querySelector("#options");
  if (template && place) render(place, optionFields(template));
}

/** @param {Schemas["Person"][]} clients @param {string} chosen */
function clientField(clients, chosen) {
  if (clients.length === 0) return html`<p class="empty">No client yet. Add the first one.</p>`;
  const names = Object.fromEntries(
    clients.map(({ id, name, email }) => [id, email ? `${name}, ${email}` : name]),
  );
  return field({
    form: "new",
    name: "client_id",
    label: "Client",
    type: "select",
    value: chosen,
    options: choices(names),
  });
}

/** @param {HTMLElement} root @param {Schemas["Person"][]} clients @param {AbortSignal} signal */
async function addClient(root, clients, signal) {
  const key = newKey();
  const f = { form: "client" };
  await dialog({
    title: "Add a client",
    body: html`${field({ ...f, name: "name", label: "Name", required: true, maxlength: 160 })}
      ${field({ ...f, name: "email", label: "E-mail", type: "email", maxlength: 160 })}
      ${field({ ...f, name: "phone", label: "Telephone", type: "tel", maxlength: 160 })}`,
    action: "Add the client",
    signal,
    submit: async (_, form) => {
      const said = /** @type {{ name: string, email: string, phone: string }} */ (readForm(form));
      const client = await post("/api/people", {
        body: { ...said, role: "client", skills: [], active: true },
        key,
      });
      clients.push(client);
      const place = root.querySelector("#client");
      if (place) render(place, clientField(clients, client.id));
    },
  });
}

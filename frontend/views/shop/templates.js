// @ts-check
// The shop's templates: those that jobs are made from, and those that were retired.

import { dialog } from "../../components/bf-dialog.js";
import { counted } from "../../components/shop-words.js";
import { get, newKey, post } from "../../lib/call.js";
import { field, text } from "../../lib/form.js";
import { html, on, render } from "../../lib/html.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { View } from "../../lib/router.js" */

/** @typedef {Schemas["TemplateSummary"]} Summary */

/** @type {View} */
export default async function view(root, _params, { signal, formats, navigate }) {
  const [{ items }, { items: retired }] = await Promise.all([
    get("/api/templates", { signal }),
    get("/api/templates", { query: { retired: true }, signal }),
  ]);
  render(root, page(items, retired, formats));
  on(
    root,
    "click",
    "[data-make]",
    async (button) => {
      const from = items.find((t) => t.id === button.dataset["make"]);
      const key = newKey();
      let made = "";
      await dialog({
        title: from ? `Copy ${from.name}` : "New template",
        body: html`${field({ form: "make", name: "name", label: "Name", value: from ? `${from.name}, copy` : "", required: true, maxlength: 160 })}
          <p class="second">${from ? "The copy has a history of its own; what you change in it leaves the other as it is." : "It begins with the five usual phases and nothing in them."}</p>`,
        action: from ? "Make the copy" : "Make the template",
        signal,
        submit: async (data) => {
          const name = text(data, "name");
          const body = from ? { name, copy_of: from.id } : { name };
          made = (await post("/api/templates", { body, key: `${key}-${name.length}` })).summary.id;
        },
      });
      if (made) navigate(`/shop/templates/${made}`);
    },
    signal,
  );
}

/** @param {Summary[]} items @param {Summary[]} retired @param {Formats} formats */
function page(items, retired, formats) {
  return html`<div class="row between"><h1>Templates</h1><button type="button" class="act" data-make="">New template</button></div>
    <p>A template is a starting point for a kind of job: its phases, tasks, links, materials and hold points. A job made from it is yours to change, and keeps the revision it was made from.</p>
    ${items.length === 0 ? html`<p class="empty">No template yet. Make the first one.</p>` : ""}
    ${items.map(
      (
        t,
      ) => html`<article class="sheet"><h2><a class="shop-rowlink" href="/shop/templates/${t.id}">${t.name}</a></h2><p>${t.description}</p>
      <p class="second">${counted(t.task_count, "task")}${t.vehicle_options.length > 0 ? `; changes with ${t.vehicle_options.map((o) => o.name.toLowerCase()).join(", ")}` : ""}. ${saved(t, formats)}</p>
      <p class="shop-actions"><a class="button" href="/shop/templates/${t.id}">Edit<span class="visually-hidden"> ${t.name}</span></a><button type="button" data-make="${t.id}">Copy<span class="visually-hidden"> ${t.name}</span></button><a class="button" href="/shop/templates/${t.id}#history">History<span class="visually-hidden"> of ${t.name}</span></a><a class="button" href="/shop/jobs/new?template=${t.id}">Make a job from it<span class="visually-hidden">: ${t.name}</span></a></p></article>`,
    )}
    ${retired.length > 0 ? html`<section class="sheet"><h2>Retired</h2><ul class="shop-plain">${retired.map((t) => html`<li><a class="shop-rowlink" href="/shop/templates/${t.id}">${t.name}</a> <span class="small">${saved(t, formats)}</span></li>`)}</ul></section>` : ""}`;
}

/** @param {Summary} t @param {Formats} formats */
function saved(t, formats) {
  const when = t.saved_at ? `, ${formats.instant(t.saved_at)}` : "";
  return `Revision ${t.revision}${when}${t.note ? `: ${t.note}` : ""}`;
}

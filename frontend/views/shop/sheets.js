// @ts-check
// The shop's judging sheets: what there is, copying, and taking out of use. A changed sheet is a further
// version; jobs keep theirs until the owner takes the new one.

import { dialog } from "../../components/bf-dialog.js";
import { showProblem } from "../../components/bf-problem.js";
import { say } from "../../components/bf-toast.js";
import { get, post, put } from "../../lib/call.js";
import { field, text } from "../../lib/form.js";
import { html, on, render } from "../../lib/html.js";
import { settingsTabs } from "./settings-tabs.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { View } from "../../lib/router.js" */

/** @typedef {Schemas["SheetSummary"]} Sheet */

/** @type {View} */
export default async function view(root, _params, { signal, formats, changed, navigate }) {
  /** @type {Sheet[]} */
  let all = [];
  const load = async () => {
    all = (await get("/api/sheets", { signal })).items;
    render(root, page(all, formats));
  };
  await load();
  on(root, "click", "#add-sheet", () => void add(), signal);
  on(
    root,
    "click",
    "[data-retire]",
    (button) => {
      const sheet = all.find(({ id }) => id === button.dataset["retire"]);
      if (sheet) retire(sheet).catch((error) => showProblem(root, error));
    },
    signal,
  );
  changed(({ what }) => {
    if (what === "shop" || what === "reconnected") void load().catch(() => undefined);
  });

  async function add() {
    /** @type {Schemas["SheetView"] | undefined} */
    let made;
    await dialog({
      title: "Add a sheet",
      body: html`${field({ form: "new-sheet", name: "name", label: "Name", required: true, maxlength: 120 })}${field({ form: "new-sheet", name: "copy_of", label: "Begin with a copy of", type: "select", options: all.map((s) => [s.id, s.name]) })}`,
      action: "Add the sheet",
      signal,
      submit: async (data) => {
        made = await post("/api/sheets", {
          body: { copy_of: text(data, "copy_of"), name: text(data, "name") },
          signal,
        });
      },
    });
    if (made) navigate(`/shop/settings/points/${made.id}`);
  }

  /** @param {Sheet} sheet */
  async function retire(sheet) {
    await put("/api/sheets/{sheet}/retired", {
      path: { sheet: sheet.id },
      body: { retired: !sheet.retired },
      signal,
    });
    say(sheet.retired ? `${sheet.name} is in use again.` : `${sheet.name} is retired.`);
    await load();
    document.getElementById(`retire-${sheet.id}`)?.focus();
  }
}

/** @param {Sheet[]} all @param {Formats} formats */
function page(all, formats) {
  return html`<div class="row between"><h1>Judged points</h1><button type="button" class="act" id="add-sheet">Add a sheet</button></div>${settingsTabs("points")}
    <p class="note watch">The sheet that a shop begins with holds starting values, the rules of no show. Ask the event what its judges deduct, and set your own.</p>
    <div class="shop-scroll"><table class="shop-list shop-stack"><caption>A job keeps the version it was judged by until you take a newer one for it.</caption>
    <thead><tr><th scope="col">Sheet</th><th scope="col" class="num">Items</th><th scope="col" class="num">At most</th><th scope="col">Version</th><th scope="col" class="num">Jobs</th><th scope="col">Do</th></tr></thead>
    <tbody>${all.map((s) => row(s, formats))}</tbody></table></div>`;
}

/** @param {Sheet} s @param {Formats} formats */
function row(s, formats) {
  return html`<tr><td data-label="Sheet"><span><a href="/shop/settings/points/${s.id}">${s.name}</a>${s.retired ? html` <span class="state ranged">retired</span>` : ""}</span></td>
    <td data-label="Items" class="num">${s.items}</td><td data-label="At most" class="num">${s.maximum.originality} + ${s.maximum.condition}</td>
    <td data-label="Version"><span>${s.version} <span class="second small">${formats.instant(s.made_at)}, ${s.made_by}</span></span></td>
    <td data-label="Jobs" class="num">${s.jobs}${s.oldest_version && s.oldest_version < s.version ? html` <span class="second small">from version ${s.oldest_version}</span>` : ""}</td>
    <td data-label=""><button type="button" data-retire="${s.id}" id="retire-${s.id}">${s.retired ? "Take back into use" : "Retire"}<span class="visually-hidden"> ${s.name}</span></button></td></tr>`;
}

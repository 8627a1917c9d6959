// @ts-check
// The fields of a judging sheet; a field's name is the pointer of its value in the plan.

import { boxes, readForm, span } from "../../components/shop-form.js";
import { field } from "../../lib/form.js";
import { attr, html } from "../../lib/html.js";

/** @import { Schemas } from "../../lib/contract.js" */

/** @typedef {Schemas["SheetPlan"]} Plan */
/** @typedef {Schemas["SheetItem"]} Item */

/** @type {[string, string][]} */
const kinds = [
  ["rail", "rails"],
  ["kick_up", "kick-ups"],
  ["crossmember", "crossmembers"],
  ["mount", "body mounts"],
  ["bracket", "brackets"],
  ["opening", "openings"],
];

/** @type {[string, string][]} */
const conditions = [
  ["a", "A"],
  ["b", "B"],
  ["c", "C"],
  ["d", "D"],
  ["pitted", "pitted"],
  ["patched", "patched"],
  ["perforated", "perforated"],
  ["hidden", "hidden"],
];

/** @param {Item[]} items @returns {Item} */
export function blankItem(items) {
  let n = items.length + 1;
  while (items.some((i) => i.key === `item-${n}`)) n += 1;
  return {
    key: `item-${n}`,
    name: "",
    max_originality: "0",
    max_condition: "0",
    kinds: [],
    zones: [],
    departures: [],
    note: "",
  };
}

/** @returns {Schemas["SheetDeparture"]} */
export const blankDeparture = () => ({ what: "", originality: "0", condition: "0", note: "" });

/** The plan that the form describes. @param {HTMLElement} form @returns {Plan} */
export function planOf(form) {
  const read = /** @type {any} */ (readForm(form));
  return {
    key: read.key,
    name: read.name,
    note: read.note,
    looks: read.looks ?? [],
    items: (read.items ?? []).map((/** @type {any} */ i) => ({
      ...i,
      kinds: i.kinds ?? [],
      zones: String(i.zones ?? "")
        .split(/[\s,;]+/)
        .filter(Boolean),
      departures: i.departures ?? [],
    })),
  };
}

/** @param {Plan} p */
export function fieldsOf(p) {
  const f = { form: "sheet" };
  return html`<section class="sheet"><input type="hidden" name="key" value="${p.key}"><div class="shop-form">
      ${span(6, field({ ...f, name: "name", label: "Name", value: p.name, required: true, maxlength: 120 }))}
      ${field({ ...f, name: "note", label: "Note: where the figures come from", type: "textarea", rows: 3, value: p.note, maxlength: 2000 })}</div></section>
    <section class="sheet" aria-labelledby="sheet-items"><h2 id="sheet-items">Items</h2><p class="second">What a judge looks at, and the most that can be lost on it.</p><p class="field-error" data-error-of="items" hidden></p>
      ${p.items.map((i, at) => item(i, at, p.items.length))}
      <p class="shop-actions"><button type="button" data-do="add-item">Add an item</button></p></section>
    ${looks(p)}`;
}

/** @param {Item} i @param {number} at @param {number} count */
function item(i, at, count) {
  const f = { form: "sheet" };
  const name = `items/${at}`;
  const who = i.name || i.key;
  const said = html`<span class="visually-hidden"> ${who}</span>`;
  return html`<details class="sheet-item" id="item-${i.key}"><summary><strong>${who}</strong> <span class="second">at most ${i.max_originality} + ${i.max_condition}</span></summary>
    <div class="shop-form">
      ${span(6, field({ ...f, name: `${name}/name`, label: "Name of the item", value: i.name, required: true, maxlength: 120 }))}
      ${span(2, field({ ...f, name: `${name}/key`, label: "Key", value: i.key, required: true, maxlength: 60, hint: "Options name it." }))}
      ${span(2, field({ ...f, name: `${name}/max_originality`, label: "Most, originality", value: i.max_originality, inputmode: "decimal", required: true }))}
      ${span(2, field({ ...f, name: `${name}/max_condition`, label: "Most, condition", value: i.max_condition, inputmode: "decimal", required: true }))}
      ${span(6, boxes({ name: `${name}/kinds`, label: "Looks at all", choices: kinds, chosen: i.kinds }))}
      ${span(6, field({ ...f, name: `${name}/zones`, label: "And at the zones with these codes", value: i.zones.join(", "), hint: "Separated by commas." }))}
      ${field({ ...f, name: `${name}/note`, label: "Note", value: i.note, maxlength: 2000 })}
    </div>
    <div class="shop-scroll"><table class="shop-list shop-stack"><caption>What each piece found costs. As found: how many a car is expected to have until one is reported.</caption><thead><tr><th scope="col">Departure</th><th scope="col" class="num">Originality</th><th scope="col" class="num">Condition</th><th scope="col" class="num">As found</th><th scope="col">Note</th><th scope="col">Do</th></tr></thead><tbody>${i.departures.map((d, n) => departure(d, at, n, who))}</tbody></table></div>
    <p class="shop-actions"><button type="button" data-do="add-departure ${at}">Add a departure${said}</button><button type="button" data-do="up ${at}" ${attr("disabled", at === 0)}>Up${said}</button><button type="button" data-do="down ${at}" ${attr("disabled", at === count - 1)}>Down${said}</button><button type="button" data-do="copy-item ${at}">Copy${said}</button><button type="button" data-do="remove-item ${at}">Remove${said}</button></p></details>`;
}

/** @param {Schemas["SheetDeparture"]} d @param {number} at @param {number} n @param {string} who */
function departure(d, at, n, who) {
  const cell = { form: "sheet", hideLabel: true };
  const name = `items/${at}/departures/${n}`;
  const what = d.what || "new departure";
  return html`<tr><td data-label="Departure" class="shop-cell-wide">${field({ ...cell, name: `${name}/what`, label: `Departure ${n + 1} of ${who}`, value: d.what, required: true, maxlength: 40, pattern: "[a-z0-9_]+" })}</td>
    <td data-label="Originality" class="shop-cell">${field({ ...cell, name: `${name}/originality`, label: `Originality, ${what} of ${who}`, value: d.originality, inputmode: "decimal", required: true })}</td>
    <td data-label="Condition" class="shop-cell">${field({ ...cell, name: `${name}/condition`, label: `Condition, ${what} of ${who}`, value: d.condition, inputmode: "decimal", required: true })}</td>
    <td data-label="As found" class="shop-cell">${field({ ...cell, name: `${name}/as_found`, label: `As found, ${what} of ${who}`, value: d.as_found ?? 0, inputmode: "numeric", required: true })}</td>
    <td data-label="Note" class="shop-cell-wide">${field({ ...cell, name: `${name}/note`, label: `Note, ${what} of ${who}`, value: d.note, maxlength: 2000 })}</td>
    <td data-label=""><button type="button" data-do="remove-departure ${at} ${n}">Remove<span class="visually-hidden"> ${what} of ${who}</span></button></td></tr>`;
}

/** @param {Plan} p */
function looks(p) {
  return html`<section class="sheet looks" aria-labelledby="looks-h"><h2 id="looks-h">What steel costs by its looks</h2><p class="second">The share of an item's most for condition that would be lost if all of it looked so. Of a zone the row of its condition with the highest “seen from” it reaches counts. Every condition needs a row from 0 %. A share above 1 means that a part is enough to lose it all.</p>
    <p class="field-error" data-error-of="looks" hidden></p>
    <div class="shop-scroll"><table class="shop-list shop-stack"><thead><tr><th scope="col">Condition</th><th scope="col" class="num">Seen from, %</th><th scope="col" class="num">Share</th><th scope="col">Do</th></tr></thead><tbody>${p.looks.map(look)}</tbody></table></div>
    <p class="shop-actions"><button type="button" data-do="add-look">Add a row</button></p></section>`;
}

/** @param {Schemas["SheetLook"]} l @param {number} at */
function look(l, at) {
  const cell = { form: "sheet", hideLabel: true };
  const who = `row ${at + 1}`;
  return html`<tr><td data-label="Condition" class="shop-cell-wide">${field({ ...cell, name: `looks/${at}/condition`, label: `Condition, ${who}`, type: "select", value: l.condition, options: conditions })}</td>
    <td data-label="Seen from, %" class="shop-cell">${field({ ...cell, name: `looks/${at}/from_visible_percent`, label: `Seen from, ${who}`, value: l.from_visible_percent, inputmode: "numeric", required: true })}</td>
    <td data-label="Share" class="shop-cell">${field({ ...cell, name: `looks/${at}/share`, label: `Share, ${who}`, value: l.share, inputmode: "decimal", required: true })}</td>
    <td data-label=""><button type="button" data-do="remove-look ${at}">Remove<span class="visually-hidden"> ${who}</span></button></td></tr>`;
}

// @ts-check
// The price book: labour rates by skill and the materials the shop prices with, saved as one.

import { choices, readForm } from "../../components/shop-form.js";
import { editableRows, rowNumber } from "../../components/shop-rows.js";
import { savedAsOne } from "../../components/shop-saved.js";
import { get, put } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { html, render } from "../../lib/html.js";
import { taxClass } from "../../lib/words.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { View } from "../../lib/router.js" */

/** @typedef {Schemas["LabourRate"]} Rate */
/** @typedef {Schemas["Material"]} Material */

/** @type {View} */
export default async function view(root, _params, { signal, formats }) {
  /** @param {Schemas["PriceBook"]} book */
  const show = (book) => {
    render(root, page(book, formats.currency));
    const form = /** @type {HTMLFormElement} */ (root.querySelector("form"));
    editableRows(
      form,
      {
        labour: () => rateRow({ skill: "", name: "", cost_rate: "", sell_rate: "" }),
        materials: () =>
          materialRow(
            {
              key: "",
              name: "",
              unit: book.units[0] ?? "pc",
              unit_cost: "",
              markup_percent: "0",
              waste_percent: "0",
              tax_class: "material",
            },
            book.units,
          ),
      },
      signal,
    );
    savedAsOne(form, {
      what: "Price book",
      version: book.version,
      read: (f) => ({
        labour: [],
        materials: [],
        .../** @type {Partial<Schemas["PriceBookDraft"]>} */ (readForm(f)),
      }),
      send: (body, version) => put("/api/shop/price-book", { body, version, signal }),
      rows,
      show,
      signal,
    });
  };
  show(await get("/api/shop/price-book", { signal }));
}

/** @param {Schemas["PriceBook"]} book @param {string} currency */
function page({ settings, units }, currency) {
  return html`<div class="row between"><h1>Price book</h1><button type="submit" form="price-book-form" class="act">Save the price book</button></div><form class="stack" id="price-book-form" novalidate>
    <p class="note watch">What a new shop begins with are starting values. Replace them with your own before you quote a real car.</p>
    <section class="sheet"><h2>Labour by skill</h2>
      <p class="second">An hour of a task costs and sells at the rates of its skill. Estimates that nobody has accepted follow at once; what was issued stays.</p>
      <div class="shop-scroll"><table class="shop-list shop-stack"><thead><tr><th scope="col">Key</th><th scope="col">Skill</th><th scope="col" class="num">Cost an hour, ${currency}</th><th scope="col" class="num">Sells at, ${currency}</th><th scope="col">Do</th></tr></thead>
      <tbody data-rows="labour">${settings.labour.map(rateRow)}</tbody></table></div>
      <p class="shop-actions"><button type="button" data-add-row="labour">Add a skill</button></p></section>
    <section class="sheet"><h2>Materials</h2>
      <p class="second">A line made from a material keeps the price it was made with.</p>
      <div class="shop-scroll" tabindex="0" role="region" aria-label="Materials"><table class="shop-list shop-stack"><thead><tr><th scope="col">Key</th><th scope="col">Material</th><th scope="col">Unit</th><th scope="col" class="num">Cost a unit, ${currency}</th><th scope="col" class="num">Markup, %</th><th scope="col" class="num">Waste, %</th><th scope="col">Tax class</th><th scope="col">Do</th></tr></thead>
      <tbody data-rows="materials">${settings.materials.map((material) => materialRow(material, units))}</tbody></table></div>
      <p class="shop-actions"><button type="button" data-add-row="materials">Add a material</button></p></section>
    <p class="shop-save"><button type="submit" class="act">Save the price book</button><span class="second">Nothing is changed before you save.</span></p></form>`;
}

/** @param {Rate} rate */
function rateRow(rate) {
  const f = { form: `l${rowNumber()}`, hideLabel: true, required: true };
  const who = rate.name || "new skill";
  return html`<tr data-row-of="labour">
    <td data-label="Key" class="shop-cell">${field({ ...f, name: "labour/0/skill", label: `Key of ${who}`, value: rate.skill, maxlength: 40 })}</td>
    <td data-label="Skill" class="shop-cell-wide">${field({ ...f, name: "labour/0/name", label: `Name of ${who}`, value: rate.name, maxlength: 160 })}</td>
    <td data-label="Cost an hour" class="shop-cell">${field({ ...f, name: "labour/0/cost_rate", label: `Cost an hour of ${who}`, value: rate.cost_rate, inputmode: "decimal" })}</td>
    <td data-label="Sells at" class="shop-cell">${field({ ...f, name: "labour/0/sell_rate", label: `Sell rate of ${who}`, value: rate.sell_rate, inputmode: "decimal" })}</td>
    <td data-label=""><button type="button" data-remove-row>Remove<span class="visually-hidden"> ${who}</span></button></td></tr>`;
}

/** @param {Material} material @param {string[]} units */
function materialRow(material, units) {
  const f = { form: `m${rowNumber()}`, hideLabel: true, required: true };
  const who = material.name || "new material";
  const known = Object.fromEntries(units.map((unit) => [unit, unit]));
  return html`<tr data-row-of="materials">
    <td data-label="Key" class="shop-cell">${field({ ...f, name: "materials/0/key", label: `Key of ${who}`, value: material.key, maxlength: 40 })}</td>
    <td data-label="Material" class="shop-cell-wide">${field({ ...f, name: "materials/0/name", label: `Name of ${who}`, value: material.name, maxlength: 160 })}</td>
    <td data-label="Unit" class="shop-cell">${field({ ...f, name: "materials/0/unit", label: `Unit of ${who}`, type: "select", value: material.unit, options: choices(known, undefined, material.unit) })}</td>
    <td data-label="Cost a unit" class="shop-cell">${field({ ...f, name: "materials/0/unit_cost", label: `Cost a unit of ${who}`, value: material.unit_cost, inputmode: "decimal" })}</td>
    <td data-label="Markup, %" class="shop-cell">${field({ ...f, name: "materials/0/markup_percent", label: `Markup on ${who}, percent`, value: material.markup_percent, inputmode: "decimal" })}</td>
    <td data-label="Waste, %" class="shop-cell">${field({ ...f, name: "materials/0/waste_percent", label: `Waste of ${who}, percent`, value: material.waste_percent, inputmode: "decimal" })}</td>
    <td data-label="Tax class" class="shop-cell">${field({ ...f, name: "materials/0/tax_class", label: `Tax class of ${who}`, type: "select", value: material.tax_class, options: choices(taxClass) })}</td>
    <td data-label=""><button type="button" data-remove-row>Remove<span class="visually-hidden"> ${who}</span></button></td></tr>`;
}

/** @param {Schemas["PriceBookDraft"]} book @returns {[string, string][]} */
function rows(book) {
  return [
    ...book.labour.map(
      (r) =>
        /** @type {[string, string]} */ ([
          `Labour ${r.skill}`,
          `${r.name}: costs ${r.cost_rate}, sells at ${r.sell_rate}`,
        ]),
    ),
    ...book.materials.map(
      (m) =>
        /** @type {[string, string]} */ ([
          `Material ${m.key}`,
          `${m.name}: ${m.unit_cost} a ${m.unit}, markup ${m.markup_percent} %, waste ${m.waste_percent} %, ${m.tax_class}`,
        ]),
    ),
  ];
}

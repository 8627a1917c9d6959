// @ts-check
// Currencies besides the shop's own, each with its rate and the day of it. A job keeps the rate that stood when
// it was made.

import { readForm } from "../../components/shop-form.js";
import { editableRows, rowNumber } from "../../components/shop-rows.js";
import { savedAsOne } from "../../components/shop-saved.js";
import { get, now, put } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { html, render } from "../../lib/html.js";
import { settingsTabs } from "./settings-tabs.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { View } from "../../lib/router.js" */

/** @type {View} */
export default async function view(root, _params, { signal, formats }) {
  /** @param {Schemas["Shop"]} shop */
  const show = (shop) => {
    render(root, page(shop.settings));
    const form = /** @type {HTMLFormElement} */ (root.querySelector("form"));
    editableRows(
      form,
      { currencies: () => row({ code: "", rate: "", on: formats.dayOf(now()) }, shop.settings.currency) },
      signal,
    );
    savedAsOne(form, {
      what: "Currencies",
      version: shop.version,
      read: (f) => ({ ...shop.settings, currencies: [], .../** @type {object} */ (readForm(f)) }),
      send: (body, version) => put("/api/shop", { body, version, signal }),
      rows,
      show,
      signal,
    });
  };
  show(await get("/api/shop", { signal }));
}

/** @param {Schemas["ShopDraft"]} s */
function page(s) {
  return html`<div class="row between"><h1>Settings</h1><button type="submit" form="currencies-form" class="act">Save the currencies</button></div>${settingsTabs("currencies")}<form class="stack" id="currencies-form" novalidate>
    <section class="sheet"><h2>Currencies besides ${s.currency}</h2>
    <p>A job is quoted, worked and paid in one currency, chosen when it is made. Prices of the price book are taken at the rate of that day and rounded to four decimals a unit; the rate stays with the job, whatever you write here later.</p>
    <p class="note watch">A rate is yours to set. Check it on the day you make a job, and who bears its moving with whoever does your books.</p>
    <div class="shop-scroll"><table class="shop-list shop-stack"><thead><tr><th scope="col">Currency</th><th scope="col" class="num">One ${s.currency} is</th><th scope="col">Rate of</th><th scope="col">Do</th></tr></thead>
    <tbody data-rows="currencies">${(s.currencies ?? []).map((each) => row(each, s.currency))}</tbody></table></div>
    <p class="field-error" data-error-of="currencies" hidden></p>
    <p class="shop-actions"><button type="button" data-add-row="currencies">Add a currency</button></p></section>
    <p class="shop-save"><button type="submit" class="act">Save the currencies</button><span class="second">Nothing is changed before you save.</span></p></form>`;
}

/** @param {Schemas["ShopCurrency"]} c @param {string} own */
function row(c, own) {
  const cell = { form: `c${rowNumber()}`, hideLabel: true, required: true };
  const who = c.code || "new currency";
  return html`<tr data-row-of="currencies"><td data-label="Currency" class="shop-cell">${field({ ...cell, name: "currencies/0/code", label: `Code of ${who}`, value: c.code, maxlength: 3, hint: "ISO 4217" })}</td>
    <td data-label="One ${own} is" class="shop-cell">${field({ ...cell, name: "currencies/0/rate", label: `Rate of ${who}`, value: c.rate, inputmode: "decimal" })}</td>
    <td data-label="Rate of" class="shop-cell">${field({ ...cell, name: "currencies/0/on", label: `Day of the rate of ${who}`, type: "date", value: c.on })}</td>
    <td data-label=""><button type="button" data-remove-row>Remove<span class="visually-hidden"> ${who}</span></button></td></tr>`;
}

/** @param {Schemas["ShopDraft"]} s @returns {[string, string][]} */
const rows = (s) => [
  [
    "Currencies",
    (s.currencies ?? []).map((c) => `1 ${s.currency} is ${c.rate} ${c.code} (${c.on})`).join(", ") || "none",
  ],
];

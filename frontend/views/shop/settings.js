// @ts-check
// The shop's own settings: who it is, how it taxes, what its quotes say, deposit and draws, stations.

import { dialog } from "../../components/bf-dialog.js";
import { calendarDialog } from "../../components/calendar-link.js";
import { rosterWords } from "../../components/roster-words.js";
import { choices, readForm, span } from "../../components/shop-form.js";
import { readRoster, rosterFields, rosterRows } from "../../components/shop-roster-form.js";
import { editableRows, rowNumber } from "../../components/shop-rows.js";
import { savedAsOne } from "../../components/shop-saved.js";
import { drawGate, taxBasis, units } from "../../components/shop-words.js";
import { get, put } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { html, on, render } from "../../lib/html.js";
import { taxClass, word } from "../../lib/words.js";
import { settingsTabs } from "./settings-tabs.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { View } from "../../lib/router.js" */

/** @typedef {Schemas["ShopDraft"]} Settings */

/** @type {View} */
export default async function view(root, _params, { signal, formats }) {
  /** @param {Schemas["Shop"]} shop */
  const show = (shop) => {
    render(root, page(shop.settings));
    const form = /** @type {HTMLFormElement} */ (root.querySelector("form"));
    editableRows(
      form,
      {
        draws: () => drawRow({ name: "", percent: "", due: "phase_end", days_to_pay: 0 }),
        stations: () => stationRow({ key: "", name: "", capacity: 1 }),
      },
      signal,
    );
    on(form, "click", "[data-hours]", (button) => void stationHours(button, signal), signal);
    on(
      form,
      "click",
      "[data-calendar-of]",
      ({ dataset }) => {
        const station = shop.settings.stations.find((each) => each.key === dataset["calendarOf"]);
        if (station)
          void calendarDialog({ kind: "station", of: station.key, name: station.name, formats, signal });
      },
      signal,
    );
    savedAsOne(form, {
      what: "Settings",
      version: shop.version,
      read: (f) => ({
        draws: [],
        stations: [],
        .../** @type {Omit<Settings, "draws" | "stations"> & { stations?: Schemas["Station"][] }} */ (
          withHours(f, readForm(f))
        ),
      }),
      send: (body, version) => put("/api/shop", { body, version, signal }),
      rows,
      show,
      signal,
    });
  };
  show(await get("/api/shop", { signal }));
}

const f = { form: "shop" };

/** @param {Settings} s */
function page(s) {
  return html`<div class="row between"><h1>Settings</h1><button type="submit" form="settings-form" class="act">Save the settings</button></div>${settingsTabs("")}<form class="stack" id="settings-form" novalidate>${identity(s)}${tax(s)}${quoting(s)}${draws(s)}${stations(s)}${floorRules(s)}
    <p class="shop-save"><button type="submit" class="act">Save the settings</button><span class="second">Nothing is changed before you save.</span></p></form>`;
}

/** @param {Settings} s */
function identity(s) {
  return html`<section class="sheet"><h2>The shop</h2><div class="shop-form">
    ${span(6, field({ ...f, name: "name", label: "Name", value: s.name, required: true, maxlength: 160 }))}
    ${span(6, field({ ...f, name: "address", label: "Address, as documents show it", type: "textarea", rows: 2, value: s.address }))}
    ${span(3, field({ ...f, name: "currency", label: "Currency", value: s.currency, required: true, maxlength: 3, hint: "ISO 4217; stays once a job exists." }))}
    ${span(3, field({ ...f, name: "locale", label: "Language and format", value: s.locale, required: true, hint: "Such as en-GB." }))}
    ${span(3, field({ ...f, name: "time_zone", label: "Time zone", value: s.time_zone, required: true, hint: "Such as Europe/Vienna." }))}
    ${span(3, field({ ...f, name: "units", label: "Units", type: "select", value: s.units, options: choices(units) }))}</div></section>`;
}

/** @param {Settings} s */
function tax(s) {
  return html`<section class="sheet"><h2>Tax</h2>
    <p class="note watch">Classes, rates and the way tax is rounded follow your local law. These are your settings, not advice: check them with whoever does your books.</p>
    ${field({ ...f, name: "tax_basis", label: "Tax is rounded", type: "select", value: s.tax_basis, options: choices(taxBasis) })}
    <div class="shop-form">${Object.keys(taxClass).map((key, index) => rate(key, index, s.tax_rates.find((each) => each.class === key)?.percent ?? "0"))}</div></section>`;
}

/** @param {string} key @param {number} index @param {string} percent */
function rate(key, index, percent) {
  return html`<div data-span="4"><input type="hidden" name="tax_rates/${index}/class" value="${key}">
    ${field({ ...f, name: `tax_rates/${index}/percent`, label: `${word(taxClass, key)}, %`, value: percent, inputmode: "decimal", required: true })}</div>`;
}

/** @param {Settings} s */
function quoting(s) {
  return html`<section class="sheet"><h2>Quotes</h2><div class="shop-form">
    ${span(4, field({ ...f, name: "quote_valid_days", label: "Quotes hold for how many days", value: s.quote_valid_days, inputmode: "numeric", required: true }))}
    ${span(4, field({ ...f, name: "tolerance_percent", label: "Tolerance over the authorised amount, %", value: s.tolerance_percent, inputmode: "decimal", required: true, hint: "How far a bill may pass what was agreed differs by place. Check your local law." }))}
    ${field({ ...f, name: "terms", label: "Terms, printed on every quote", type: "textarea", rows: 8, value: s.terms, hint: "They can speak of ~client~, ~vehicle~, ~total~, ~expiry~ and the rest of what the opening of a quote can; see Texts." })}</div></section>`;
}

/** @param {Settings} s */
function draws(s) {
  return html`<section class="sheet"><h2>Deposit and draws</h2><p class="second">Together they make 100 %. A draw waits for what you choose here; where a job has no such phase or no inspection after stripping, it is due at hand-over, and the quote says so. A phase is named by its key or its name.</p>
    <div class="shop-form">${span(4, field({ ...f, name: "deposit_percent", label: "Deposit, %", value: s.deposit_percent, inputmode: "decimal", required: true }))}</div>
    <div class="shop-scroll"><table class="shop-list shop-stack"><thead><tr><th scope="col">Draw</th><th scope="col" class="num">Of the total, %</th><th scope="col">Falls due</th><th scope="col">Phase</th><th scope="col" class="num">Days to pay</th><th scope="col">Do</th></tr></thead>
    <tbody data-rows="draws">${s.draws.map(drawRow)}</tbody></table></div>
    <p class="field-error" data-error-of="draws" hidden></p>
    <p class="shop-actions"><button type="button" data-add-row="draws">Add a draw</button></p></section>`;
}

/** @param {Schemas["DrawRule"]} draw */
function drawRow(draw) {
  const cell = { form: `d${rowNumber()}`, hideLabel: true, required: true };
  const who = draw.name || "new draw";
  return html`<tr data-row-of="draws"><td data-label="Draw" class="shop-cell-wide">${field({ ...cell, name: "draws/0/name", label: `Name of ${who}`, value: draw.name, maxlength: 160 })}</td>
    <td data-label="Of the total, %" class="shop-cell">${field({ ...cell, name: "draws/0/percent", label: `Percent of ${who}`, value: draw.percent, inputmode: "decimal" })}</td>
    <td data-label="Falls due" class="shop-cell">${field({ ...cell, name: "draws/0/due", label: `What makes ${who} due`, type: "select", value: draw.due ?? "named", options: choices(drawGate) })}</td>
    <td data-label="Phase" class="shop-cell">${field({ ...cell, required: false, name: "draws/0/phase", label: `Phase that ${who} waits for`, value: draw.phase ?? "", maxlength: 160 })}</td>
    <td data-label="Days to pay" class="shop-cell">${field({ ...cell, name: "draws/0/days_to_pay", label: `Days to pay ${who}`, value: draw.days_to_pay ?? 0, inputmode: "numeric" })}</td>
    <td data-label=""><button type="button" data-remove-row>Remove<span class="visually-hidden"> ${who}</span></button></td></tr>`;
}

/** @param {Settings} s */
function stations(s) {
  return html`<section class="sheet"><h2>Stations</h2><p class="second">Places a task can occupy, and how many tasks at once.</p>
    <div class="shop-scroll"><table class="shop-list shop-stack"><thead><tr><th scope="col">Key</th><th scope="col">Station</th><th scope="col" class="num">At once</th><th scope="col">Open</th><th scope="col">Do</th></tr></thead>
    <tbody data-rows="stations">${s.stations.map(stationRow)}</tbody></table></div>
    <p class="shop-actions"><button type="button" data-add-row="stations">Add a station</button></p></section>`;
}

/** @param {Schemas["Station"]} station */
function stationRow(station) {
  const number = rowNumber();
  if (station.roster) rosters.set(String(number), station.roster);
  const cell = { form: `s${number}`, hideLabel: true, required: true };
  const who = station.name || "new station";
  return html`<tr data-row-of="stations"><td data-label="Key" class="shop-cell">${field({ ...cell, name: "stations/0/key", label: `Key of ${who}`, value: station.key, maxlength: 40 })}</td>
    <td data-label="Station" class="shop-cell-wide">${field({ ...cell, name: "stations/0/name", label: `Name of ${who}`, value: station.name, maxlength: 160 })}</td>
    <td data-label="At once" class="shop-cell">${field({ ...cell, name: "stations/0/capacity", label: `Capacity of ${who}`, value: station.capacity, inputmode: "numeric" })}</td>
    <td data-label="Open"><span class="small" data-hours-words>${rosterWords(station.roster)}</span> <button type="button" data-hours="${number}">Hours and closures<span class="visually-hidden"> of ${who}</span></button></td>
    <td data-label=""><div class="shop-do">${station.key ? html`<button type="button" data-calendar-of="${station.key}">Calendar<span class="visually-hidden"> of ${who}</span></button>` : ""}<button type="button" data-remove-row>Remove<span class="visually-hidden"> ${who}</span></button></div></td></tr>`;
}

/** The hours of stations by the number of their row: a dialog changes them, saving sends them. @type {Map<string, Schemas["Roster"]>} */
const rosters = new Map();

/** @param {HTMLElement} button @param {AbortSignal} signal */
async function stationHours(button, signal) {
  const number = button.dataset["hours"] ?? "";
  await dialog({
    title: "Hours and closures",
    body: html`<p>Kept when the settings are saved.</p>${rosterFields(rosters.get(number), "station")}`,
    action: "Take these hours",
    signal,
    ready: (form) => rosterRows(form, "station", signal),
    submit: async (_, form) => {
      const { roster } = readRoster(form);
      if (roster) rosters.set(number, roster);
      const words = button.parentElement?.querySelector("[data-hours-words]");
      if (words) words.textContent = `${rosterWords(roster)} (not saved yet)`;
    },
  });
}

/** The settings of a form with the hours of its stations, row by row. @param {HTMLElement} form @param {any} body @returns {any} */
function withHours(form, body) {
  const numbers = [...form.querySelectorAll("[data-hours]")].map(
    (each) => each.getAttribute("data-hours") ?? "",
  );
  for (const [index, station] of (body.stations ?? []).entries()) {
    const roster = rosters.get(numbers[index] ?? "");
    station.roster = roster ?? {};
  }
  return body;
}

/** @param {Settings} s */
function floorRules(s) {
  return html`<section class="sheet"><h2>The floor</h2><p class="second">How all jobs together are planned.</p><div class="shop-form">
    ${span(6, field({ ...f, name: "floor/replan_tolerance_days", label: "A new plan replaces the old one by itself within how many days", value: s.floor?.replan_tolerance_days ?? 0, inputmode: "numeric", required: true, hint: "Working days that a car may finish later. 0: you are asked as soon as one finishes on a later day." }))}
    ${span(6, field({ ...f, name: "floor/plan_seconds", label: "A plan is searched for how many seconds", value: s.floor?.plan_seconds ?? 10, inputmode: "numeric", required: true, hint: "1 to 120; longer finds better plans." }))}</div></section>`;
}

/** @param {Settings} s @returns {[string, string][]} */
function rows(s) {
  return [
    ["Name", s.name],
    ["Address", s.address],
    ["Currency, language, zone, units", `${s.currency}, ${s.locale}, ${s.time_zone}, ${s.units}`],
    ["Tax is rounded", word(taxBasis, s.tax_basis)],
    [
      "Tax rates",
      s.tax_rates
        .map((r) => `${word(taxClass, r.class)} ${r.percent} %`)
        .sort()
        .join(", "),
    ],
    ["Terms", s.terms],
    ["Good for days", String(s.quote_valid_days)],
    [
      "Deposit, draws",
      [
        `Deposit ${s.deposit_percent} %`,
        ...s.draws.map((d) =>
          [
            `${d.name} ${d.percent} %`,
            word(drawGate, d.due ?? "named"),
            d.phase,
            `${d.days_to_pay ?? 0} days`,
          ]
            .filter(Boolean)
            .join(" "),
        ),
      ].join(", "),
    ],
    ["Tolerance", `${s.tolerance_percent} %`],
    [
      "Stations",
      s.stations
        .map((each) => `${each.name} (${each.key}) × ${each.capacity}: ${rosterWords(each.roster)}`)
        .join(", "),
    ],
    ["The floor", `${s.floor?.replan_tolerance_days ?? 0} days, ${s.floor?.plan_seconds ?? 10} s`],
  ];
}

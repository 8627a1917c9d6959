// @ts-check
// What local law asks for before a higher price, as settings: the rule set with its source, own figures, when
// to watch the authorised amount, and the terms of stopping.

import { choices, readForm, span } from "../../components/shop-form.js";
import { savedAsOne } from "../../components/shop-saved.js";
import { get, put } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { attr, html, on, render } from "../../lib/html.js";
import { word } from "../../lib/words.js";
import { settingsTabs } from "./settings-tabs.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { View } from "../../lib/router.js" */

/** @typedef {Schemas["ShopRulesDraft"]} Settings */
/** @typedef {Schemas["RuleSet"]} RuleSet */

/** What a figure is, and whether it is money. @type {Record<keyof Schemas["RuleSetFigures"], [string, boolean]>} */
const figures = {
  written_estimate_over: ["Written estimate over", true],
  amount: ["Consent over an amount of", true],
  percent: ["Consent over, %", false],
  cap: ["At most", true],
  keep_records_years: ["Keep records, years", false],
};

/** @type {Record<Schemas["ConsentShape"], string>} */
const shapes = {
  none_over: "No price above what was agreed without consent.",
  greater_of_capped: "Above the greater of a percentage and an amount, up to a cap, with consent.",
  lesser_of: "Above the lesser of a percentage and an amount, with consent.",
  percent: "Above a percentage, with consent.",
};

/** @type {View} */
export default async function view(root, _params, { signal, me, formats }) {
  const [{ items }, stored] = await Promise.all([
    get("/api/rule-sets", { signal }),
    get("/api/shop/rules", { signal }),
  ]);
  /** @param {Schemas["ShopRules"]} rules */
  const show = (rules) => {
    render(root, page(rules, items, me.shop.currency, formats));
    const form = /** @type {HTMLFormElement} */ (root.querySelector("form"));
    savedAsOne(form, {
      what: "Consent and stopping",
      version: rules.version,
      read: (f) => ({
        overrides: {},
        .../** @type {Omit<Settings, "overrides">} */ (
          readForm(f, { optional: Object.keys(figures).map((name) => `overrides/${name}`) })
        ),
      }),
      send: (body, version) => put("/api/shop/rules", { body, version, signal }),
      rows,
      show,
      signal,
    });
  };
  show(stored);
  on(
    root,
    "change",
    '[name="rule_set"]',
    (select) => {
      const chosen = items.find(({ code }) => code === /** @type {HTMLSelectElement} */ (select).value);
      const place = root.querySelector("#rule-said");
      if (chosen && place) render(place, said(chosen, formats));
    },
    signal,
  );
}

/** @param {Schemas["ShopRules"]} rules @param {RuleSet[]} items @param {string} currency @param {Formats} formats */
function page({ settings: s, rule_set }, items, currency, formats) {
  const f = { form: "rules" };
  const decimal = { ...f, inputmode: "decimal", required: true };
  const names = Object.fromEntries(items.map((each) => [each.code, `${each.name}, ${each.place}`]));
  return html`<h1>Consent and stopping</h1>${settingsTabs("consent")}<form class="stack" novalidate>
    <section class="sheet"><h2>When a higher price needs new consent</h2>
    ${field({ ...f, name: "rule_set", label: "Rule set", type: "select", value: s.rule_set, options: choices(names, undefined, s.rule_set) })}
    <div id="rule-said" role="status">${said(rule_set, formats)}</div>
    <h3>Own figures</h3><p class="second">Where yours differ from the rule set, as when the law was changed since it was read. Empty: the rule set's.</p>
    <div class="shop-form">${Object.entries(figures).map(([name, [label, money]]) =>
      span(
        4,
        field({
          ...f,
          name: `overrides/${name}`,
          label: money ? `${label}, ${currency}` : label,
          value: s.overrides[/** @type {keyof typeof figures} */ (name)] ?? "",
          inputmode: name === "keep_records_years" ? "numeric" : "decimal",
        }),
      ),
    )}</div></section>
    <section class="sheet"><h2>Watch over the authorised amount</h2><div class="shop-form">${span(4, field({ ...decimal, name: "warn_percent", label: "Warn at, % of the authorised amount", value: s.warn_percent, hint: "It stops at 100 % and the tolerance of your settings." }))}</div></section>
    <section class="sheet"><h2>If the work stops early</h2><p class="note watch">Charges for storage, taking apart and putting together must be lawful where you are and agreed beforehand. Check local law.</p><div class="shop-form">
    ${span(3, field({ ...decimal, name: "teardown", label: `Taking apart, ${currency}`, value: s.teardown }))}
    ${span(3, field({ ...decimal, name: "reassembly", label: `Putting together, ${currency}`, value: s.reassembly }))}
    ${span(3, field({ ...decimal, name: "storage_per_day", label: `Storage a day, ${currency}`, value: s.storage_per_day }))}
    ${span(3, field({ ...f, name: "storage_free_days", label: "Days without storage", value: s.storage_free_days, inputmode: "numeric", required: true }))}</div></section>
    <p class="shop-save"><button type="submit" class="act">Save consent and stopping</button><span class="second">Nothing is changed before you save.</span></p></form>`;
}

/** @param {RuleSet} rule @param {Formats} formats */
function said({ place, source, read_on, note, check, shape, figures: own, record_must_name }, formats) {
  const known = Object.entries(own).filter(([, value]) => value !== undefined && value !== "");
  return html`<p>${shapes[shape]} ${known.length > 0 ? html`${known.map(([name, value]) => `${figures[/** @type {keyof typeof figures} */ (name)][0]}: ${value}`).join("; ")}.` : ""}</p>
    ${note ? html`<p>${note}</p>` : ""}
    ${record_must_name.length > 0 ? html`<p>A recorded decision must hold: ${record_must_name.map((each) => word({}, each)).join(", ")}.</p>` : ""}
    <p class="small">${place}. Source: ${source}; read ${formats.day(read_on)}.</p><p class="note watch" ${attr("hidden", check === "")}>${check}</p>`;
}

/** @param {Settings} s @returns {[string, string][]} */
const rows = (s) => [
  ["Rule set", s.rule_set],
  [
    "Own figures",
    Object.entries(s.overrides)
      .map(([name, value]) => `${word({}, name)} ${value}`)
      .join(", "),
  ],
  ["Warn at", `${s.warn_percent} %`],
  ["Taking apart, putting together", `${s.teardown}, ${s.reassembly}`],
  ["Storage", `${s.storage_per_day} a day after ${s.storage_free_days} days`],
];

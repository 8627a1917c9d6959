// @ts-check
// The form of one rule: what it makes, of what, for which zones. No formula is typed: a part is a row of
// factors, each chosen from what there is. Names of fields are pointers into the rule.

import { field } from "../lib/form.js";
import { html } from "../lib/html.js";
import { workStage } from "../lib/words.js";
import { boxes, choices, readForm, span } from "./shop-form.js";
import { factor } from "./shop-plan-rules.js";

/** @import { Schemas } from "../lib/contract.js" */
/** @import { Plan } from "./shop-plan.js" */
/** @import { Factor, Rule } from "./shop-plan-rules.js" */

/** @typedef {{ plan: Plan, methods: Schemas["WorkMethod"][], quantities: Schemas["RuleQuantity"][], materials: { key: string, name: string, unit: string }[] }} Ground */

const f = { form: "rule" };

const kinds = {
  rail: "rail",
  kick_up: "kick-up",
  crossmember: "crossmember",
  mount: "mount",
  bracket: "bracket",
  opening: "opening",
};
const sides = { left: "left", centre: "centre", right: "right" };
const grades = {
  a: "grade A",
  b: "grade B",
  c: "grade C",
  d: "grade D",
  pitted: "pitted",
  patched: "patched",
  perforated: "perforated",
  hidden: "not seen yet",
};
const finishes = { driver: "driver", show: "show", concours: "concours", as_found: "as found" };
const whats = {
  of: "a quantity of the zone",
  times: "times a rate",
  per: "divided by a rate",
  by: "a factor by condition",
  of_rule: "what another rule makes",
};
const bys = { condition: "grade", finish: "finish", method: "method", kind: "kind of zone" };

/** The ways of a stage as words. @param {Ground} ground @param {string} stage */
const ways = ({ methods }, stage) =>
  Object.fromEntries(methods.filter((m) => m.stage === stage).map((m) => [m.key, m.name]));

/** @param {Factor} x @returns {keyof whats} */
const whatOf = (x) => (x.of_rule ? "of_rule" : x.times ? "times" : x.per ? "per" : x.by ? "by" : "of");

/** @param {Ground} ground @param {Rule} rule @param {Record<string, string>} chosen what each factor is, where its field is empty yet */
export function ruleFields(ground, rule, chosen) {
  const tasks = Object.fromEntries(ground.plan.tasks.map((t) => [t.key, `${t.key} ${t.name}`]));
  const materials = Object.fromEntries(ground.materials.map((m) => [m.key, `${m.name}, ${m.unit}`]));
  const hours = rule.makes === "hours";
  return html`<div class="shop-form">
    ${field({ ...f, name: "name", label: "Name", value: rule.name, required: true, maxlength: 100 })}
    ${span(6, field({ ...f, name: "task", label: "For the task", type: "select", value: rule.task, options: choices(tasks, undefined, rule.task) }))}
    ${span(
      3,
      field({
        ...f,
        name: "makes",
        label: "Makes",
        type: "select",
        value: rule.makes,
        options: [
          ["hours", "hours"],
          ["material", "a material"],
        ],
      }),
    )}
    ${span(3, field({ ...f, name: "stage", label: "Stage", type: "select", value: rule.stage, options: choices(workStage), hint: "Whose methods are meant." }))}
    ${hours ? "" : html`${span(8, field({ ...f, name: "material", label: "Material of the price book", type: "select", value: rule.material, options: choices(materials, rule.material ? undefined : "choose one", rule.material) }))}${span(4, field({ ...f, name: "unit", label: "Unit", value: rule.unit, required: true, maxlength: 20 }))}`}
    ${span(6, field({ ...f, name: "fixed", label: `Counted once, ${rule.unit}`, value: rule.fixed, inputmode: "decimal", hint: "When any zone counts. Empty: nothing." }))}
    ${span(6, field({ ...f, name: "each", label: `For every zone, ${rule.unit}`, value: rule.each, inputmode: "decimal", hint: "Empty: nothing." }))}
    ${hours ? html`${span(6, field({ ...f, name: "spread/low", label: "Low hours, times the likely", value: rule.spread?.low ?? "", inputmode: "decimal", hint: "At most 1. Both empty: no spread." }))}${span(6, field({ ...f, name: "spread/high", label: "High hours, times the likely", value: rule.spread?.high ?? "", inputmode: "decimal", hint: "At least 1." }))}` : ""}</div>
    ${rule.parts.map((part, p) => partFields(ground, rule, part.factors, p, chosen))}
    <p class="shop-actions"><button type="button" id="rule-add-part" data-rule-act="add-part">Add a part</button></p>
    <p class="field-error" data-error-of="parts" hidden></p>
    ${forFields(ground, rule)}
    ${field({ ...f, name: "source", label: "Where the figures come from", value: rule.source, required: true, maxlength: 200, hint: "With a figure of your own: where you have it from. Left as it is, it says that the figure is your own, and the day." })}
    ${field({ ...f, name: "note", label: "Note", type: "textarea", rows: 2, value: rule.note, maxlength: 2000 })}`;
}

/** @param {Ground} ground @param {Rule} rule */
function forFields(ground, rule) {
  const lists = /** @type {[keyof Rule["for"], string, Record<string, string>][]} */ ([
    ["kinds", "Kinds of zone", kinds],
    ["sides", "Sides", sides],
    ["conditions", "Grades", grades],
    ["finishes", "Finishes", finishes],
    ["methods", "Methods", ways(ground, rule.stage)],
  ]);
  return html`<details id="rule-for"><summary>Only for some zones</summary><p class="hint">Nothing marked in a list: any.</p>
    ${lists.map(([name, label, words]) => html`${boxes({ name: `for/${name}`, label, choices: choices(words), chosen: rule.for[name] })}${rule.for[name].map((_, n) => html`<p class="field-error" data-error-of="for/${name}/${n}" hidden></p>`)}`)}
    ${field({ ...f, name: "zones", label: "Codes of zones, with commas", value: rule.for.zones.join(", "), maxlength: 2000 })}</details>`;
}

/** @param {Ground} ground @param {Rule} rule @param {Factor[]} factors @param {number} p @param {Record<string, string>} chosen */
function partFields(ground, rule, factors, p, chosen) {
  return html`<fieldset data-part="${p}"><legend>Part ${p + 1}: multiplied together, in ${rule.unit}</legend>
    <p class="field-error" data-error-of="parts/${p}" hidden></p><p class="field-error" data-error-of="parts/${p}/factors" hidden></p>
    ${factors.map((x, n) => factorFields(ground, rule, x, `parts/${p}/factors/${n}`, chosen))}
    <p class="shop-actions"><button type="button" id="rule-add-${p}" data-rule-act="add-factor" data-part-at="${p}">Add a factor<span class="visually-hidden"> to part ${p + 1}</span></button><button type="button" data-rule-act="remove-part" data-part-at="${p}">Remove part ${p + 1}</button></p></fieldset>`;
}

/** @param {Ground} ground @param {Rule} rule @param {Factor} x @param {string} at @param {Record<string, string>} chosen */
function factorFields(ground, rule, x, at, chosen) {
  const what = /** @type {keyof whats} */ (chosen[at] ?? whatOf(x));
  return html`<div class="shop-form shop-factor" data-factor="${at}">
    ${span(4, field({ ...f, name: `what/${at}`, label: "Factor", type: "select", value: what, options: choices(whats) }))}
    ${factorOf[what](ground, rule, x, at)}
    ${span(1, html`<button type="button" data-rule-act="remove-factor" data-at="${at}" aria-label="Remove this factor: ${whats[what]}">×</button>`)}
    <p class="field-error" data-error-of="${at}" hidden></p></div>`;
}

/** @param {"times" | "per"} name */
const rate =
  (name) =>
  (/** @type {Ground} */ _, /** @type {Rule} */ __, /** @type {Factor} */ x, /** @type {string} */ at) =>
    html`${span(3, field({ ...f, name: `${at}/${name}`, label: "Rate", value: x[name], inputmode: "decimal", required: true }))}${span(4, field({ ...f, name: `${at}/unit`, label: "Unit", value: x.unit, maxlength: 20, hint: "Such as m2/h; empty: a pure number." }))}`;

/** @type {Record<keyof whats, (ground: Ground, rule: Rule, x: Factor, at: string) => import("../lib/html.js").Markup>} */
const factorOf = {
  of: ({ quantities }, _, x, at) =>
    span(
      6,
      field({
        ...f,
        name: `${at}/of`,
        label: "Quantity",
        type: "select",
        value: x.of,
        options: choices(
          Object.fromEntries(quantities.map((q) => [q.key, `${q.name}, ${q.unit}`])),
          x.of ? undefined : "choose one",
          x.of,
        ),
      }),
    ),
  times: rate("times"),
  per: rate("per"),
  of_rule: ({ plan }, rule, x, at) =>
    span(
      6,
      field({
        ...f,
        name: `${at}/of_rule`,
        label: "Rule",
        type: "select",
        value: x.of_rule,
        options: choices(
          Object.fromEntries(
            (plan.rules ?? []).filter((r) => r.key !== rule.key).map((r) => [r.key, `${r.task} ${r.name}`]),
          ),
          x.of_rule ? undefined : "choose one",
          x.of_rule,
        ),
      }),
    ),
  by: (ground, rule, x, at) => {
    const by = /** @type {keyof bys} */ (x.by || "condition");
    const words = { condition: grades, finish: finishes, kind: kinds, method: ways(ground, rule.stage) }[by];
    const all = { ...Object.fromEntries(Object.keys(x.table).map((key) => [key, key])), ...words };
    return html`${span(6, field({ ...f, name: `${at}/by`, label: "By", type: "select", value: by, options: choices(bys) }))}
      ${Object.entries(all).map(([key, word]) => span(3, field({ ...f, name: `${at}/table/${key}`, label: `× where ${word}`, value: x.table[key] ?? "", inputmode: "decimal" })))}
      ${span(3, field({ ...f, name: `${at}/other`, label: "× any other", value: x.other, inputmode: "decimal", hint: "Empty: 1." }))}
      <p class="field-error" data-error-of="${at}/table" hidden></p>`;
  },
};

/** The rule that the form describes, and what each factor was chosen to be. @param {HTMLElement} form @param {Rule} was */
export function readRule(form, was) {
  const read = /** @type {any} */ (readForm(form));
  const { zones = "", spread, what, parts = [], makes, ...rest } = read;
  /** @type {Record<string, string>} */
  const chosen = {};
  (what?.parts ?? []).forEach((/** @type {any} */ part, /** @type {number} */ p) => {
    part.factors.forEach((/** @type {string} */ word, /** @type {number} */ n) => {
      chosen[`parts/${p}/factors/${n}`] = word;
    });
  });
  const listed = zones.split(",").map((/** @type {string} */ code) => code.trim());
  /** @type {Rule} */
  const rule = {
    ...was,
    ...rest,
    makes,
    material: makes === "material" ? (rest.material ?? was.material) : "",
    unit: makes === "hours" ? "h" : (rest.unit ?? was.unit),
    for: { ...was.for, ...rest.for, zones: listed.filter(Boolean) },
    parts: was.parts.map((_, p) => ({
      factors: (parts[p]?.factors ?? []).map((/** @type {Partial<Factor>} */ x) =>
        factor({
          ...x,
          table: Object.fromEntries(Object.entries(x.table ?? {}).filter(([, text]) => text !== "")),
        }),
      ),
    })),
  };
  if (makes === "hours" && (spread?.low || spread?.high)) rule.spread = spread;
  else delete rule.spread;
  return { rule, chosen };
}

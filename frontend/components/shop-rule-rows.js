// @ts-check
// The rules of a template as sentences, by task in the order of the plan, each with the way to change it.
// The sentences are the server's; an edit shows them when it has answered.

import { html } from "../lib/html.js";
import { counted } from "./shop-words.js";

/** @import { Schemas } from "../lib/contract.js" */
/** @import { Plan } from "./shop-plan.js" */

/** @typedef {Schemas["RuleSaid"]} Said */

const origins = { starting: "Starting value", changed: "Own figure", added: "Own rule" };

/**
 * @param {Plan} plan @param {Said[]} said @param {{ pointer: string, detail: string }[]} problems
 * @param {string[]} open ids of what stands open @param {boolean} fixed
 */
export function ruleRows(plan, said, problems, open, fixed) {
  const rules = plan.rules ?? [];
  const named = new Set(plan.tasks.map((t) => t.key));
  const strange = [...new Set(rules.map((r) => r.task))].filter((key) => !named.has(key));
  const groups = [
    ...plan.tasks.map((t) => ({ key: t.key, words: `${t.key} ${t.name}` })),
    ...strange.map((key) => ({ key, words: `${key}: no task of this template, makes nothing` })),
  ];
  const own = said.filter((r) => r.origin !== "starting").length;
  const rowsOf = (/** @type {string} */ key) =>
    rules.flatMap((rule, at) => (rule.task === key ? [{ rule, at }] : []));
  return html`<section class="sheet" id="rules"><h2>How hours and materials follow the frame</h2>
    <p class="second">${counted(rules.length, "rule")}${rules.length === 0 ? "" : own > 0 ? `, ${own} with figures of your own` : ", all of them starting values"}. The code of a task takes its rules along.</p>
    <details id="rules-said"${open.includes("rules-said") ? html` open` : ""}><summary>Read and change them</summary>
    ${groups.map(({ key, words }) => {
      const rows = rowsOf(key);
      if (rows.length === 0) return "";
      return html`<h3>${words}</h3><ul class="shop-plain">${rows.map(({ rule, at }) => ruleRow(rule, at, said, problems, fixed))}</ul>`;
    })}</details>
    ${fixed ? "" : html`<p class="shop-actions"><button type="button" id="add-rule" data-do="add-rule">Add a rule</button></p>`}</section>`;
}

/** @param {Schemas["MethodRule"]} rule @param {number} at @param {Said[]} all @param {{ pointer: string, detail: string }[]} problems @param {boolean} fixed */
function ruleRow(rule, at, all, problems, fixed) {
  const said = all.find((r) => r.key === rule.key);
  const wrong = problems.filter(
    (p) => p.pointer.startsWith(`/plan/rules/${at}/`) || p.pointer === `/plan/rules/${at}`,
  );
  const origin = said?.origin ?? "added";
  return html`<li data-rule="${rule.key}"><p>${fixed ? html`<strong>${rule.name}</strong>` : html`<button type="button" class="shop-open" id="r${at}-open" data-do="rule" data-at="${at}">${rule.name}</button>`}
    <span class="state${origin === "starting" ? "" : " ranged"}">${origins[origin]}</span></p>
    <p>${said?.sentence ?? ""} ${html`<span class="small">${said?.source ?? rule.source}</span>`}</p>
    ${wrong.map((p) => html`<p class="field-error">${p.detail}</p>`)}
    ${fixed ? "" : html`<p class="shop-actions"><button type="button" data-do="copy-rule" data-at="${at}">Copy<span class="visually-hidden"> ${rule.name}</span></button><button type="button" data-do="remove-rule" data-at="${at}">Remove<span class="visually-hidden"> ${rule.name}</span></button></p>`}</li>`;
}

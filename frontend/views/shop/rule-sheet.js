// @ts-check
// The sheet of one rule. The server looks at the changed plan before the sheet closes: what it refuses
// stands beside its field.

import { dialog } from "../../components/bf-dialog.js";
import { otherwise } from "../../components/shop-form.js";
import { blankRule, factor } from "../../components/shop-plan-rules.js";
import { readRule, ruleFields } from "../../components/shop-rule-form.js";
import { ApiProblem } from "../../lib/call.js";
import { html, on, render } from "../../lib/html.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Plan } from "../../components/shop-plan.js" */
/** @import { Rule } from "../../components/shop-plan-rules.js" */

/**
 * @typedef {object} Desk
 * @property {Plan} plan
 * @property {{ book: Schemas["PriceBook"] }} offers
 * @property {AbortSignal} signal
 * @property {(words: string, act: (plan: Plan) => unknown) => boolean} take
 * @property {Schemas["WorkMethod"][]} methods
 * @property {Schemas["RuleQuantity"][]} quantities
 * @property {(key: string) => Schemas["RuleSaid"] | undefined} said
 * @property {(plan: Plan) => Promise<Schemas["TemplateSample"]>} tried
 */

/** A rule; at -1 a new one. @param {Desk} desk @param {number} at */
export async function openRule(desk, at) {
  const { plan } = desk;
  const first = plan.rules?.[at] ?? blankRule(plan);
  const place = at < 0 ? (plan.rules?.length ?? 0) : at;
  const said = desk.said(first.key);
  const began = said?.began;
  const ground = {
    plan,
    methods: desk.methods,
    quantities: desk.quantities,
    materials: desk.offers.book.materials,
  };
  let rule = structuredClone(first);
  /** @type {Record<string, string>} */
  let chosen = {};
  let way = "save";
  const put = (/** @type {Plan} */ p) => {
    p.rules ??= [];
    p.rules[place] = rule;
  };
  const done = await dialog({
    title: at < 0 ? "Add a rule" : `${first.task} ${first.name}`,
    action: at < 0 ? "Add the rule" : "Change the rule",
    signal: desk.signal,
    body: html`<p>${said?.sentence ?? ""}</p>
      ${began ? html`<p class="second">Own figure. It began as: ${began.source}.</p><p class="shop-actions"><button type="button" id="sheet-began">Back to the starting value</button></p>` : ""}
      <div id="rule-fields">${ruleFields(ground, rule, chosen)}</div>`,
    ready: (form) => {
      otherwise(form, "#sheet-began", () => {
        way = "began";
      });
      const fields = /** @type {HTMLElement} */ (form.querySelector("#rule-fields"));
      /** Draws the form anew after a change of its shape. @param {string} focus */
      const again = (focus) => {
        const open = fields.querySelector("details")?.open;
        render(fields, ruleFields(ground, rule, chosen));
        const details = fields.querySelector("details");
        if (details && open) details.open = true;
        /** @type {HTMLElement | null} */ (fields.querySelector(focus))?.focus();
      };
      on(
        fields,
        "change",
        '[name="makes"], [name="stage"], [name="material"], [name^="what/"], [name$="/by"]',
        (control) => {
          const { id, name, value } = /** @type {HTMLSelectElement} */ (control);
          ({ rule, chosen } = readRule(form, rule));
          if (name === "material")
            rule.unit = ground.materials.find((m) => m.key === value)?.unit ?? rule.unit;
          again(`#${CSS.escape(id)}`);
        },
        desk.signal,
      );
      on(
        fields,
        "click",
        "[data-rule-act]",
        (button) => {
          ({ rule, chosen } = readRule(form, rule));
          again(reshape(rule, chosen, button.dataset));
        },
        desk.signal,
      );
    },
    submit: async (_, form) => {
      if (way === "began" && began) rule = structuredClone(began);
      else ({ rule } = readRule(form, rule));
      way = "save";
      await stands(desk, place, rule, put);
    },
  });
  if (done) desk.take(`${at < 0 ? "adding" : "changing"} the rule ${rule.name}`, put);
}

/** Adds or removes a row; answers where the focus goes. @param {Rule} rule @param {Record<string, string>} chosen @param {DOMStringMap} asked */
function reshape(rule, chosen, { ruleAct, partAt, at = "" }) {
  const p = Number(partAt ?? at.split("/")[1]);
  const factors = rule.parts[p]?.factors ?? [];
  if (ruleAct === "add-factor") {
    factors.push(factor({}));
    return `[name="what/parts/${p}/factors/${factors.length - 1}"]`;
  }
  if (ruleAct === "add-part") {
    rule.parts.push({ factors: [factor({})] });
    return `[name="what/parts/${rule.parts.length - 1}/factors/0"]`;
  }
  // What was chosen is by place: places move when a row goes, and every row says by itself what it is.
  for (const key of Object.keys(chosen)) delete chosen[key];
  if (ruleAct === "remove-part") {
    rule.parts.splice(p, 1);
    return "#rule-add-part";
  }
  factors.splice(Number(at.split("/")[3]), 1);
  return `#rule-add-${p}`;
}

/**
 * Throws what the server has against the rule in its plan, with pointers into the rule.
 * @param {Desk} desk @param {number} at @param {Rule} rule @param {(plan: Plan) => void} put
 */
async function stands(desk, at, rule, put) {
  const next = structuredClone(desk.plan);
  put(next);
  const under = `/plan/rules/${at}`;
  const mine = (/** @type {{ pointer: string, detail: string }[]} */ problems) =>
    problems
      .filter(({ pointer }) => pointer === under || pointer.startsWith(`${under}/`))
      .map(({ pointer, detail }) => ({ pointer: fieldOf(pointer.slice(under.length), rule), detail }));
  /** @type {{ pointer: string, detail: string }[]} */
  let problems;
  try {
    problems = mine((await desk.tried(next)).problems);
  } catch (error) {
    if (!(error instanceof ApiProblem)) throw error;
    problems = mine(error.errors);
    if (problems.length === 0) throw error;
  }
  if (problems.length > 0)
    throw new ApiProblem({
      type: "about:blank",
      title: "The rule cannot be taken",
      status: 422,
      detail: "This rule cannot be taken yet.",
      errors: problems,
    });
}

/** A part that comes out in another unit is put right at the unit of its rate. @param {string} pointer @param {Rule} rule */
function fieldOf(pointer, rule) {
  const part = /^\/parts\/(\d+)$/.exec(pointer);
  const n = rule.parts[Number(part?.[1])]?.factors.findIndex((x) => x.times || x.per) ?? -1;
  if (part && n >= 0) return `${pointer}/factors/${n}/unit`;
  return pointer.startsWith("/for/zones") ? "/zones" : pointer;
}

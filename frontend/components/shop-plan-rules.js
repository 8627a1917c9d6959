// @ts-check
// The rules of a plan while it is edited. No page in here; every function changes the plan it is given.

import { freeKey } from "./shop-plan.js";

/** @import { Schemas } from "../lib/contract.js" */
/** @import { Plan } from "./shop-plan.js" */

/** @typedef {Schemas["MethodRule"]} Rule */
/** @typedef {Schemas["MethodFactor"]} Factor */

/** @param {Partial<Factor>} given @returns {Factor} */
export const factor = (given) => ({
  of: "",
  of_rule: "",
  times: "",
  per: "",
  unit: "",
  by: "",
  table: {},
  other: "",
  ...given,
});

/** The stage of a task's work, after the rules that it has or else its neighbours. @param {Plan} plan @param {string} task */
function stageOf(plan, task) {
  const own = plan.rules?.find((r) => r.task === task) ?? plan.rules?.find((r) => r.task[0] === task[0]);
  return own?.stage ?? "repair";
}

/** A rule to begin with: one hour for each zone. @param {Plan} plan @returns {Rule} */
export function blankRule(plan) {
  const task = plan.tasks.find((t) => t.kind === "work")?.key ?? "";
  return {
    key: freeKey(plan.rules?.map((r) => r.key) ?? [], "own-"),
    name: "New rule",
    stage: stageOf(plan, task),
    makes: "hours",
    task,
    material: "",
    unit: "h",
    for: { kinds: [], sides: [], zones: [], conditions: [], finishes: [], methods: [] },
    fixed: "",
    each: "1",
    parts: [],
    note: "",
    source: "own figure",
  };
}

/** @param {Plan} plan @param {number} at */
export function copyRule(plan, at) {
  const from = plan.rules?.[at];
  if (!plan.rules || !from) return false;
  plan.rules.splice(at + 1, 0, {
    ...structuredClone(from),
    key: freeKey(
      plan.rules.map((r) => r.key),
      `${from.key.slice(0, 90)}-`,
    ),
    name: `${from.name}, again`.slice(0, 100),
  });
  return true;
}

/** @param {Plan} plan @param {number} at */
export function removeRule(plan, at) {
  plan.rules?.splice(at, 1);
}

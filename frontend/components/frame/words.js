// @ts-check
// The words for zones and their conditions, and which of two conditions is worse.

/** @import { Zone } from "./plan.js" */

/** @typedef {import("../../lib/contract.js").Schemas["SteelCondition"]} Grade */
/** @typedef {{ worst: Grade | null, text?: string }} Condition */
/** @typedef {Record<string, Condition>} Conditions zone id to its condition */

/** From sound to worst. A to D are the rust grades of ISO 8501-1; what follows is common practice. */
const order = ["a", "b", "c", "d", "pitted", "patched", "perforated"];

/** @type {Record<Grade, string>} */
export const gradeWord = {
  a: "grade A, sound",
  b: "grade B, rust begun",
  c: "grade C, rusted",
  d: "grade D, rusted and pitting",
  pitted: "pitted",
  patched: "patched",
  perforated: "perforated",
  hidden: "hidden",
};

/** @type {Record<string, string>} */
export const kindWord = {
  rail: "rail",
  kick_up: "kick-up",
  crossmember: "crossmember",
  mount: "body mount",
  bracket: "bracket",
  opening: "opening",
};

/** @param {Condition | undefined} condition */
export const conditionWord = (condition) =>
  condition?.worst ? gradeWord[condition.worst] : "not graded yet";

/** How much nobody can see while the body is on. @param {Zone} zone */
export function hiddenWord({ visible_percent: seen }) {
  if (seen >= 100) return "all can be seen";
  return seen <= 0 ? "all hidden" : `${100 - seen} % hidden`;
}

/** Section as it is written on a drawing. @param {Zone} zone @param {(mm: number) => string} length */
export function sectionWord({ section: s }, length) {
  if (s.shape === "none") return "–";
  const size = s.shape === "plate" || s.shape === "tube" ? "" : `${s.width_mm} × `;
  return `${s.shape} ${size}${length(s.height_mm || s.width_mm)}, ${s.thickness_mm} mm thick`;
}

/** What a screen reader says of a zone. @param {Zone} zone @param {Condition | undefined} condition @param {string} [badge] */
export function spoken(zone, condition, badge) {
  const parts = [
    zone.name,
    conditionWord(condition),
    condition?.text,
    `${hiddenWord(zone)} with the body on`,
  ];
  if (badge) parts.push(`marked ${badge}`);
  return parts.filter(Boolean).join(", ");
}

/** @typedef {"worse" | "better" | "uncovered"} Turn uncovered: it was hidden or not graded before */
/** @typedef {{ zone: Zone, turn: Turn, before: Condition | undefined, after: Condition }} Difference */

/**
 * What a later survey changes: worst first, then in the order of the zones. No difference: a zone that the
 * later survey does not grade or finds still hidden, and one that nobody had graded and that is sound or
 * as good (A or B).
 * @param {Zone[]} zones @param {Conditions} thought @param {Conditions} found @returns {Difference[]}
 */
export function differences(zones, thought, found) {
  /** @type {Difference[]} */
  const all = [];
  for (const zone of zones) {
    const before = thought[zone.id];
    const after = found[zone.id];
    const then = order.indexOf(before?.worst ?? "");
    const now = order.indexOf(after?.worst ?? "");
    if (!after || now < 0 || now === then || (!before?.worst && now < 2)) continue;
    all.push({ zone, before, after, turn: then < 0 ? "uncovered" : now > then ? "worse" : "better" });
  }
  /** @param {Difference} d */
  const rank = (d) => order.indexOf(d.after.worst ?? "");
  return all.sort((a, b) => rank(b) - rank(a));
}

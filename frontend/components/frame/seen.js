// @ts-check
// From observations to what a drawing of the frame shows: the worst that was seen on each zone at a moment.

import { moment } from "../../lib/words.js";
import { gradeWord } from "./words.js";

/** @import { Conditions, Grade } from "./words.js" */

/** @typedef {{ zone_id: string, moment: string, condition: string, length_mm?: number, width_mm?: number, void?: boolean }} Seen */

export const moments = Object.keys(moment);

/** From sound to worst; what is hidden says nothing about the steel. @type {string[]} */
const order = ["hidden", ...Object.keys(gradeWord).filter((grade) => grade !== "hidden")];

/** "140 × 60 mm" as the shop writes lengths; nothing when it was not measured. @param {{ length_mm?: number, width_mm?: number }} seen @param {(mm: number) => string} length */
export function sizeWord({ length_mm, width_mm }, length) {
  return [length_mm, width_mm].flatMap((mm) => (mm ? [length(mm)] : [])).join(" × ");
}

/**
 * @param {Seen[]} observations
 * @param {string} at a moment; empty: the last at which each zone was seen
 * @param {(mm: number) => string} length
 * @returns {Conditions}
 */
export function conditionsAt(observations, at, length) {
  /** @type {Record<string, { worst: Grade, text: string }>} */
  const found = {};
  /** @type {Record<string, string>} */
  const last = {};
  const standing = observations.filter((o) => !o.void);
  for (const { zone_id, moment: when, condition } of standing)
    if (condition !== "hidden" && moments.indexOf(when) > moments.indexOf(last[zone_id] ?? ""))
      last[zone_id] = when;
  for (const seen of standing) {
    const { zone_id } = seen;
    if (seen.moment !== (at || (last[zone_id] ?? seen.moment))) continue;
    const before = found[zone_id];
    if (before && order.indexOf(before.worst) >= order.indexOf(seen.condition)) continue;
    found[zone_id] = { worst: /** @type {Grade} */ (seen.condition), text: sizeWord(seen, length) };
  }
  return found;
}

/** The numbers of the findings at the end of leader lines. @param {{ zone_id: string, number: number, state: string }[]} findings */
export function badgesOf(findings) {
  /** @type {Record<string, string>} */
  const badges = {};
  for (const { zone_id, number, state } of [...findings].sort((a, b) => a.number - b.number))
    if (state !== "dismissed")
      badges[zone_id] = badges[zone_id] ? `${badges[zone_id]}, F${number}` : `F${number}`;
  return badges;
}

// @ts-check
// When somebody works or a station can be used, in words: for the shop's lists and for the bench.

import { weekday } from "../lib/words.js";

/** @import { Schemas } from "../lib/contract.js" */

/** @type {Record<string, string>} */
export const absenceReason = {
  holiday: "Holiday",
  ill: "Ill",
  training: "Training",
  upkeep: "Upkeep",
  other: "Other",
};

/** @param {Schemas["Shift"][]} shifts */
export const shiftWords = (shifts) => shifts.map(({ from, to }) => `${from} to ${to}`).join(", ");

/** The week, day by day; nothing where the shop's hours hold. @param {Schemas["Roster"] | undefined} roster @returns {string[]} */
export function weekWords(roster) {
  const week = roster?.week;
  if (!week) return [];
  return Object.entries(weekday).map(([key, name]) => {
    const shifts = week[/** @type {keyof Schemas["Week"]} */ (key)] ?? [];
    return `${name} ${shifts.length > 0 ? shiftWords(shifts) : "off"}`;
  });
}

/** Absences and further hours, one by one. @param {Schemas["Roster"] | undefined} roster @param {(day: string) => string} day */
export function dayWords(roster, day) {
  const away = (roster?.absences ?? []).map(
    ({ from, to, hours, reason }) =>
      `${(absenceReason[reason] ?? reason).toLowerCase()} ${day(from)}${to === from ? "" : ` to ${day(to)}`}${hours ? `, ${hours.from} to ${hours.to}` : ""}`,
  );
  const extra = (roster?.extra ?? []).map(
    ({ day: on, intervals }) => `also ${day(on)} ${shiftWords(intervals)}`,
  );
  return [...away, ...extra];
}

/** A roster in a few words. @param {Schemas["Roster"] | undefined} roster @param {(day: string) => string} [day] */
export function rosterWords(roster, day = (text) => text) {
  const week = weekWords(roster).filter((words) => !words.endsWith(" off"));
  return [roster?.week ? week.join("; ") : "the shop's hours", ...dayWords(roster, day)].join("; ");
}

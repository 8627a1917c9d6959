// @ts-check
// The floor in words: where the plan stands, how much later or earlier, how a bar reads aloud.

import { taskKind, word } from "../../lib/words.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @typedef {Schemas["ShopFloor"]} Floor */
/** @typedef {Schemas["FloorBar"]} Bar */

/** @type {Record<string, string>} */
export const progress = { not_started: "not started", in_progress: "under way", finished: "done" };

/** @param {number} n */
const workingDays = (n) => (n === 1 ? "1 working day" : `${n} working days`);

/** A promise's move: 3 → "3 working days later". @param {number | undefined} days */
export function movedWords(days) {
  if (days === undefined) return "no date before";
  if (days === 0) return "as it was";
  return `${workingDays(Math.abs(days))} ${days > 0 ? "later" : "earlier"}`;
}

/** The same as a figure: "+3", "−2", "0". @param {number | undefined} days */
export const movedFigure = (days) =>
  days === undefined ? "–" : days > 0 ? `+${days}` : days < 0 ? `−${-days}` : "0";

/** @param {Floor["run"]} run */
export const making = (run) => run?.state === "waiting" || run?.state === "running";

/**
 * One sentence on where the plan stands; only an owner decides on plans and asks for them.
 * @param {Floor} floor
 * @param {Formats} formats
 * @param {boolean} owner
 */
export function standing({ plan, proposed, current, overtaken, run }, formats, owner) {
  const tried = run && new Intl.NumberFormat(formats.locale);
  if (run && tried && run.state === "running" && run.schedules > 0)
    return `A plan is being made: ${tried.format(run.schedules)} of ${tried.format(run.of_schedules)} orders of work tried.`;
  if (making(run)) return "A plan is asked for; it begins in a moment.";
  if (proposed)
    return `A plan waits for ${owner ? "your" : "the owner's"} decision. ${movedSentence(proposed.jobs)}`;
  if (!plan)
    return "There is no plan yet. It is made by itself once a quote is accepted, and says who is on what and which promises hold.";
  const of = `The plan of ${formats.instant(plan.made_at)}`;
  if (overtaken)
    return `${of} holds, but work that it put before today has not been logged: log it${owner ? ", or plan again to see what that does to the promises" : ""}.`;
  return current
    ? `${of} holds, and nothing that it was made from has changed since.`
    : `${of} holds, but something has changed since${owner ? ": plan again to see what it does to the promises" : ""}.`;
}

/** @param {Schemas["FloorJob"][]} jobs */
export function movedSentence(jobs) {
  const later = jobs.filter((j) => (j.moved_days ?? 0) > 0);
  const earlier = jobs.filter((j) => (j.moved_days ?? 0) < 0);
  const named = (/** @type {Schemas["FloorJob"][]} */ of) =>
    `job${of.length > 1 ? "s" : ""} ${of.map((j) => j.number).join(", ")}`;
  const never = jobs.filter((j) => j.unsure);
  const parts = [];
  if (never.length > 0) parts.push(`no finish for ${named(never)}`);
  if (earlier.length > 0) parts.push(`${named(earlier)} earlier`);
  if (later.length > 0) parts.push(`${named(later)} later`);
  if (parts.length === 0) return "No car finishes on another day.";
  const text = parts.join(", ");
  return `${text[0]?.toUpperCase()}${text.slice(1)}.`;
}

/** "2 working days: painter". @param {Schemas["FloorQueue"]} queue */
export const queueWords = (queue) => `${queue.days}: ${queue.name}`;

/** How a promise stands, as a state with a line of its own. @param {Schemas["FloorJob"]} job @returns {[string, string]} */
export function promiseState(job) {
  if (job.unsure) return ["stop", "no finish"];
  if (job.late_days > 0) return ["stop", "late"];
  if (job.at_risk) return ["watch", "at risk"];
  return job.promise ? ["good", "kept"] : ["", "no promise"];
}

/** @param {Floor} floor @param {Bar} bar */
export const whoWords = (floor, bar) =>
  bar.people.map((id) => floor.people.find((p) => p.id === id)?.name ?? "somebody").join(", ") ||
  (bar.kind === "work" && bar.progress === "finished" ? "see its hours" : "nobody");

/** @param {Floor} floor @param {Bar} bar */
export const whereWords = (floor, bar) =>
  bar.stations.map((key) => floor.stations.find((s) => s.key === key)?.name ?? key).join(", ") ||
  (bar.kind === "sublet" ? "out of the house" : "at no station");

/** All that a bar's lines say, to be read aloud. @param {Floor} floor @param {Bar} bar @param {number} job @param {Formats} formats */
export function barWords(floor, bar, job, formats) {
  const more = [
    word(progress, bar.progress),
    bar.driving ? "drives the finish" : "",
    bar.pinned ? "start decided on" : "",
    bar.kind === "work" ? "" : word(taskKind, bar.kind).toLowerCase(),
  ].filter(Boolean);
  return `Job ${job}, ${bar.code} ${bar.name}, ${formats.instant(bar.start)} to ${formats.instant(bar.finish)}, ${whoWords(floor, bar)}, ${whereWords(floor, bar)}, ${more.join(", ")}`;
}

/** May it be moved? What has begun stays where it is. @param {Bar} bar */
export const movable = (bar) => bar.progress === "not_started" && bar.kind !== "hold";

// @ts-check
// What the schedule picture shows, row by row, and where in time; no drawing here.

import { dayAfter, instantOf, wall } from "../../lib/format.js";

/** @import { JobPage, Schemas, TaskView } from "../../lib/contract.js" */

/** @typedef {{ kind: "phase", id: string, phase: Schemas["PhaseView"], tasks: TaskView[], open: boolean }} PhaseRow */
/** @typedef {{ kind: "task", id: string, task: TaskView, phase: Schemas["PhaseView"] }} TaskRow */
/** @typedef {PhaseRow | TaskRow} Row */

/** @param {JobPage} page @param {Set<string>} openPhases @returns {Row[]} */
export function rowsOf(page, openPhases) {
  /** @type {Row[]} */
  const rows = [];
  for (const phase of [...page.phases].sort((a, b) => a.position - b.position || (a.id < b.id ? -1 : 1))) {
    const tasks = page.tasks.filter((t) => t.phase_id === phase.id).sort(byStart);
    const open = openPhases.has(phase.id);
    rows.push({ kind: "phase", id: phase.id, phase, tasks, open });
    if (open) for (const task of tasks) rows.push({ kind: "task", id: task.id, task, phase });
  }
  return rows;
}

/** @param {TaskView} a @param {TaskView} b */
function byStart(a, b) {
  return (
    a.times.start.localeCompare(b.times.start) ||
    a.times.finish.localeCompare(b.times.finish) ||
    (a.id < b.id ? -1 : 1)
  );
}

/** The phases a reader wants open at first: those in work, else the first that is not done. @param {JobPage} page */
export function phasesInWork(page) {
  const inWork = page.tasks.filter((t) => t.state === "in_work").map((t) => t.phase_id);
  if (inWork.length > 0) return new Set(inWork);
  const next = page.phases.find((p) => p.progress.percent_done < 100);
  return new Set(next ? [next.id] : []);
}

/**
 * The days drawn: whole weeks around everything that has a time.
 * @param {JobPage} page
 * @param {string} zone
 */
export function daysShown(page, zone) {
  const { schedule, tasks } = page;
  const instants = [schedule.start, schedule.finish, schedule.data_date];
  for (const { times } of tasks) {
    instants.push(times.start, times.finish);
    if (times.baseline_start) instants.push(times.baseline_start);
    if (times.baseline_finish) instants.push(times.baseline_finish);
  }
  const days = instants.map((i) => wall(new Date(i), zone).slice(0, 10));
  if (schedule.promise) days.push(schedule.promise);
  days.sort();
  const first = /** @type {string} */ (days[0]);
  const last = /** @type {string} */ (days.at(-1));
  const from = dayAfter(first, -((weekday(first) + 6) % 7));
  return { from, to: dayAfter(last, 14 - ((weekday(last) + 6) % 7)) };
}

/** 0 Sunday to 6 Saturday. @param {string} day */
export const weekday = (day) => new Date(`${day}T12:00:00Z`).getUTCDay();

/**
 * Time to the right: pixels from the first day, true to the hour.
 * @param {{ from: string, to: string }} days
 * @param {string} zone
 * @param {number} dayWidth
 */
export function scale(days, zone, dayWidth) {
  const origin = Date.parse(instantOf(`${days.from}T00:00`, zone));
  const end = Date.parse(instantOf(`${days.to}T00:00`, zone));
  /** @param {string} instant */
  const x = (instant) => Math.round(((Date.parse(instant) - origin) / 86_400_000) * dayWidth * 10) / 10;
  return {
    x,
    /** Where a day begins. @param {string} day */
    day: (day) => x(instantOf(`${day}T00:00`, zone)),
    width: Math.ceil(((end - origin) / 86_400_000) * dayWidth),
    dayWidth,
  };
}

/** @typedef {ReturnType<typeof scale>} Scale */

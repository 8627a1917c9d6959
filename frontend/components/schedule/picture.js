// @ts-check
// The schedule as a working drawing, in SVG. Heavy: on the driving chain. Inked: done. Hatched: cure and
// waiting. Thin tail: slack. Ghost below: what was agreed. Chain lines: today and the promise. A phase is
// a dimension over its tasks. A hold is a gate across the row. Open ends: the work is away, sublet.

import { dayAfter, daysBetween } from "../../lib/format.js";
import { attr, html } from "../../lib/html.js";
import { weekday } from "./rows.js";

/** @import { JobPage, Schemas, TaskView } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { Markup } from "../../lib/html.js" */
/** @import { Row, Scale } from "./rows.js" */

/** Height of the ruler above the rows. */
export const ruler = 64;

/** What the flag and its words take to the left of the promise. */
const flagRoom = 128;

/**
 * @param {{ page: JobPage, rows: Row[], scale: Scale, days: { from: string, to: string }, formats: Formats, rowHeight: number, links: boolean, selected: string }} view
 */
export function picture(view) {
  const { page, rows, scale, rowHeight } = view;
  const height = ruler + rows.length * rowHeight + 8;
  /** @type {Map<string, number>} */
  const middle = new Map(rows.map((row, index) => [row.id, ruler + index * rowHeight + rowHeight / 2]));
  return html`<svg class="schedule-svg" width="${scale.width}" height="${height}" viewBox="0 0 ${scale.width} ${height}" aria-hidden="true" focusable="false">
    ${patterns()}
    ${closedDays(page, scale, height)}
    ${rulerMarks(view, height)}
    ${rows.map((row) => band(row, middle.get(row.id) ?? 0, view))}
    ${rows.map((row) => (row.kind === "phase" ? phaseLine(row.phase, middle.get(row.id) ?? 0, scale) : taskBar(row.task, middle.get(row.id) ?? 0, view)))}
    ${view.links ? linkLines(page, middle, scale) : ""}
    ${todayLine(page, scale, height)}
    ${promiseFlag(view, height)}
  </svg>`;
}

function patterns() {
  return html`<defs>
    <pattern id="hatch-cure" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line class="hatch" x1="0" y1="0" x2="0" y2="6"></line></pattern>
    <pattern id="hatch-closed" width="4" height="4" patternUnits="userSpaceOnUse"><line class="hatch-light" x1="0" y1="0.5" x2="4" y2="0.5"></line></pattern>
    <marker id="link-end" viewBox="0 0 6 6" refX="6" refY="3" markerWidth="6" markerHeight="6" orient="auto" markerUnits="userSpaceOnUse"><path class="link-end" d="M0 0.5L6 3L0 5.5"></path></marker>
  </defs>`;
}

/** @param {JobPage} page @param {Scale} scale @param {number} height */
function closedDays(page, scale, height) {
  return page.schedule.closed.map((span) => {
    const left = scale.x(span.from);
    return html`<rect class="closed" x="${left}" y="${ruler}" width="${Math.max(1, scale.x(span.to) - left)}" height="${height - ruler}" fill="url(#hatch-closed)"></rect>`;
  });
}

/** What the name of a month and its year take. */
const monthRoom = 112;

/** The first of the month after a day. @param {string} day */
const monthAfter = (day) => `${dayAfter(`${day.slice(0, 8)}01`, 31).slice(0, 8)}01`;

/** @param {{ scale: Scale, days: { from: string, to: string }, formats: Formats }} view @param {number} height */
function rulerMarks({ scale, days, formats }, height) {
  const month = new Intl.DateTimeFormat(formats.locale, { timeZone: "UTC", month: "long", year: "numeric" });
  /** @type {Markup[]} */
  const marks = [];
  let labelFrom = Number.NEGATIVE_INFINITY;
  for (let day = days.from; day < days.to; day = dayAfter(day, 1)) {
    const left = scale.day(day);
    const number = Number(day.slice(8));
    if (
      (day === days.from && daysBetween(day, monthAfter(day)) * scale.dayWidth > monthRoom) ||
      number === 1
    ) {
      marks.push(
        html`<line class="mark-month" x1="${left}" x2="${left}" y1="20" y2="${height}"></line><text class="ruler-text" x="${left + 4}" y="33">${month.format(new Date(`${day}T12:00:00Z`))}</text>`,
      );
    }
    const isWeek = weekday(day) === 1;
    if (isWeek || scale.dayWidth >= 18) {
      marks.push(
        html`<line class="${isWeek ? "mark-week" : "mark-day"}" x1="${left}" x2="${left}" y1="${isWeek ? 42 : 54}" y2="${ruler}"></line>`,
      );
    }
    if (isWeek && left - labelFrom >= 24) {
      marks.push(html`<text class="ruler-text second" x="${left + 3}" y="56">${number}</text>`);
      labelFrom = left;
    }
  }
  return html`${marks}<line class="mark-base" x1="0" x2="${scale.width}" y1="${ruler}" y2="${ruler}"></line>`;
}

/** @param {Row} row @param {number} y @param {{ scale: Scale, rowHeight: number, selected: string }} view */
function band(row, y, { scale, rowHeight, selected }) {
  const top = y - rowHeight / 2;
  return html`<rect class="${row.id === selected ? "band selected" : "band"}" data-row="${row.id}" x="0" y="${top}" width="${scale.width}" height="${rowHeight}"></rect><line class="band-rule" x1="0" x2="${scale.width}" y1="${top + rowHeight}" y2="${top + rowHeight}"></line>`;
}

/** A phase as a dimension over its tasks; the inked part is done. @param {Schemas["PhaseView"]} phase @param {number} y @param {Scale} scale */
function phaseLine(phase, y, scale) {
  if (!phase.start || !phase.finish) return "";
  const left = scale.x(phase.start);
  const right = Math.max(left + 2, scale.x(phase.finish));
  const done = left + ((right - left) * phase.progress.percent_done) / 100;
  const ghost =
    phase.baseline_start && phase.baseline_finish
      ? html`<line class="ghost" x1="${scale.x(phase.baseline_start)}" x2="${scale.x(phase.baseline_finish)}" y1="${y + 8}" y2="${y + 8}"></line>`
      : "";
  return html`<g class="phase-line">${ghost}<line class="dimension" x1="${left}" x2="${right}" y1="${y}" y2="${y}"></line>
    ${phase.progress.percent_done > 0 ? html`<line class="dimension-done" x1="${left}" x2="${done}" y1="${y}" y2="${y}"></line>` : ""}
    <line class="stroke-end" x1="${left - 4}" x2="${left + 4}" y1="${y + 4}" y2="${y - 4}"></line><line class="stroke-end" x1="${right - 4}" x2="${right + 4}" y1="${y + 4}" y2="${y - 4}"></line></g>`;
}

/** @param {TaskView} task @param {number} y @param {{ scale: Scale, formats: Formats }} view */
function taskBar(task, y, { scale, formats }) {
  const { times } = task;
  const left = scale.x(times.start);
  const right = Math.max(left + 3, scale.x(times.finish));
  const ghost =
    times.baseline_start && times.baseline_finish
      ? html`<rect class="ghost" x="${scale.x(times.baseline_start)}" y="${y + 8}" width="${Math.max(2, scale.x(times.baseline_finish) - scale.x(times.baseline_start))}" height="4"></rect>`
      : "";
  const tip = `${task.code} ${task.name}: ${formats.instant(times.start)} to ${formats.instant(times.finish)}`;
  return html`<g class="bar-of ${times.driving ? "driving" : ""} ${task.scope === "outside" ? "ranged" : ""}" data-row="${task.id}"><title>${tip}</title>${ghost}${tail(task, y, scale)}${shape(task, left, right, y)}</g>`;
}

/** @param {TaskView} task @param {number} left @param {number} right @param {number} y */
function shape(task, left, right, y) {
  const width = right - left;
  if (task.kind === "hold") {
    const state = task.released || task.state === "finished" ? "gate" : "gate shut";
    return html`<path class="${state}" d="M${left} ${y - 10}V${y + 10}M${left + 4} ${y - 10}V${y + 10}"></path>`;
  }
  if (task.kind === "cure")
    return html`<rect class="bar-box" x="${left}" y="${y - 6}" width="${width}" height="12" fill="url(#hatch-cure)"></rect>`;
  const done = share(task) * width;
  const inked =
    done > 0
      ? html`<rect class="bar-inked" x="${left}" y="${y - 6}" width="${done}" height="12"></rect>`
      : "";
  if (task.kind === "sublet")
    return html`${inked}<path class="bar-away" d="M${left} ${y - 6}H${right}M${left} ${y + 6}H${right}"></path>`;
  return html`<rect class="bar-box" x="${left}" y="${y - 6}" width="${width}" height="12"></rect>${inked}`;
}

/** How much of a task is done, for drawing. @param {TaskView} task */
function share(task) {
  if (task.state === "finished") return 1;
  const worked = Number(task.worked_hours);
  const all = worked + Number(task.to_go_hours);
  return all > 0 ? Math.max(0, Math.min(1, worked / all)) : 0;
}

/** Slack as a thin tail to the latest finish; a task already too late has a red one. @param {TaskView} task @param {number} y @param {Scale} scale */
function tail(task, y, scale) {
  const { times } = task;
  if (task.state === "finished" || times.total_float_minutes === 0) return "";
  const from = scale.x(times.finish);
  const to = Math.min(scale.x(times.late_finish), scale.width - 2);
  if (times.total_float_minutes < 0)
    return html`<path class="tail late" d="M${from} ${y}H${to}M${to} ${y - 4}V${y + 4}"></path>`;
  return to > from + 1
    ? html`<path class="tail" d="M${from} ${y}H${to}M${to} ${y - 4}V${y + 4}"></path>`
    : "";
}

/** @param {JobPage} page @param {Map<string, number>} middle @param {Scale} scale */
function linkLines(page, middle, scale) {
  const tasks = new Map(page.tasks.map((t) => [t.id, t]));
  return page.links.map((link) => {
    const from = tasks.get(link.from_task_id);
    const to = tasks.get(link.to_task_id);
    const y1 = middle.get(link.from_task_id);
    const y2 = middle.get(link.to_task_id);
    if (!from || !to || y1 === undefined || y2 === undefined) return "";
    const leavesEnd = link.type === "FS" || link.type === "FF";
    const meetsStart = link.type === "FS" || link.type === "SS";
    const x1 = scale.x(leavesEnd ? from.times.finish : from.times.start);
    const x2 = scale.x(meetsStart ? to.times.start : to.times.finish);
    const bend = leavesEnd ? Math.max(x1, meetsStart ? x1 : x2) + 5 : Math.min(x1, x2) - 5;
    const gap = y2 > y1 ? y2 - 12 : y2 + 12;
    const path =
      meetsStart && x2 < bend + 4
        ? `M${x1} ${y1}H${bend}V${gap}H${x2 - 6}V${y2}H${x2}`
        : `M${x1} ${y1}H${bend}V${y2}H${x2}`;
    return html`<path class="${link.driving ? "link driving" : "link"}" d="${path}" marker-end="url(#link-end)"></path>`;
  });
}

/** Its word stands left of the line where the promise's flag needs the right. @param {JobPage} page @param {Scale} scale @param {number} height */
function todayLine(page, scale, height) {
  const x = scale.x(page.schedule.data_date);
  const promise = page.schedule.promise ? scale.day(dayAfter(page.schedule.promise, 1)) : 0;
  const left = promise > x && promise - x < flagRoom + 64 && x > 48;
  return html`<line class="chain today" x1="${x}" x2="${x}" y1="2" y2="${height}"></line><text class="ruler-text" x="${left ? Math.min(x - 4, promise - flagRoom) : x + 4}" y="14" ${attr("text-anchor", left && "end")}>today</text>`;
}

/** @param {{ page: JobPage, scale: Scale, formats: Formats }} view @param {number} height */
function promiseFlag({ page, scale, formats }, height) {
  const day = page.schedule.promise;
  if (!day) return "";
  const x = scale.day(dayAfter(day, 1));
  const late = page.schedule.late_days > 0;
  return html`<g class="${late ? "flag late" : "flag"}"><line class="chain" x1="${x}" x2="${x}" y1="2" y2="${height}"></line><path class="flag-cloth" d="M${x} 2h-14l4 5l-4 5h14z"></path><text class="ruler-text" text-anchor="end" x="${x - 18}" y="14">promise ${formats.shortDay(day)}</text></g>`;
}

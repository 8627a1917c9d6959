// @ts-check
// The floor as a drawing, in SVG. Heavy: drives its job's finish. Inked: done; inked at its foot: under way.
// Hatched: cure. Open ends: out of the house. Lightly ruled: closed. Chain lines: today, and each promise
// with its job's number on a flag. A filled triangle: somebody decided on this start. Dashed: only tried.

import { dayAfter } from "../../lib/format.js";
import { attr, html } from "../../lib/html.js";
import { closedSpans } from "./time.js";
import { barWords } from "./words.js";

/** @import { Markup } from "../../lib/html.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { Bar, Plan, Row } from "./rows.js" */
/** @import { TimeScale } from "./time.js" */
/** @import { Floor } from "./words.js" */

/** Height of the ruler above the rows. */
export const ruler = 72;

/**
 * @typedef {object} Drawn
 * @property {Floor} floor
 * @property {Plan} plan
 * @property {Row[]} rows
 * @property {TimeScale} scale
 * @property {Formats} formats
 * @property {number} lane height of one bar's place
 * @property {boolean} byJob
 * @property {{ row: string, task: string }} current where the keyboard is
 * @property {string} picked
 * @property {Map<string, number>} numbers of jobs by id
 */

/** The top of each row. @param {Row[]} rows @param {number} lane @returns {{ tops: number[], height: number }} */
export function topsOf(rows, lane) {
  let at = ruler;
  const tops = rows.map((row) => {
    const top = at;
    at += row.height * lane + 8;
    return top;
  });
  return { tops, height: at };
}

/** @param {Drawn} view */
export function picture(view) {
  const { rows, scale, lane } = view;
  const { tops, height } = topsOf(rows, lane);
  return html`<svg class="floor-svg" width="${scale.width}" height="${height}" viewBox="0 0 ${scale.width} ${height}" role="group" aria-label="Tasks in the weeks shown">
    <defs>
      <pattern id="floor-cure" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line class="hatch" x1="0" y1="0" x2="0" y2="6"></line></pattern>
      <pattern id="floor-closed" width="4" height="4" patternUnits="userSpaceOnUse"><line class="hatch-light" x1="0" y1="0.5" x2="4" y2="0.5"></line></pattern>
    </defs>
    <g aria-hidden="true">${closed(view, height)}${days(view, height)}${tops.map((top) => html`<line class="band-rule" x1="0" x2="${scale.width}" y1="${top}" y2="${top}"></line>`)}${promises(view, tops, height)}${today(view, height)}</g>
    ${rows.map((row, i) => row.bars.map((bar) => oneBar(bar, row, tops[i] ?? 0, view)))}
    <g class="floor-moved" aria-hidden="true" hidden><rect class="floor-moved-box"></rect><text class="ruler-text" y="0"></text></g>
  </svg>`;
}

/** @param {Drawn} view @param {number} height */
function closed({ floor, scale }, height) {
  // Where a day is narrow its nights would only be noise: whole days remain. A noon break never shows.
  const least = (scale.dayWidth < 48 ? 24 : 2) * 3_600_000;
  return closedSpans(floor.opening, scale.start, scale.end, least).map(([from, to]) => {
    const left = scale.x(from);
    return html`<rect x="${left}" y="${ruler}" width="${Math.max(0.5, scale.x(to) - left)}" height="${height - ruler}" fill="url(#floor-closed)"></rect>`;
  });
}

/** @param {Drawn} view @param {number} height */
function days({ scale, formats }, height) {
  const week = new Intl.DateTimeFormat(formats.locale, { timeZone: "UTC", day: "numeric", month: "short" });
  const name = new Intl.DateTimeFormat(formats.locale, { timeZone: "UTC", weekday: "short" });
  /** @type {Markup[]} */
  const marks = [];
  for (let n = 0; n < 7 * scale.weeks; n += 1) {
    const day = dayAfter(scale.first, n);
    const at = new Date(`${day}T12:00:00Z`);
    const x = scale.day(day);
    if (n % 7 === 0)
      marks.push(
        html`<line class="mark-week" x1="${x}" x2="${x}" y1="34" y2="${height}"></line><text class="ruler-text" x="${x + 4}" y="48">${week.format(at)}</text>`,
      );
    else if (scale.dayWidth >= 8)
      marks.push(
        html`<line class="mark-day" x1="${x}" x2="${x}" y1="${ruler - 8}" y2="${scale.dayWidth >= 40 ? height : ruler}"></line>`,
      );
    if (scale.dayWidth >= 40)
      marks.push(html`<text class="ruler-text second" x="${x + 4}" y="66">${name.format(at)}</text>`);
  }
  return html`${marks}<line class="mark-base" x1="0" x2="${scale.width}" y1="${ruler}" y2="${ruler}"></line>`;
}

/** By job each promise stands in its own row; else across all of them, with the job's number on the flag. @param {Drawn} view @param {number[]} tops @param {number} height */
function promises({ plan, rows, scale, byJob, lane }, tops, height) {
  /** @type {Map<number, number>} flags at one place stand below each other */
  const taken = new Map();
  return plan.jobs.map((job) => {
    if (!job.promise) return "";
    const x = scale.day(dayAfter(job.promise, 1));
    if (x < 0 || x > scale.width) return "";
    const index = byJob ? rows.findIndex((r) => r.id === job.job_id) : -1;
    const slot = Math.round(x / 40);
    const level = taken.get(slot) ?? 0;
    taken.set(slot, level + 1);
    const top = byJob ? (tops[index] ?? ruler) : 2 + (level % 2) * 16;
    const end = byJob ? top + (rows[index]?.height ?? 1) * lane + 8 : height;
    const words = byJob
      ? ""
      : html`<text class="ruler-text" text-anchor="end" x="${x - 16}" y="${top + 11}">${job.number}</text>`;
    return html`<g class="${job.late_days > 0 ? "flag late" : "flag"}"><title>Promise of job ${job.number}</title><line class="chain" x1="${x}" x2="${x}" y1="${top}" y2="${end}"></line><path class="flag-cloth" d="M${x} ${top}h-12l3 5l-3 5h12z"></path>${words}</g>`;
  });
}

/** @param {Drawn} view @param {number} height */
function today({ floor, scale }, height) {
  const x = scale.x(floor.now);
  if (x < 0 || x > scale.width) return "";
  return html`<line class="chain today" x1="${x}" x2="${x}" y1="16" y2="${height}"></line><text class="ruler-text" x="${x + 4}" y="30">today</text>`;
}

/** Where a bar lies, within the weeks shown. @param {{ start: string, finish: string }} bar @param {TimeScale} scale */
export function extent(bar, scale) {
  const left = Math.max(-4, scale.x(bar.start));
  return { left, width: Math.max(3, Math.min(scale.width + 4, scale.x(bar.finish)) - left) };
}

/** @param {Bar} bar @param {Row} row @param {number} top @param {Drawn} view */
function oneBar(bar, row, top, view) {
  const { scale, lane, current, picked, numbers, floor, formats } = view;
  const y = top + 4 + (row.lanes.get(bar.task_id) ?? 0) * lane;
  const { left, width } = extent(bar, scale);
  const number = numbers.get(bar.job_id) ?? 0;
  const here = current.row === row.id && current.task === bar.task_id;
  const kind = [bar.driving ? "driving" : "", width < 9 ? "slim" : "", bar.progress, bar.kind].join(" ");
  const reach = Math.max(width, 12);
  return html`<g class="floor-bar ${kind}" id="bar-${row.id}-${bar.task_id}" role="button" tabindex="${here ? 0 : -1}" data-bar="${bar.task_id}" data-in="${row.id}" aria-pressed="${String(bar.task_id === picked)}" aria-label="${barWords(floor, bar, number, formats)}">
    <rect class="floor-reach" x="${left - (reach - width) / 2}" y="${y}" width="${reach}" height="${lane}"></rect>
    ${shape(bar, left, width, y + 4, lane - 8, scale, floor.now)}
    ${label(bar, number, left, width, y + lane / 2 + 4.5)}
  </g>`;
}

/** @param {Bar} bar @param {number} number @param {number} left @param {number} width @param {number} y */
function label(bar, number, left, width, y) {
  const text = String(number);
  const from = Math.max(left, 0) + (bar.pinned ? 12 : 5);
  const room = left + width - from;
  if (room < 7 * text.length + 1) return "";
  return html`<text class="floor-text" x="${from}" y="${y}">${room > 60 ? html`${text}<tspan class="second"> ${bar.code}</tspan>` : text}</text>`;
}

/** @param {Bar} bar @param {number} left @param {number} width @param {number} y @param {number} tall @param {TimeScale} scale @param {string} now */
function shape(bar, left, width, y, tall, scale, now) {
  const pin = bar.pinned ? html`<path class="floor-pin" d="M${left} ${y}h10l-10 10z"></path>` : "";
  if (bar.kind === "sublet")
    return html`<path class="bar-away" d="M${left} ${y}H${left + width}M${left} ${y + tall}H${left + width}"></path>${begun(bar, left, width, y, tall, scale, now)}${pin}`;
  const fill = bar.kind === "cure" ? "url(#floor-cure)" : undefined;
  const pieces = bar.pieces && bar.pieces.length > 1 ? bar.pieces : undefined;
  const boxes = pieces
    ? html`<line class="bar-away" x1="${left}" x2="${left + width}" y1="${y + tall / 2}" y2="${y + tall / 2}"></line>${pieces.map((p) => box(extent({ start: p.from, finish: p.to }, scale), y, tall, fill))}`
    : box({ left, width }, y, tall, fill);
  return html`${boxes}${begun(bar, left, width, y, tall, scale, now)}${pin}`;
}

/** @param {{ left: number, width: number }} at @param {number} y @param {number} tall @param {string | undefined} fill */
const box = ({ left, width }, y, tall, fill) =>
  html`<rect class="bar-box" x="${left}" y="${y}" width="${width}" height="${tall}" ${attr("fill", fill)}></rect>`;

/** What is under way is inked at its foot up to today. @param {Bar} bar @param {number} left @param {number} width @param {number} y @param {number} tall @param {TimeScale} scale @param {string} now */
function begun(bar, left, width, y, tall, scale, now) {
  if (bar.progress !== "in_progress") return "";
  const inked = Math.max(4, Math.min(width, scale.x(now) - left));
  return html`<rect class="floor-begun" x="${left}" y="${y + tall - 5}" width="${inked}" height="5"></rect>`;
}

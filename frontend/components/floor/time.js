// @ts-check
// Time on the floor's picture: which weeks are shown, where an instant lies, when the shop is closed, and
// where a start lands that is moved by a day or an hour. No drawing here.

import { dayAfter, instantOf, wall } from "../../lib/format.js";

/** @typedef {{ from: string, to: string }} Span */

/** How many weeks a picture can show. */
export const weekChoices = [2, 6, 12];

const minute = 60_000;
const hour = 60 * minute;

/** The Monday of the week of a day. @param {string} day */
export function mondayOf(day) {
  const weekday = new Date(`${day}T12:00:00Z`).getUTCDay();
  return dayAfter(day, -((weekday + 6) % 7));
}

/**
 * Pixels from the left edge of the weeks shown, true to the hour; the day of a clock change is longer or shorter.
 * @param {string} first a day
 * @param {number} weeks
 * @param {string} zone
 * @param {number} dayWidth pixels
 */
export function timeScale(first, weeks, zone, dayWidth) {
  const start = Date.parse(instantOf(`${first}T00:00`, zone));
  const end = Date.parse(instantOf(`${dayAfter(first, 7 * weeks)}T00:00`, zone));
  const perMs = (7 * weeks * dayWidth) / (end - start);
  /** @param {string | number} instant */
  const x = (instant) =>
    Math.round(((typeof instant === "number" ? instant : Date.parse(instant)) - start) * perMs * 10) / 10;
  return {
    x,
    /** Where a day begins. @param {string} day */
    day: (day) => x(instantOf(`${day}T00:00`, zone)),
    /** Milliseconds for a distance. @param {number} pixels */
    ms: (pixels) => pixels / perMs,
    /** Whether some of a span is in the weeks shown. @param {{ start: string, finish: string }} bar */
    shows: (bar) => Date.parse(bar.finish) > start && Date.parse(bar.start) < end,
    first,
    weeks,
    width: 7 * weeks * dayWidth,
    dayWidth,
    start,
    end,
  };
}

/** @typedef {ReturnType<typeof timeScale>} TimeScale */

/**
 * When nobody is there, between two instants; gaps shorter than the least are left out.
 * @param {Span[]} opening in order
 * @param {number} start
 * @param {number} end
 * @param {number} least milliseconds
 * @returns {[number, number][]}
 */
export function closedSpans(opening, start, end, least) {
  /** @type {[number, number][]} */
  const out = [];
  // Nothing is known of what lies before the first opening or after the last: it is not drawn as closed.
  let at = Math.max(start, Date.parse(opening[0]?.from ?? "") || end);
  for (const span of opening) {
    const from = Date.parse(span.from);
    const to = Date.parse(span.to);
    if (to <= at) continue;
    if (from >= end) {
      if (end - at >= least && at < end) out.push([at, end]);
      return out;
    }
    if (from > at && from - at >= least) out.push([at, from]);
    at = Math.max(at, to);
  }
  return out;
}

/** @param {Span[]} opening @param {number} at */
const open = (opening, at) => opening.some((span) => Date.parse(span.from) <= at && at < Date.parse(span.to));

/**
 * The next start that is in opening hours: itself, or when the shop opens next.
 * @param {number} at
 * @param {Span[]} opening
 */
export function openFrom(at, opening) {
  if (open(opening, at)) return at;
  const next = opening.find((span) => Date.parse(span.from) >= at);
  return next ? Date.parse(next.from) : at;
}

/**
 * A start a working day later or earlier, at the same time on the wall where the shop is open then.
 * @param {number} at
 * @param {1 | -1} way
 * @param {Span[]} opening
 * @param {string} zone
 */
export function stepDay(at, way, opening, zone) {
  const text = wall(new Date(at), zone);
  const days = new Map(opening.map((span) => [wall(new Date(span.from), zone).slice(0, 10), span]));
  for (let n = 1; n <= 60; n += 1) {
    const day = dayAfter(text.slice(0, 10), n * way);
    const first = opening.find((span) => wall(new Date(span.from), zone).slice(0, 10) === day);
    if (!days.has(day) || !first) continue;
    const same = Date.parse(instantOf(`${day}T${text.slice(11)}`, zone));
    return open(opening, same) ? same : Date.parse(first.from);
  }
  return at;
}

/**
 * A start a working hour later or earlier; closed time is stepped over.
 * @param {number} at
 * @param {1 | -1} way
 * @param {Span[]} opening
 */
export function stepHour(at, way, opening) {
  const to = at + way * hour;
  if (open(opening, to)) return to;
  if (way > 0) return openFrom(to, opening);
  const before = opening.findLast((span) => Date.parse(span.to) <= at || Date.parse(span.from) < at);
  return before ? Math.max(Date.parse(before.from), Math.min(at, Date.parse(before.to)) - hour) : at;
}

/**
 * A moved start, as the shop would say it: on the half hour, never in the past, in opening hours.
 * @param {number} at
 * @param {number} now
 * @param {Span[]} opening
 */
export function settle(at, now, opening) {
  const half = 30 * minute;
  const rounded = Math.round(at / half) * half;
  return openFrom(Math.max(rounded, Math.ceil(now / half) * half), opening);
}

/** RFC 3339 in UTC, whole seconds. @param {number} at */
export const instant = (at) => new Date(at).toISOString().replace(/\.\d{3}Z$/, "Z");

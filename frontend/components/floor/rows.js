// @ts-check
// What stands in which row of the floor's picture: by station, by technician or by job; and how bars that
// overlap in one row share it. No drawing here.

/** @import { Schemas } from "../../lib/contract.js" */

/** @typedef {Schemas["FloorBar"]} Bar */
/** @typedef {Schemas["FloorPlan"]} Plan */
/** @typedef {"station" | "person" | "job"} By */
/** @typedef {{ id: string, name: string, note: string, job?: Schemas["FloorJob"], bars: Bar[], lanes: Map<string, number>, height: number }} Row */

/**
 * The rows, each with the bars that are shown; one bar may stand in several, as that of a task for two people.
 * @param {Pick<Schemas["ShopFloor"], "people" | "stations">} floor
 * @param {Plan} plan
 * @param {By} by
 * @param {(bar: Bar) => boolean} shown
 * @returns {Row[]}
 */
export function rowsBy(floor, plan, by, shown) {
  const bars = plan.bars.filter(shown);
  if (by === "job")
    return plan.jobs.map((job) =>
      row(
        job.job_id,
        `Job ${job.number}`,
        job.car,
        bars.filter((b) => b.job_id === job.job_id),
        job,
      ),
    );
  if (by === "person")
    return [
      ...floor.people.map((p) =>
        row(
          p.id,
          p.name,
          p.skills.join(", "),
          bars.filter((b) => b.people.includes(p.id)),
        ),
      ),
      ...left("nobody", "Nobody on it", "cure, sublet, done", bars, (b) => b.people.length === 0),
    ];
  return [
    ...floor.stations.map((s) =>
      row(
        s.key,
        s.name,
        s.capacity === 1 ? "one place" : `${s.capacity} places`,
        bars.filter((b) => b.stations.includes(s.key)),
      ),
    ),
    ...left("away", "Out of the house", "sublet", bars, (b) => b.kind === "sublet"),
    ...left("anywhere", "At no station", "", bars, (b) => b.kind !== "sublet" && b.stations.length === 0),
  ];
}

/** @param {string} id @param {string} name @param {string} note @param {Bar[]} bars @param {(bar: Bar) => boolean} of */
function left(id, name, note, bars, of) {
  const own = bars.filter(of);
  return own.length > 0 ? [row(id, name, note, own)] : [];
}

/** @param {string} id @param {string} name @param {string} note @param {Bar[]} bars @param {Schemas["FloorJob"]} [job] @returns {Row} */
function row(id, name, note, bars, job) {
  const sorted = [...bars].sort(byStart);
  const { lanes, count } = lanesOf(sorted);
  return { id, name, note, ...(job && { job }), bars: sorted, lanes, height: Math.max(1, count) };
}

/** @param {Bar} a @param {Bar} b */
function byStart(a, b) {
  return a.start < b.start ? -1 : a.start > b.start ? 1 : a.task_id < b.task_id ? -1 : 1;
}

/**
 * Each bar into the first lane that is free when it starts; as few lanes as bars ever overlap.
 * @param {Pick<Bar, "task_id" | "start" | "finish">[]} bars by start
 */
export function lanesOf(bars) {
  /** @type {number[]} when each lane is free again */
  const free = [];
  /** @type {Map<string, number>} */
  const lanes = new Map();
  for (const bar of bars) {
    const start = Date.parse(bar.start);
    const found = free.findIndex((until) => until <= start);
    const lane = found < 0 ? free.length : found;
    free[lane] = Date.parse(bar.finish);
    lanes.set(bar.task_id, lane);
  }
  return { lanes, count: free.length };
}

/** Where the keyboard goes from a bar: within its row, or to the one nearest in time in the row above or below. @param {Row[]} rows @param {{ row: string, task: string }} at @param {string} key @returns {{ row: string, task: string } | undefined} */
export function neighbour(rows, at, key) {
  const index = rows.findIndex((r) => r.id === at.row);
  const here = rows[index];
  if (!here) return undefined;
  const place = here.bars.findIndex((b) => b.task_id === at.task);
  /** @param {Row} in_ @param {Bar | undefined} bar */
  const to = (in_, bar) => (bar ? { row: in_.id, task: bar.task_id } : undefined);
  if (key === "ArrowRight") return to(here, here.bars[place + 1]);
  if (key === "ArrowLeft") return to(here, here.bars[place - 1]);
  if (key === "Home") return to(here, here.bars[0]);
  if (key === "End") return to(here, here.bars.at(-1));
  const way = key === "ArrowDown" ? 1 : -1;
  const from = Date.parse(here.bars[place]?.start ?? "");
  for (let i = index + way; rows[i]; i += way) {
    const next = /** @type {Row} */ (rows[i]);
    const nearest = [...next.bars].sort(
      (a, b) => Math.abs(Date.parse(a.start) - from) - Math.abs(Date.parse(b.start) - from),
    )[0];
    if (nearest) return to(next, nearest);
  }
  return undefined;
}

/**
 * The bar on which the keyboard stands: where it stood, else what is picked, else the first there is.
 * @param {Row[]} rows @param {{ row: string, task: string }} before @param {string} picked
 */
export function placeIn(rows, before, picked) {
  if (rows.some((r) => r.id === before.row && r.lanes.has(before.task))) return before;
  const held = rows.find((r) => r.lanes.has(picked));
  const row = held ?? rows.find((r) => r.bars.length > 0);
  return { row: row?.id ?? "", task: held ? picked : (row?.bars[0]?.task_id ?? "") };
}

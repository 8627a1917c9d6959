// The floor's picture: where a time lies, what stands in which row, and where a moved start lands. Expected values
// are counted off by hand, on the days around 29 March 2026, when the clocks go forward in Vienna
// (Directive 2000/84/EC: last Sunday of March, 01:00 UTC).

import assert from "node:assert/strict";
import { test } from "node:test";
import { sideBySide } from "../components/floor/promises.js";
import { lanesOf, neighbour, rowsBy } from "../components/floor/rows.js";
import {
  closedSpans,
  instant,
  mondayOf,
  openFrom,
  settle,
  stepDay,
  stepHour,
  timeScale,
} from "../components/floor/time.js";
import { movedFigure, movedSentence, movedWords, promiseState, standing } from "../components/floor/words.js";
import { formats } from "../lib/format.js";

const vienna = "Europe/Vienna";
const at = (text) => Date.parse(text);
const bar = (task_id, start, finish, more = {}) => ({
  task_id,
  job_id: "j1",
  code: task_id,
  name: task_id,
  kind: "work",
  start,
  finish,
  people: [],
  stations: [],
  progress: "not_started",
  pinned: false,
  driving: false,
  cause: "link",
  why: "",
  waited_minutes: 0,
  ...more,
});
// 08:00 to 16:00 in Vienna: Thursday and Friday, then Monday and Tuesday, by summer time.
const opening = [
  { from: "2026-03-26T07:00:00Z", to: "2026-03-26T15:00:00Z" },
  { from: "2026-03-27T07:00:00Z", to: "2026-03-27T15:00:00Z" },
  { from: "2026-03-30T06:00:00Z", to: "2026-03-30T14:00:00Z" },
  { from: "2026-03-31T06:00:00Z", to: "2026-03-31T14:00:00Z" },
];

test("time to the right is true to the hour, also over a clock change", () => {
  assert.equal(mondayOf("2026-03-29"), "2026-03-23", "a Sunday belongs to the week before");
  assert.equal(mondayOf("2026-03-23"), "2026-03-23");
  // Two weeks less an hour: 335 hours over 14 days of 24 pixels.
  const scale = timeScale("2026-03-23", 2, vienna, 24);
  assert.equal(scale.width, 336);
  assert.equal(scale.day("2026-03-23"), 0);
  assert.equal(scale.day("2026-04-06"), 336);
  assert.equal(scale.x("2026-03-22T23:00:00Z"), 0, "midnight in Vienna is 23:00 UTC in winter");
  assert.ok(Math.abs(scale.day("2026-03-24") - (24 * 336) / 335) < 0.06, "a day of 24 hours");
  assert.ok(
    Math.abs(scale.day("2026-03-30") - scale.day("2026-03-29") - (23 * 336) / 335) < 0.11,
    "a day of 23",
  );
  assert.ok(Math.abs(scale.ms(336) - 335 * 3_600_000) < 1);
});

test("what only touches the weeks shown is not drawn", () => {
  const { shows } = timeScale("2026-03-23", 2, vienna, 24);
  const rows = [
    ["before", "2026-03-20T08:00:00Z", "2026-03-22T23:00:00Z", false],
    ["into", "2026-03-20T08:00:00Z", "2026-03-22T23:01:00Z", true],
    ["over all", "2026-01-01T08:00:00Z", "2026-12-01T08:00:00Z", true],
    ["after", "2026-04-05T22:00:00Z", "2026-04-07T08:00:00Z", false],
  ];
  for (const [name, start, finish, want] of rows) assert.equal(shows({ start, finish }), want, name);
});

test("closed is what lies between openings, and short gaps are left out", () => {
  const span = [at("2026-03-26T00:00:00Z"), at("2026-04-01T00:00:00Z")];
  const hours = (spans) => spans.map(([from, to]) => (to - from) / 3_600_000);
  // Before the first opening nothing is known. Night of 16 h; a weekend of 9 + 24 + 23 + 7 h; a night of 16 h.
  assert.deepEqual(hours(closedSpans(opening, span[0], span[1], 0)), [16, 63, 16]);
  assert.deepEqual(hours(closedSpans(opening, span[0], span[1], 24 * 3_600_000)), [63]);
  assert.deepEqual(
    hours(closedSpans(opening, at("2026-03-28T00:00:00Z"), at("2026-03-29T00:00:00Z"), 0)),
    [24],
  );
  assert.deepEqual(closedSpans([], span[0], span[1], 0), []);
});

test("a start moves by working days, at the same time on the wall", () => {
  const rows = [
    ["Thursday to Friday", "2026-03-26T09:30:00Z", 1, "2026-03-27T09:30:00Z"],
    ["over the weekend and the clock change", "2026-03-27T09:30:00Z", 1, "2026-03-30T08:30:00Z"],
    ["back again", "2026-03-30T08:30:00Z", -1, "2026-03-27T09:30:00Z"],
    ["out of hours: when the shop opens", "2026-03-26T20:00:00Z", 1, "2026-03-27T07:00:00Z"],
    ["nothing known after: it stays", "2026-03-31T09:00:00Z", 1, "2026-03-31T09:00:00Z"],
  ];
  for (const [name, from, way, want] of rows)
    assert.equal(instant(stepDay(at(from), way, opening, vienna)), want, name);
});

test("a start moves by working hours, and steps over closed time", () => {
  const rows = [
    ["within a day", "2026-03-26T09:30:00Z", 1, "2026-03-26T10:30:00Z"],
    ["over the night", "2026-03-26T14:30:00Z", 1, "2026-03-27T07:00:00Z"],
    ["back over the weekend", "2026-03-30T06:00:00Z", -1, "2026-03-27T14:00:00Z"],
    ["back within a day", "2026-03-27T08:30:00Z", -1, "2026-03-27T07:30:00Z"],
  ];
  for (const [name, from, way, want] of rows)
    assert.equal(instant(stepHour(at(from), way, opening)), want, name);
});

test("a dragged start lands on a half hour of opening time, never in the past", () => {
  const now = at("2026-03-26T09:10:00Z");
  const rows = [
    ["to the half hour", "2026-03-27T09:40:00Z", "2026-03-27T09:30:00Z"],
    ["out of the past", "2026-03-20T09:00:00Z", "2026-03-26T09:30:00Z"],
    ["out of the weekend", "2026-03-28T12:00:00Z", "2026-03-30T06:00:00Z"],
  ];
  for (const [name, to, want] of rows) assert.equal(instant(settle(at(to), now, opening)), want, name);
  assert.equal(
    openFrom(at("2026-05-01T00:00:00Z"), opening),
    at("2026-05-01T00:00:00Z"),
    "after all that is known",
  );
});

const floor = {
  people: [
    { id: "p1", name: "A", skills: ["welder"] },
    { id: "p2", name: "B", skills: [] },
  ],
  stations: [{ key: "booth", name: "Booth", capacity: 1 }],
};
const plan = {
  jobs: [
    { job_id: "j2", number: 2, car: "Two" },
    { job_id: "j1", number: 1, car: "One" },
  ],
  bars: [
    bar("a", "2026-03-26T07:00:00Z", "2026-03-26T09:00:00Z", { people: ["p1", "p2"], stations: ["booth"] }),
    bar("b", "2026-03-26T08:00:00Z", "2026-03-26T10:00:00Z", { people: ["p1"] }),
    bar("c", "2026-03-26T09:00:00Z", "2026-03-26T12:00:00Z", {
      job_id: "j2",
      kind: "cure",
      stations: ["booth"],
    }),
    bar("d", "2026-03-26T09:00:00Z", "2026-03-27T12:00:00Z", { job_id: "j2", kind: "sublet" }),
  ],
};
const held = (rows) => rows.map((r) => `${r.id}: ${r.bars.map((b) => b.task_id).join(" ")}`);

test("every bar stands in a row, whatever the rows are", () => {
  const all = () => true;
  assert.deepEqual(held(rowsBy(floor, plan, "station", all)), ["booth: a c", "away: d", "anywhere: b"]);
  assert.deepEqual(held(rowsBy(floor, plan, "person", all)), ["p1: a b", "p2: a", "nobody: c d"]);
  assert.deepEqual(held(rowsBy(floor, plan, "job", all)), ["j2: c d", "j1: a b"], "in the plan's order");
  assert.deepEqual(held(rowsBy(floor, plan, "person", (b) => b.task_id === "a")), ["p1: a", "p2: a"]);
});

test("bars that overlap share a row in as few lanes as overlap at once", () => {
  const { lanes, count } = lanesOf(plan.bars);
  // a until 9, b from 8: two lanes; c takes a's at 9; d, also at 9, needs a third.
  assert.deepEqual(
    [...lanes],
    [
      ["a", 0],
      ["b", 1],
      ["c", 0],
      ["d", 2],
    ],
  );
  assert.equal(count, 3);
});

test("the keyboard goes along a row and to the nearest in the next", () => {
  const rows = rowsBy(floor, plan, "person", () => true);
  const go = (row, task, key) => neighbour(rows, { row, task }, key)?.task;
  assert.equal(go("p1", "a", "ArrowRight"), "b");
  assert.equal(go("p1", "b", "ArrowRight"), undefined);
  assert.deepEqual(neighbour(rows, { row: "p1", task: "b" }, "ArrowDown"), { row: "p2", task: "a" });
  assert.equal(go("nobody", "d", "Home"), "c");
  assert.equal(go("p1", "a", "ArrowUp"), undefined);
});

test("how much later or earlier, in words and as a figure", () => {
  const rows = [
    [undefined, "no date before", "–"],
    [0, "as it was", "0"],
    [1, "1 working day later", "+1"],
    [-3, "3 working days earlier", "−3"],
  ];
  for (const [days, words, figure] of rows) {
    assert.equal(movedWords(days), words);
    assert.equal(movedFigure(days), figure);
  }
  assert.equal(
    movedSentence([
      { number: 1, moved_days: 2 },
      { number: 2, moved_days: -1 },
      { number: 3, moved_days: 0 },
      { number: 4, moved_days: 1 },
    ]),
    "Job 2 earlier, jobs 1, 4 later.",
  );
  assert.equal(movedSentence([{ number: 1 }]), "No car finishes on another day.");
  assert.deepEqual(promiseState({ late_days: 2, at_risk: true }), ["stop", "late"]);
  assert.deepEqual(promiseState({ late_days: 0, at_risk: true, promise: "2026-01-01" }), [
    "watch",
    "at risk",
  ]);
});

test("one sentence says where the plan stands", () => {
  const f = formats({ locale: "en-GB", time_zone: vienna, currency: "EUR" });
  const made = { made_at: "2026-03-26T07:00:00Z", jobs: [] };
  const run = { state: "running", schedules: 340, of_schedules: 1000 };
  const rows = [
    [{ current: false }, /no plan yet/],
    [{ current: true, plan: made }, /of 26 Mar 2026, 08:00 holds, and nothing/],
    [{ current: false, plan: made }, /something has changed since/],
    [{ current: false, overtaken: true, plan: made }, /put before today has not been logged/],
    [{ current: false, plan: made, run }, /340 of 1,000/],
    [
      { current: false, plan: made, proposed: { jobs: [{ number: 7, moved_days: 1 }] } },
      /waits for your decision. Job 7 later/,
    ],
    [{ current: true, plan: made, run: { ...run, state: "done" } }, /holds/],
  ];
  for (const [given, want] of rows) assert.match(standing(given, f, true), want);
  // A technician can neither agree to a plan nor ask for one.
  for (const [given] of rows) assert.doesNotMatch(standing(given, f, false), /your decision|plan again/);
  assert.match(
    standing({ current: false, plan: made, proposed: { jobs: [] } }, f, false),
    /waits for the owner's decision/,
  );
  assert.match(
    standing({ current: false, overtaken: true, plan: made }, f, false),
    /has not been logged: log it\.$/,
  );
});

test("a proposal stands beside the plan that holds, which may be of another day", () => {
  const job = {
    number: 7,
    car: "1961 Kestmark",
    finish: "2026-03-30T14:00:00Z",
    day: "2026-03-30",
    late_days: 0,
    words: "",
  };
  const table = String(
    sideBySide({
      jobs: [job],
      formats: formats({ locale: "en-GB", time_zone: vienna, currency: "EUR" }),
      column: "Proposed",
      caption: "What moves",
    }),
  );
  assert.match(table, /<th scope="col">Plan that holds<\/th><th scope="col">Proposed<\/th>/);
  assert.doesNotMatch(table, /[Tt]oday/);
});

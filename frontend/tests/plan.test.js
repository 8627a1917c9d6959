// Editing a plan: each step is taken back exactly, and keys stay one's own. Expected values are counted off
// by hand on a plan of three tasks.

import assert from "node:assert/strict";
import { test } from "node:test";
import {
  addTask,
  copyTask,
  follow,
  freeKey,
  keyFor,
  moveTask,
  nextCode,
  placeOf,
  placeTask,
  pruneWhen,
  removeOption,
  removeTask,
  renameTask,
  Steps,
  sampleCar,
} from "../components/shop-plan.js";

const task = (key, phase, more = {}) => ({
  key,
  phase,
  name: key,
  cautions: [],
  when: {},
  option: "",
  ...more,
});
const link = (from, to) => ({ from, to, type: "FS", lag_hours: "0.00", lag_kind: "working" });
const plan = () => ({
  name: "Plan",
  phases: [
    { key: "one", name: "One" },
    { key: "two", name: "Two" },
  ],
  tasks: [
    task("A10", "one", { when: { body: ["open"] } }),
    task("A20", "one", { option: "o1" }),
    task("B10", "two"),
  ],
  links: [link("A10", "A20"), link("A20", "B10")],
  lines: [{ key: "M10", task: "A20", description: "Sheet", when: {}, option: "" }],
  options: [{ key: "o1", name: "Extra", when: {} }],
  vehicle_options: [{ key: "body", name: "Body", choices: [{ key: "open" }, { key: "closed" }] }],
  cautions: [],
});
const order = (p) => p.tasks.map((t) => `${t.phase}:${t.key}`).join(" ");
const pairs = (p) => p.links.map((l) => `${l.from}>${l.to}`).join(" ");

test("steps are taken back and again, exactly", () => {
  const steps = new Steps(plan());
  const before = JSON.stringify(steps.plan);
  assert.equal(
    steps.take("nothing", () => {}),
    false,
  );
  assert.equal(
    steps.take("refused", () => false),
    false,
  );
  assert.ok(steps.take("renames", (p) => renameTask(p, "A20", "A25")));
  assert.ok(steps.take("removes", (p) => removeTask(p, "A25")));
  const after = JSON.stringify(steps.plan);
  assert.ok(steps.changed);
  assert.equal(steps.undo(), "removes");
  assert.equal(steps.undo(), "renames");
  assert.equal(steps.undo(), undefined);
  assert.equal(JSON.stringify(steps.plan), before);
  assert.equal(steps.changed, false);
  steps.redo();
  steps.redo();
  assert.equal(JSON.stringify(steps.plan), after);
  steps.undo();
  steps.take("another way", (p) => {
    p.name = "Other";
  });
  assert.equal(steps.redo(), undefined, "what was undone is gone once another step is taken");
});

test("a copy has keys of its own, with its lines and links", () => {
  const p = plan();
  assert.equal(copyTask(p, "A20").key, "A21");
  assert.equal(order(p), "one:A10 one:A20 one:A21 two:B10");
  assert.equal(pairs(p), "A10>A20 A20>B10 A10>A21 A21>B10");
  assert.deepEqual(
    p.lines.map((l) => [l.key, l.task]),
    [
      ["M10", "A20"],
      ["M11", "A21"],
    ],
  );
  assert.equal(copyTask(p, "A20").key, "A22");
});

test("removing a task bridges its links and takes its lines", () => {
  const p = plan();
  removeTask(p, "A20");
  assert.equal(pairs(p), "A10>B10");
  assert.equal(p.lines.length, 0);
});

test("another code is written wherever the task is named, and none is taken twice", () => {
  const p = plan();
  assert.ok(renameTask(p, "A20", "A15"));
  assert.equal(pairs(p), "A10>A15 A15>B10");
  assert.equal(p.lines[0].task, "A15");
  for (const no of ["A10", "", "a code", "x".repeat(13)]) assert.equal(renameTask(p, "A15", no), false, no);
});

test("rules go with the code of their task, and with the task unless another rule reads them", () => {
  const p = plan();
  const rule = (key, task, reads = "") => ({ key, task, parts: [{ factors: [{ of_rule: reads }] }] });
  p.rules = [rule("a", "A20"), rule("b", "A20"), rule("c", "A10", "b")];
  assert.ok(renameTask(p, "A20", "A15"));
  assert.deepEqual(
    p.rules.map((r) => r.task),
    ["A15", "A15", "A10"],
  );
  removeTask(p, "A15");
  assert.deepEqual(
    p.rules.map((r) => r.key),
    ["b", "c"],
  );
});

test("tasks move within a phase and into the next", () => {
  const p = plan();
  assert.ok(moveTask(p, "A10", 1));
  assert.equal(order(p), "one:A20 one:A10 two:B10");
  assert.ok(moveTask(p, "A10", 1));
  assert.equal(order(p), "one:A20 two:A10 two:B10");
  assert.ok(moveTask(p, "A10", -1));
  assert.equal(order(p), "one:A20 one:A10 two:B10");
  assert.equal(moveTask(p, "A20", -1), false, "the first stays the first");
  assert.equal(moveTask(p, "B10", 1), false, "the last stays the last");
  assert.ok(placeTask(p, "B10", "one", "A20"));
  assert.equal(order(p), "one:B10 one:A20 one:A10");
  assert.ok(placeTask(p, "A20", "two"));
  assert.equal(order(p), "one:B10 one:A10 two:A20");
});

test("keys go on in the pattern of their phase", () => {
  const p = plan();
  assert.equal(nextCode(p, "one"), "A25");
  assert.equal(addTask(p, "two").key, "B15");
  p.phases.push({ key: "three", name: "Three" });
  assert.equal(nextCode(p, "three"), "C10");
  assert.equal(freeKey(["F1"], "F"), "F2");
  assert.equal(keyFor("Air conditioning!", ["body"]), "air_conditioning");
  assert.equal(keyFor("Body", ["body"]), "body_1");
  assert.equal(keyFor("機", []), "choice_1");
});

test("what a task follows is set at once", () => {
  const p = plan();
  follow(p, "B10", [link("A10", ""), link("A20", "")]);
  assert.equal(pairs(p), "A10>A20 A10>B10 A20>B10");
});

test("conditions on what is gone are gone", () => {
  const p = plan();
  p.tasks[1].when = { body: ["open", "closed"] };
  p.vehicle_options[0].choices[0].key = "folding";
  pruneWhen(p);
  assert.deepEqual(
    p.tasks.map((t) => t.when),
    [{}, { body: ["closed"] }, {}],
  );
  removeOption(p, "o1");
  assert.equal(p.tasks[1].option, "");
  assert.deepEqual(sampleCar(p, { body: "closed", wings: "two" }), { body: "closed" });
  assert.deepEqual(sampleCar(p, {}), { body: "folding" });
});

test("a problem's pointer finds its row", () => {
  const p = plan();
  assert.deepEqual(placeOf(p, "/plan/tasks/1/hours/low"), { id: "t1-low", words: "A20 A20" });
  assert.deepEqual(placeOf(p, "/plan/tasks/1/when"), { id: "t1-open", words: "A20 A20" });
  assert.deepEqual(placeOf(p, "/plan/links/1"), { id: "t2-follows", words: "A20 → B10" });
  assert.deepEqual(placeOf(p, "/plan/lines/0/material"), { id: "l0-open", words: "Sheet" });
  assert.equal(placeOf(p, "/vehicle/options/body").id, "sample-body");
  assert.equal(placeOf(p, "/plan/name").id, "open-head");
});

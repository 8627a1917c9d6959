// Change orders beside the one that the story is about, put there through the interface's own doors.

import assert from "node:assert/strict";
import { ask } from "./read.mjs";

/** @import { Story } from "./story.mjs" */
/** @import { Person } from "./people.mjs" */

/**
 * A write from inside the page that has to go well.
 * @param {Person} who @param {string} method @param {string} path @param {unknown} body @param {number} [version]
 */
export async function write(who, method, path, body, version) {
  const { status, answer } = await who.page.evaluate(
    async ([how, to, content, at]) => {
      /** @type {Record<string, string>} */
      const headers = { "Content-Type": "application/json", "Idempotency-Key": `story-${Math.random()}` };
      if (at !== undefined) headers["If-Match"] = `"v${at}"`;
      const response = await fetch(to, { method: how, headers, body: JSON.stringify(content) });
      return { status: response.status, answer: await response.json() };
    },
    /** @type {const} */ ([method, path, body, version]),
  );
  assert.ok(status < 300, `${method} ${path}: ${status} ${JSON.stringify(answer)}`);
  return answer;
}

const option = (/** @type {string} */ key, /** @type {object} */ more) => ({
  key,
  name: key,
  note: "",
  advised: false,
  tasks: [],
  hours_changes: [],
  removes_tasks: [],
  lines: [],
  removes_lines: [],
  points_originality: "0",
  points_condition: "0",
  ...more,
});

/** Work behind what the repairs of the gate come before, so that it moves their dates. @param {any} page @param {string} key @param {string} hours */
function work(page, key, hours) {
  const gate = page.tasks.find((/** @type {any} */ t) => t.strip_gate);
  const next = page.links.find((/** @type {any} */ l) => l.from_task_id === gate.id);
  const after = page.tasks.find((/** @type {any} */ t) => t.id === next.to_task_id);
  const then = page.links
    .filter((/** @type {any} */ l) => l.from_task_id === after.id && l.type === "FS")
    .map((/** @type {any} */ l) => l.to_task_id);
  return {
    key,
    phase_id: after.phase_id,
    name: `Added work ${key}`,
    note: "",
    kind: "work",
    hours: { low: hours, likely: hours, high: hours },
    elapsed_hours: "0",
    lead_days: 0,
    skill: after.skill,
    crew: after.crew,
    station: after.station,
    cautions: [],
    hold_point: "",
    tax_class: after.tax_class,
    after: [after.id],
    before: then,
  };
}

/** @param {any} page @param {string} description @param {string} cost */
const line = (page, description, cost) => ({
  phase_id: page.tasks[0].phase_id,
  task_key: "",
  kind: "material",
  description,
  quantity: "1",
  unit: "set",
  unit_cost: cost,
  markup_percent: "20",
  waste_percent: "0",
  discount_percent: "0",
  tax_class: "part",
});

/** Drafts and sends. @param {Story} story @param {object} draft @returns {Promise<string>} the order */
async function sends({ owner, job }, draft) {
  const { summary, version } = await write(owner, "POST", `/api/jobs/${job}/orders`, { note: "", ...draft });
  await write(owner, "POST", `/api/orders/${summary.id}/send`, { valid_days: 14 }, version);
  return summary.id;
}

/** A change order of a single piece. @param {Story} story @param {string} title @param {string} cost */
export async function sendsSmall(story, title, cost) {
  const page = await ask(story.owner, `/api/jobs/${story.job}`);
  const one = option("o1", { name: title, advised: true, lines: [line(page, title, cost)] });
  const item = { key: "i1", title, why: "", if_not: "It stays as sold.", may_leave: true, finding_ids: [] };
  return sends(story, {
    kind: "client_wish",
    title,
    reason: "You asked for it.",
    items: [{ ...item, options: [one] }],
  });
}

/** An order of so much work that no plan has room for it beside the rest: it moves dates. It is about nothing that was found. @param {Story} story */
export async function sendsBigger(story) {
  const page = await ask(story.owner, `/api/jobs/${story.job}`);
  const straight = option("o1", {
    name: "Straighten it",
    advised: true,
    tasks: [work(page, "straight", "160")],
  });
  const item = { key: "i1", title: "Crossmember", why: "", if_not: "", may_leave: true, finding_ids: [] };
  return sends(story, {
    kind: "correction",
    title: "Crossmember straightened",
    reason: "It was missed in the estimate.",
    items: [{ ...item, options: [straight] }],
  });
}

// What the client's chapter stands on, put there through the interface's own doors: a frame with what was
// seen and found on it, photos, and change orders sent to the client.

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

/** A picture as a camera would send it. @param {Person} who @param {string} job @param {string} ink @returns {Promise<string>} */
async function photo(who, job, ink) {
  const answer = await who.page.evaluate(
    async ([path, colour]) => {
      const canvas = Object.assign(document.createElement("canvas"), { width: 640, height: 480 });
      const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
      pen.fillStyle = "#7a6a58";
      pen.fillRect(0, 0, 640, 480);
      pen.fillStyle = colour;
      pen.fillRect(220, 160, 200, 120);
      const bytes = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.8));
      const headers = {
        "Content-Type": "application/octet-stream",
        "Idempotency-Key": `photo-${Math.random()}`,
      };
      const response = await fetch(path, { method: "POST", headers, body: bytes });
      return { status: response.status, body: await response.json() };
    },
    /** @type {const} */ ([`/api/jobs/${job}/photos`, ink]),
  );
  assert.equal(answer.status, 201, JSON.stringify(answer.body));
  return answer.body.id;
}

/** The frame, seen twice, with two findings on it. @param {Story} story */
export async function found({ owner, job }) {
  const at = `/api/jobs/${job}`;
  let frame = await ask(owner, `${at}/frame`);
  if (frame.zones.length === 0)
    frame = await write(owner, "PUT", `${at}/frame`, { layout: "perimeter-ladder" }, frame.version);
  const zone = (/** @type {string} */ kind) => frame.zones.find((/** @type {any} */ z) => z.kind === kind);
  const [rail, mount] = [zone("rail"), zone("mount")];
  const seen = { zone_id: rail.id, note: "", photo_ids: [] };
  await write(owner, "POST", `${at}/observations`, { ...seen, moment: "arrival", condition: "c" });
  const close = [await photo(owner, job, "#2a1208")];
  await write(owner, "POST", `${at}/observations`, {
    ...seen,
    moment: "stripped",
    condition: "perforated",
    photo_ids: close,
  });
  const rot = await write(owner, "POST", `${at}/findings`, {
    zone_id: rail.id,
    what: "perforation",
    condition: "perforated",
    length_mm: 140,
    width_mm: 60,
    count: 1,
    note: "The pick goes through from below.",
    photo_ids: [await photo(owner, job, "#40200c"), await photo(owner, job, "#1a0f08")],
    repairs: [],
  });
  const nuts = await write(owner, "POST", `${at}/findings`, {
    zone_id: mount.id,
    what: "spun_nut",
    count: 2,
    note: "",
    photo_ids: [await photo(owner, job, "#555048")],
    repairs: [],
  });
  return { rot, nuts, rail };
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

/** Work that comes right after a task that drives the date, so that the date moves. @param {any} page @param {string} key @param {string} hours */
function work(page, key, hours) {
  const open = page.tasks.filter((/** @type {any} */ t) => t.kind === "work" && t.state === "open");
  const after = open.find((/** @type {any} */ t) => t.driving) ?? open[0];
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

/**
 * The order about what was found: one item with two ways, one that may be left; and another that moves dates.
 * @param {Story} story @param {{ rot: any, nuts: any }} what
 */
export async function sendsFound(story, { rot, nuts }) {
  const page = await ask(story.owner, `/api/jobs/${story.job}`);
  const main = await sends(story, {
    kind: "finding",
    title: "What the strip gate showed",
    reason: "The rail is rusted through ahead of the rear wheel, and two captive nuts turn.",
    note: "Ring before you come; the frame stands free.",
    items: [
      {
        key: "rail",
        title: "The rail",
        why: "It carries a body mount.",
        if_not: "The rail stays weak there.",
        may_leave: false,
        finding_ids: [rot.id],
        options: [
          option("cut", {
            name: "Cut out and fabricate",
            advised: true,
            tasks: [work(page, "cut", "24")],
            points_condition: "2",
          }),
          option("patch", {
            name: "Patch",
            tasks: [work(page, "patch", "6")],
            points_originality: "-1.5",
          }),
        ],
      },
      {
        key: "nuts",
        title: "Two captive nuts",
        why: "",
        if_not: "The bolts there cannot be torqued.",
        may_leave: true,
        finding_ids: [nuts.id],
        options: [
          option("new", {
            name: "New captive nuts",
            advised: true,
            lines: [line(page, "Captive nuts", "40.00")],
          }),
        ],
      },
    ],
  });
  const bigger = await sends(story, {
    kind: "correction",
    title: "Crossmember straightened",
    reason: "It was missed in the estimate.",
    items: [
      {
        key: "i1",
        title: "Crossmember",
        why: "",
        if_not: "",
        may_leave: true,
        finding_ids: [],
        options: [
          option("o1", { name: "Straighten it", advised: true, tasks: [work(page, "straight", "40")] }),
        ],
      },
    ],
  });
  return { main, bigger };
}

// @ts-check
// The plan of a template while it is edited: steps that can be taken back, and what one step does to tasks,
// links and lines together. No page in here; every function changes the plan it is given.

/** @import { Schemas } from "../lib/contract.js" */

/** @typedef {Schemas["TemplatePlan"]} Plan */
/** @typedef {Schemas["TemplateTask"]} Task */
/** @typedef {Schemas["TemplateLine"]} Line */
/** @typedef {Schemas["TemplateLink"]} Link */
/** @typedef {Schemas["TemplateWhen"]} When */

const mostSteps = 100;

/** What was done, oldest first, and what was undone. */
export class Steps {
  /** @param {Plan} plan */
  constructor(plan) {
    this.plan = plan;
    /** @type {{ plan: Plan, words: string }[]} */
    this.past = [];
    /** @type {{ plan: Plan, words: string }[]} */
    this.future = [];
    /** As it was saved last. */
    this.saved = JSON.stringify(plan);
  }

  get changed() {
    return JSON.stringify(this.plan) !== this.saved;
  }

  /**
   * One step; false when it changes nothing, or when `act` says that it cannot be.
   * @param {string} words @param {(plan: Plan) => unknown} act
   */
  take(words, act) {
    const next = structuredClone(this.plan);
    if (act(next) === false || JSON.stringify(next) === JSON.stringify(this.plan)) return false;
    this.past.push({ plan: this.plan, words });
    if (this.past.length > mostSteps) this.past.shift();
    this.future = [];
    this.plan = next;
    return true;
  }

  /** Takes the last step back; its words, or undefined. */
  undo() {
    return this.#go(this.past, this.future);
  }

  redo() {
    return this.#go(this.future, this.past);
  }

  /** @param {{ plan: Plan, words: string }[]} from @param {{ plan: Plan, words: string }[]} to */
  #go(from, to) {
    const step = from.pop();
    if (!step) return undefined;
    to.push({ plan: this.plan, words: step.words });
    this.plan = step.plan;
    return step.words;
  }
}

/** A key that is not taken: A10 gives A20 by tens, F gives F1. @param {string[]} taken @param {string} stem @param {number} [step] */
export function freeKey(taken, stem, step = 1) {
  const [, letters = "", digits = ""] = /^(.*?)(\d*)$/.exec(stem) ?? [];
  for (let n = Number(digits || 0) + step; ; n += step) if (!taken.includes(letters + n)) return letters + n;
}

/** The next code in a phase, after the pattern of its last. @param {Plan} plan @param {string} phase */
export function nextCode(plan, phase) {
  const taken = plan.tasks.map((t) => t.key);
  const last = plan.tasks.findLast((t) => t.phase === phase)?.key;
  if (last && /\d$/.test(last)) return freeKey(taken, last, 5);
  const letter = String.fromCharCode(65 + Math.max(0, plan.phases.findIndex((p) => p.key === phase) % 26));
  return freeKey(taken, letter, 10);
}

/** @param {Plan} plan @param {string} phase */
export function addTask(plan, phase) {
  /** @type {Task} */
  const task = {
    key: nextCode(plan, phase),
    phase,
    name: "New task",
    note: "",
    kind: "work",
    hours: { low: "1.00", likely: "2.00", high: "4.00" },
    elapsed_hours: "0.00",
    lead_days: 0,
    skill: plan.tasks.findLast((t) => t.phase === phase && t.skill)?.skill ?? plan.tasks[0]?.skill ?? "",
    crew: 1,
    station: "",
    zone: "",
    cautions: [],
    hold_point: "",
    strip_gate: false,
    tax_class: "repair_labour",
    when: {},
    option: "",
  };
  plan.tasks.push(task);
  return task;
}

/** A task beside itself, with lines and links of its own. @param {Plan} plan @param {string} key */
export function copyTask(plan, key) {
  const at = plan.tasks.findIndex((t) => t.key === key);
  const from = plan.tasks[at];
  if (!from) return undefined;
  const taken = plan.tasks.map((t) => t.key);
  const copy = {
    ...structuredClone(from),
    key: /\d$/.test(key) ? freeKey(taken, key) : freeKey(taken, `${key}-`),
    name: `${from.name}, again`.slice(0, 160),
    strip_gate: false,
  };
  plan.tasks.splice(at + 1, 0, copy);
  for (const link of plan.links.filter((l) => l.from === key || l.to === key))
    plan.links.push({
      ...link,
      from: link.from === key ? copy.key : link.from,
      to: link.to === key ? copy.key : link.to,
    });
  for (const line of plan.lines.filter((l) => l.task === key))
    plan.lines.push({
      ...structuredClone(line),
      key: freeKey(
        plan.lines.map((l) => l.key),
        line.key,
      ),
      task: copy.key,
    });
  return copy;
}

/** Removes a task with its lines and rules; what it followed links to what followed it. @param {Plan} plan @param {string} key */
export function removeTask(plan, key) {
  const into = plan.links.filter((l) => l.to === key);
  const out = plan.links.filter((l) => l.from === key);
  plan.links = plan.links.filter((l) => l.from !== key && l.to !== key);
  for (const a of into)
    for (const b of out)
      if (a.from !== b.to && !plan.links.some((l) => l.from === a.from && l.to === b.to && l.type === "FS"))
        plan.links.push({ from: a.from, to: b.to, type: "FS", lag_hours: "0.00", lag_kind: "working" });
  plan.lines = plan.lines.filter((l) => l.task !== key);
  plan.tasks = plan.tasks.filter((t) => t.key !== key);
  // A rule that another one reads stays, and is named among what is to put right if it must go.
  const read = new Set(plan.rules?.flatMap((r) => r.parts.flatMap((p) => p.factors.map((f) => f.of_rule))));
  if (plan.rules) plan.rules = plan.rules.filter((r) => r.task !== key || read.has(r.key));
}

/** Another code, wherever the task is named; false when it is taken or none. @param {Plan} plan @param {string} from @param {string} to */
export function renameTask(plan, from, to) {
  if (from === to) return true;
  if (!/^[A-Za-z0-9.-]{1,12}$/.test(to) || plan.tasks.some((t) => t.key === to)) return false;
  for (const task of plan.tasks) if (task.key === from) task.key = to;
  for (const link of plan.links) {
    if (link.from === from) link.from = to;
    if (link.to === from) link.to = to;
  }
  for (const line of plan.lines) if (line.task === from) line.task = to;
  for (const rule of plan.rules ?? []) if (rule.task === from) rule.task = to;
  return true;
}

/** What a task follows, all at once. @param {Plan} plan @param {string} key @param {Link[]} links */
export function follow(plan, key, links) {
  const first = plan.links.findIndex((l) => l.to === key);
  const rest = plan.links.filter((l) => l.to !== key);
  rest.splice(first < 0 ? rest.length : first, 0, ...links.map((l) => ({ ...l, to: key })));
  plan.links = rest;
}

/** The tasks of a phase in their order. @param {Plan} plan @param {string} phase */
export const tasksOf = (plan, phase) => plan.tasks.filter((t) => t.phase === phase);

/**
 * Puts a task before another, or last in a phase.
 * @param {Plan} plan @param {string} key @param {string} phase @param {string} [before]
 */
export function placeTask(plan, key, phase, before) {
  const task = plan.tasks.find((t) => t.key === key);
  if (!task || key === before) return false;
  plan.tasks.splice(plan.tasks.indexOf(task), 1);
  task.phase = phase;
  const at = before
    ? plan.tasks.findIndex((t) => t.key === before)
    : plan.tasks.findLastIndex((t) => t.phase === phase) + 1;
  plan.tasks.splice(at < 1 && !before ? plan.tasks.length : at, 0, task);
  return true;
}

/** One place up or down; from the edge of a phase into the next one. @param {Plan} plan @param {string} key @param {-1 | 1} way */
export function moveTask(plan, key, way) {
  const task = plan.tasks.find((t) => t.key === key);
  if (!task) return false;
  const own = tasksOf(plan, task.phase);
  const at = own.indexOf(task);
  const phase = plan.phases[plan.phases.findIndex((p) => p.key === task.phase) + way]?.key;
  const next = own[at + way];
  if (next)
    return way < 0
      ? placeTask(plan, key, task.phase, next.key)
      : placeTask(plan, key, task.phase, own[at + 2]?.key);
  if (phase === undefined) return false;
  return placeTask(plan, key, phase, way < 0 ? undefined : tasksOf(plan, phase)[0]?.key);
}

/** @template T @param {T[]} list @param {number} at @param {-1 | 1} way */
export function moveIn(list, at, way) {
  const to = at + way;
  if (to < 0 || to >= list.length) return false;
  list.splice(to, 0, ...list.splice(at, 1));
  return true;
}

/** @param {Plan} plan @param {string} [name] */
export function addPhase(plan, name = "New phase") {
  const names = plan.phases.map((p) => p.name);
  const key = freeKey(
    plan.phases.map((p) => p.key),
    "phase",
  );
  plan.phases.push({ key, name: names.includes(name) ? `${name} ${plan.phases.length + 1}` : name });
}

/** @param {Plan} plan @param {string} [task] @param {string} [phase] @returns {Line} */
export function blankLine(plan, task = "", phase = "") {
  return {
    key: freeKey(
      plan.lines.map((l) => l.key),
      "M",
      10,
    ),
    task,
    phase: task ? "" : phase,
    kind: "material",
    description: "",
    quantity: "1",
    unit: "",
    material: "",
    unit_cost: "0.00",
    markup_percent: "0",
    waste_percent: "0",
    discount_percent: "0",
    tax_class: "material",
    when: {},
    option: "",
  };
}

/** Everything that is there only for some vehicles or in some option. @param {Plan} plan */
const conditional = (plan) => [...plan.tasks, ...plan.lines, ...plan.options];

/** How many tasks, lines and options depend on a vehicle option. @param {Plan} plan @param {string} key */
export const dependents = (plan, key) => conditional(plan).filter((each) => key in each.when).length;

/** Drops conditions on vehicle options and choices that are gone. @param {Plan} plan */
export function pruneWhen(plan) {
  for (const each of conditional(plan))
    for (const [key, values] of Object.entries(each.when)) {
      const option = plan.vehicle_options.find((o) => o.key === key);
      const left = values.filter((value) => option?.choices.some((c) => c.key === value));
      // A condition on every choice is none.
      if (left.length === 0 || left.length === option?.choices.length) delete each.when[key];
      else each.when[key] = left;
    }
}

/** Removes an option; what belonged to it is always done. @param {Plan} plan @param {string} key */
export function removeOption(plan, key) {
  plan.options = plan.options.filter((o) => o.key !== key);
  for (const each of [...plan.tasks, ...plan.lines]) if (each.option === key) each.option = "";
}

/** A name as a key that is free. @param {string} name @param {string[]} taken */
export function keyFor(name, taken) {
  const plain = name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "_")
    .replace(/^_+|_+$/g, "")
    .slice(0, 36);
  if (plain && !taken.includes(plain)) return plain;
  return freeKey(taken, plain ? `${plain}_` : "choice_");
}

/** For each vehicle option the choice that is set, or its first. @param {Plan} plan @param {Record<string, string>} set */
export function sampleCar(plan, set) {
  return Object.fromEntries(
    plan.vehicle_options.map((o) => [
      o.key,
      o.choices.some((c) => c.key === set[o.key]) ? (set[o.key] ?? "") : (o.choices[0]?.key ?? ""),
    ]),
  );
}

/**
 * What a problem's pointer points at: the id of the element on the page, and the row in words.
 * @param {Plan} plan @param {string} pointer
 * @returns {{ id: string, words: string }}
 */
export function placeOf(plan, pointer) {
  const [root, list = "", at = "", ...rest] = pointer.split("/").slice(1);
  if (root === "vehicle" || root === "options")
    return { id: `sample-${at || list}`, words: "Sample vehicle" };
  const n = Number(at);
  if (list === "tasks" && plan.tasks[n]) {
    const cell = { key: "key", name: "name", crew: "crew", skill: "skill", station: "station" }[
      rest[0] ?? ""
    ];
    const id = rest[0] === "hours" ? (rest[1] ?? "low") : (cell ?? "open");
    return { id: `t${n}-${id}`, words: `${plan.tasks[n].key} ${plan.tasks[n].name}` };
  }
  if (list === "links" && plan.links[n]) {
    const to = plan.tasks.findIndex((t) => t.key === plan.links[n]?.to);
    return { id: `t${to}-follows`, words: `${plan.links[n].from} → ${plan.links[n].to}` };
  }
  if (list === "lines" && plan.lines[n])
    return { id: `l${n}-open`, words: plan.lines[n].description || plan.lines[n].key };
  if (list === "phases" && plan.phases[n])
    return { id: `p${n}-name`, words: plan.phases[n].name || "A phase" };
  if (list === "vehicle_options" && plan.vehicle_options[n])
    return { id: `v${n}`, words: plan.vehicle_options[n].name };
  if (list === "options" && plan.options[n]) return { id: `o${n}`, words: plan.options[n].name };
  if (list === "rules" && plan.rules?.[n])
    return { id: `r${n}-open`, words: `${plan.rules[n].task} ${plan.rules[n].name || "A rule"}` };
  if (list === "cautions") return { id: "add-caution", words: "Cautions" };
  return { id: "open-head", words: "Name and frame" };
}

/** A plan in words, a row for each thing, for comparing two. @param {Plan} plan @returns {[string, string][]} */
export function planRows(plan) {
  const text = (/** @type {unknown} */ value) =>
    JSON.stringify(value)
      .replace(/[{}"[\]]/g, "")
      .replaceAll(",", ", ");
  return [
    ["Name", plan.name],
    ["Description", plan.description],
    ["Frame", plan.frame],
    ["Vehicle", text(plan.vehicle_options)],
    ["Phases", plan.phases.map((p) => p.name).join(", ")],
    ["Order of tasks", plan.tasks.map((t) => t.key).join(" ")],
    ...plan.tasks.map(
      (t) => /** @type {[string, string]} */ ([`Task ${t.key}`, text({ ...t, key: undefined })]),
    ),
    ...plan.tasks.map(
      (t) =>
        /** @type {[string, string]} */ ([
          `${t.key} follows`,
          plan.links
            .filter((l) => l.to === t.key)
            .map((l) => `${l.from} ${l.type} ${l.lag_hours} ${l.lag_kind} ${l.max_lag_hours ?? ""}`)
            .join("; "),
        ]),
    ),
    ...plan.lines.map(
      (l) => /** @type {[string, string]} */ ([`Line ${l.key}`, text({ ...l, key: undefined })]),
    ),
    ...(plan.rules ?? []).map(
      (r) => /** @type {[string, string]} */ ([`Rule ${r.key}`, text({ ...r, key: undefined })]),
    ),
    ["Options", text(plan.options)],
    ["Cautions", text(plan.cautions)],
  ];
}

// @ts-check
// The pieces of an option of a drafted change order: tasks and lines it adds, sold work whose hours it
// changes, and what it takes out.

import { boxes, choices, readForm, span } from "../../components/shop-form.js";
import { blankLine, followBook, lineFields } from "../../components/shop-line-form.js";
import { blankTask, followKind, readTask, taskFields } from "../../components/shop-task-form.js";
import { field } from "../../lib/form.js";
import { html } from "../../lib/html.js";
import { offers } from "./job-estimate.js";
import { freeKey, optionIn, sheet } from "./order-sheets.js";

/** @import { JobPage, Schemas } from "../../lib/contract.js" */
/** @import { Draft, Editing, Which } from "./order-sheets.js" */

/** Puts a piece into its list: over the one at its place, or at the end. @template T @param {T[]} list @param {number | undefined} index @param {T} piece */
function put(list, index, piece) {
  if (index === undefined) list.push(piece);
  else list[index] = piece;
}

/** @param {Editing} editing @param {Which} which */
export function taskSheet(editing, which) {
  const { desk, page, zones, order } = editing;
  const option = optionIn(order.draft, which);
  const task = which.index === undefined ? undefined : option.tasks[which.index];
  const phase = option.tasks[0]?.phase_id ?? page.phases[0]?.id ?? "";
  const names = Object.fromEntries(zones.map((zone) => [zone.id, zone.name]));
  const others = [
    ...option.tasks
      .filter((each) => each !== task)
      .map((each) => /** @type {[string, string]} */ ([each.key, `In this option: ${each.name}`])),
    ...page.tasks.map((each) => /** @type {[string, string]} */ ([each.id, `${each.code} ${each.name}`])),
  ];
  const own = html`${span(4, field({ form: "task", name: "zone_id", label: "Zone", type: "select", value: task?.zone_id ?? "", options: choices(names, "no zone") }))}
    ${/** @type {const} */ (["after", "before"]).map((name) => html`<details class="long" data-span="6"><summary>${name === "after" ? "Follows" : "Comes before"}: ${task?.[name].length ?? 0}</summary>${boxes({ name, label: name === "after" ? "Begins after" : "Is done before", choices: others, chosen: task?.[name] ?? [] })}</details>`)}`;
  const { code: _, zone: __, strip_gate: ___, ...blank } = blankTask(phase);
  const full = { ...blankTask(phase), ...task };
  return sheet(
    editing,
    task ? "Added task" : "Add a task",
    taskFields(full, page, offers(desk), own),
    (draft, form) => {
      const { strip_gate: ____, allowance_line_id: _____, ...read } = readTask(form, ["zone_id"]);
      const { tasks } = optionIn(draft, which);
      put(
        tasks,
        which.index,
        /** @type {Schemas["OrderTask"]} */ ({
          ...blank,
          after: [],
          before: [],
          ...read,
          key: task?.key ?? freeKey("t", tasks),
        }),
      );
    },
    {
      ready: (form) => followKind(form, editing.signal),
      ...(task && {
        remove: (/** @type {Draft} */ draft) => {
          const here = optionIn(draft, which);
          here.tasks = here.tasks.filter(({ key }) => key !== task.key);
          for (const each of here.tasks)
            for (const name of /** @type {const} */ (["after", "before"]))
              each[name] = each[name].filter((key) => key !== task.key);
          if (here.links) here.links = here.links.filter((l) => l.from !== task.key && l.to !== task.key);
          for (const line of here.lines) if (line.task_key === task.key) line.task_key = "";
        },
      }),
    },
  );
}

/** @param {Editing} editing @param {Which} which */
export function lineSheet(editing, which) {
  const { page, book, order, signal } = editing;
  const option = optionIn(order.draft, which);
  const line = which.index === undefined ? undefined : option.lines[which.index];
  const phase = option.tasks[0]?.phase_id ?? page.phases[0]?.id ?? "";
  const own = {
    name: "task_key",
    value: line?.task_key ?? "",
    tasks: option.tasks.map((each) => /** @type {[string, string]} */ ([each.key, each.name])),
  };
  return sheet(
    editing,
    line ? "Added line" : "Add a line",
    lineFields(line ?? blankLine(phase, book.units[0] ?? "pc"), page, book, own),
    (draft, form) =>
      put(optionIn(draft, which).lines, which.index, /** @type {Schemas["OrderLine"]} */ (readForm(form))),
    {
      ready: (form) => followBook(form, book, signal),
      ...(line && {
        remove: (/** @type {Draft} */ draft) => void optionIn(draft, which).lines.splice(which.index ?? 0, 1),
      }),
    },
  );
}

/** Tasks that were sold and are not finished. @param {JobPage} page */
const sold = ({ tasks }) => tasks.filter((task) => task.scope === "authorised" && task.state !== "finished");

/** @param {Editing} editing @param {Which} which */
export function hoursSheet(editing, which) {
  const { page, order } = editing;
  const change =
    which.index === undefined ? undefined : optionIn(order.draft, which).hours_changes[which.index];
  const tasks = sold(page).filter((task) => task.kind === "work");
  const first = tasks.find((task) => task.id === change?.task_id) ?? tasks[0];
  const hours = change?.hours ?? first?.hours ?? { low: "1", likely: "2", high: "4" };
  const f = { form: "hours", inputmode: "decimal", required: true };
  const names = Object.fromEntries(
    tasks.map((each) => [
      each.id,
      `${each.code} ${each.name}, ${each.hours.low}, ${each.hours.likely}, ${each.hours.high} h`,
    ]),
  );
  return sheet(
    editing,
    "New hours of sold work",
    html`${field({ form: "hours", name: "task_id", label: "Task and what was sold", type: "select", value: first?.id ?? "", options: choices(names) })}
    <div class="shop-form">${/** @type {const} */ (["low", "likely", "high"]).map((name) => span(4, field({ ...f, name: `hours/${name}`, label: `Hours, ${name}`, value: hours[name] })))}</div>
    <p class="hint">The client pays or gets back the difference between the means.</p>`,
    (draft, form) =>
      put(
        optionIn(draft, which).hours_changes,
        which.index,
        /** @type {Schemas["HoursChange"]} */ (readForm(form)),
      ),
    change
      ? { remove: (draft) => void optionIn(draft, which).hours_changes.splice(which.index ?? 0, 1) }
      : {},
  );
}

/** @param {Editing} editing @param {Which} which */
export function fallsSheet(editing, which) {
  const { page, order } = editing;
  const option = optionIn(order.draft, which);
  return sheet(
    editing,
    "Take out sold work",
    html`<p>What is ticked is done no longer if the client takes this option, and is credited at what it was sold for.</p>
    <div class="long">${boxes({ name: "removes_tasks", label: "Tasks", choices: sold(page).map((each) => [each.id, `${each.code} ${each.name}`]), chosen: option.removes_tasks })}
    ${boxes({ name: "removes_lines", label: "Lines", choices: page.lines.map((each) => [each.id, each.description]), chosen: option.removes_lines })}</div>`,
    (draft, form) => {
      Object.assign(optionIn(draft, which), {
        removes_tasks: [],
        removes_lines: [],
        .../** @type {object} */ (readForm(form)),
      });
    },
  );
}

// @ts-check
// The sheets of the template editor: everything about a task with what it follows, a line, a vehicle option,
// an option, a caution, and the template itself. Each changes the plan in one step that can be taken back.

import { dialog } from "../../components/bf-dialog.js";
import {
  boxes,
  choices,
  decimalText,
  otherwise,
  readForm,
  span,
  wordsOf,
} from "../../components/shop-form.js";
import { optionFields, optionLabel, readOption } from "../../components/shop-option-form.js";
import {
  blankLine,
  dependents,
  follow,
  freeKey,
  keyFor,
  pruneWhen,
  removeOption,
  removeTask,
  renameTask,
} from "../../components/shop-plan.js";
import { editableRows, numberRows, rowNumber } from "../../components/shop-rows.js";
import { followKind, readTask, taskFields } from "../../components/shop-task-form.js";
import { counted } from "../../components/shop-words.js";
import { ApiProblem } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { html } from "../../lib/html.js";
import { lineKind, linkType, taxClass } from "../../lib/words.js";

/** @import { JobPage } from "../../lib/contract.js" */
/** @import { Markup } from "../../lib/html.js" */
/** @import { Offers } from "../../components/shop-plan-rows.js" */
/** @import { Line, Link, Plan, Task, When } from "../../components/shop-plan.js" */

/**
 * What the sheets need of the editor.
 * @typedef {{ plan: Plan, offers: Offers, currency: string, signal: AbortSignal, take: (words: string, act: (plan: Plan) => unknown) => boolean, copy: (key: string) => void }} Desk
 */

/** The ways a sheet may end beside its own button. @param {[string, string, boolean?][]} ways id, words, grave */
const otherWays = (ways) =>
  html`<p class="shop-actions">${ways.map(([id, words, grave]) => html`<button type="button" id="sheet-${id}" class="${grave ? "grave" : ""}">${words}</button>`)}</p>`;

/**
 * A sheet with one button and other ways to end; answers the way, or undefined when it was left.
 * @param {Desk} desk
 * @param {{ title: string, body: Markup, action: string, ways?: [string, string, boolean?][], ready?: (form: HTMLFormElement) => void, submit: (form: HTMLFormElement, way: string) => void }} sheet
 */
async function ask({ signal }, { title, body, action, ways = [], ready, submit }) {
  let way = "save";
  const done = await dialog({
    title,
    body: html`${body}${ways.length > 0 ? otherWays(ways) : ""}`,
    action,
    signal,
    ready: (form) => {
      for (const [id] of ways)
        otherwise(form, `#sheet-${id}`, () => {
          way = id;
        });
      ready?.(form);
    },
    submit: async (_, form) => submit(form, way),
  });
  return done ? way : undefined;
}

/** For which vehicles, and in which option. @param {Plan} plan @param {{ when: When, option: string }} row */
function conditions(plan, row) {
  return html`${whenBoxes(plan, row.when)}
    ${plan.options.length > 0 ? field({ form: "plan", name: "option", label: "Belongs to the option", type: "select", value: row.option, options: [["", "none: always done"], ...plan.options.map((o) => /** @type {[string, string]} */ ([o.key, optionLabel(o)]))] }) : ""}`;
}

/** @param {Plan} plan @param {When} when */
function whenBoxes(plan, when) {
  return plan.vehicle_options.map((option) =>
    boxes({
      name: `when/${option.key}`,
      label: `Only where ${option.name.toLowerCase()} is (none marked: for every vehicle)`,
      choices: option.choices.map(({ key, name }) => [key, name]),
      chosen: when[option.key] ?? [],
    }),
  );
}

/** Without the conditions on which nothing is marked. @param {When | undefined} when @returns {When} */
const marked = (when = {}) =>
  Object.fromEntries(Object.entries(when).filter(([, values]) => values.length > 0));

/** @param {Plan} plan @param {string} self @param {Link} link */
function linkRow(plan, self, link) {
  const f = { form: `k${rowNumber()}`, hideLabel: true };
  const tasks = plan.tasks.filter((t) => t.key !== self);
  const known = Object.fromEntries(tasks.map((t) => [t.key, `${t.key} ${t.name}`]));
  return html`<div class="shop-form" data-row-of="links">
    ${span(4, field({ ...f, name: "links/0/from", label: "Follows the task", type: "select", value: link.from, options: choices(known, undefined, link.from) }))}
    ${span(2, field({ ...f, name: "links/0/type", label: "How", type: "select", value: link.type, options: choices(linkType) }))}
    ${span(2, field({ ...f, name: "links/0/lag_hours", label: "Not earlier than, hours after", value: link.lag_hours, inputmode: "decimal", required: true }))}
    ${span(2, field({ ...f, name: "links/0/max_lag_hours", label: "Not later than, hours after", value: link.max_lag_hours ?? "", inputmode: "decimal", hint: "Empty: no limit." }))}
    ${span(
      2,
      html`<span class="plan-what">${field({
        ...f,
        name: "links/0/lag_kind",
        label: "Counted in",
        type: "select",
        value: link.lag_kind,
        options: [
          ["working", "working hours"],
          ["elapsed", "elapsed hours"],
        ],
      })}<button type="button" data-remove-row aria-label="No longer follow this">×</button></span>`,
    )}</div>`;
}

/** @param {Desk} desk @param {number} at @param {boolean} [follows] begin at what it follows */
export async function openTask(desk, at, follows) {
  const { plan, offers } = desk;
  const task = plan.tasks[at];
  if (!task) return;
  const { key } = task;
  const f = { form: "task" };
  // The fields of a job's task read a job page: what of it they look at, a plan has.
  const page = /** @type {JobPage} */ (
    /** @type {unknown} */ ({
      phases: plan.phases.map(({ key: id, name }) => ({ id, name })),
      lines: [],
      options: [],
      cautions: plan.cautions,
    })
  );
  const zones = [...new Set(plan.tasks.map((t) => t.zone))].filter(Boolean).sort();
  const own = html`${span(2, field({ ...f, name: "code", label: "Code", value: key, required: true, maxlength: 12, pattern: "[A-Za-z0-9.\\-]+" }))}
    ${span(4, html`${field({ ...f, name: "zone", label: "Zone", value: task.zone, maxlength: 160 })}`)}
    ${zones.length > 0 ? html`<datalist id="plan-zones">${zones.map((z) => html`<option value="${z}"></option>`)}</datalist>` : ""}
    <div data-for="hold">${field({ ...f, name: "strip_gate", label: "This is the strip gate: the firm price ends here, what is found is decided here", type: "checkbox", value: task.strip_gate })}</div>`;
  const way = await ask(desk, {
    title: `${key} ${task.name}`,
    action: "Change the task",
    ways: [
      ["line", "Add a line to it"],
      ["copy", "Copy it"],
      ["remove", "Remove the task", true],
    ],
    body: html`${taskFields({ ...task, phase_id: task.phase, code: key }, page, offers, own)}
      ${conditions(plan, task)}
      <fieldset id="plan-follows"><legend>Follows</legend><div data-rows="links">${plan.links.filter((l) => l.to === key).map((l) => linkRow(plan, key, l))}</div>
      <p class="shop-actions"><button type="button" data-add-row="links">Follow another task</button></p></fieldset>`,
    ready: (form) => {
      followKind(form, desk.signal);
      form.querySelector('[name="zone"]')?.setAttribute("list", "plan-zones");
      const last = plan.tasks[at - 1]?.key ?? plan.tasks.find((t) => t.key !== key)?.key ?? "";
      const blank = /** @type {Link} */ ({
        from: last,
        to: key,
        type: "FS",
        lag_hours: "0.00",
        lag_kind: "working",
      });
      editableRows(form, { links: () => linkRow(plan, key, blank) }, desk.signal);
      if (follows)
        /** @type {HTMLElement | null} */ (form.querySelector("#plan-follows :is(select, button)"))?.focus();
    },
    submit: (form, asked) => {
      if (asked === "remove") return;
      numberRows(form);
      const read = /** @type {any} */ (readTask(form));
      const { code, phase_id, links = [], when, ...rest } = read;
      for (const link of links) if (link.max_lag_hours === "") delete link.max_lag_hours;
      if (code !== key && plan.tasks.some((t) => t.key === code))
        throw new ApiProblem({
          type: "about:blank",
          title: "Taken",
          status: 422,
          detail: "Every code stands once.",
          errors: [{ pointer: "/code", detail: `${code} is already the code of another task.` }],
        });
      desk.take(`changing ${key}`, (p) => {
        const mine = /** @type {Task} */ (p.tasks[at]);
        const held = task.kind === "hold" &&
          read.kind === "hold" && { hours: task.hours, crew: task.crew, skill: task.skill };
        delete mine.floor;
        Object.assign(mine, rest, held, {
          phase: phase_id,
          when: marked(when),
          option: rest.option ?? mine.option,
        });
        follow(p, key, links);
        return renameTask(p, key, code);
      });
    },
  });
  if (way === "remove") desk.take(`removing ${key}`, (p) => removeTask(p, key));
  const now = desk.plan.tasks[at]?.key ?? key;
  if (way === "copy") desk.copy(now);
  if (way === "line") await openLine(desk, -1, now);
}

/** A line; at -1 a new one. @param {Desk} desk @param {number} at @param {string} [task] @param {string} [phase] */
export async function openLine(desk, at, task = "", phase = "") {
  const { plan, offers, currency } = desk;
  const line = plan.lines[at] ?? blankLine(plan, task, phase);
  const f = { form: "line" };
  const materials = Object.fromEntries(offers.book.materials.map((m) => [m.key, m.name]));
  const kinds = Object.fromEntries(Object.entries(lineKind).filter(([key]) => key !== "labour"));
  const units = Object.fromEntries(offers.book.units.map((unit) => [unit, unit]));
  const tasks = plan.tasks.map((t) => /** @type {[string, string]} */ ([`t:${t.key}`, `${t.key} ${t.name}`]));
  const phases = plan.phases.map(
    (p) => /** @type {[string, string]} */ ([`p:${p.key}`, `${p.name}, no task in particular`]),
  );
  const priced = html`<div class="shop-form" id="own-price">
    ${span(3, field({ ...f, name: "unit", label: "Unit", type: "select", value: line.unit, options: choices(units, undefined, line.unit) }))}
    ${span(3, field({ ...f, name: "unit_cost", label: `Cost per unit, ${currency}`, value: line.unit_cost, inputmode: "decimal", required: true }))}
    ${span(3, field({ ...f, name: "waste_percent", label: "Waste, %", value: line.waste_percent, inputmode: "decimal", required: true }))}
    ${span(3, field({ ...f, name: "markup_percent", label: "Markup, %", value: line.markup_percent, inputmode: "decimal", required: true }))}
    ${span(4, field({ ...f, name: "tax_class", label: "Tax class", type: "select", value: line.tax_class, options: choices(taxClass) }))}</div>`;
  const way = await ask(desk, {
    title: at < 0 ? "Add a line" : line.description || materials[line.material] || line.key,
    action: at < 0 ? "Add the line" : "Change the line",
    ways: at < 0 ? [] : [["remove", "Remove the line", true]],
    body: html`<div class="shop-form">
      ${span(6, field({ ...f, name: "material", label: "Material of the price book", type: "select", value: line.material, options: choices(materials, "none: priced here", line.material), hint: "A job takes unit, cost, markup and waste from the price book on the day it is made." }))}
      ${span(6, field({ ...f, name: "kind", label: "Kind", type: "select", value: line.kind, options: choices(kinds) }))}
      ${field({ ...f, name: "description", label: "Description", value: line.description, maxlength: 160, hint: "Empty: the material's own name." })}
      ${span(4, field({ ...f, name: "quantity", label: "Quantity", value: line.quantity, inputmode: "decimal", required: true }))}
      ${span(4, field({ ...f, name: "discount_percent", label: "Discount, %", value: line.discount_percent, inputmode: "decimal", required: true }))}
      ${span(8, field({ ...f, name: "of", label: "For", type: "select", value: line.task ? `t:${line.task}` : `p:${line.phase}`, options: [...tasks, ...phases] }))}</div>
      ${priced}${conditions(plan, line)}`,
    ready: (form) => {
      const chooser = /** @type {HTMLSelectElement} */ (form.querySelector('[name="material"]'));
      const show = () => form.querySelector("#own-price")?.toggleAttribute("hidden", chooser.value !== "");
      chooser.addEventListener("change", show, { signal: desk.signal });
      show();
    },
    submit: (form, asked) => {
      if (asked === "remove") return;
      const { of, when, ...rest } = /** @type {any} */ (readForm(form));
      const next = /** @type {Line} */ ({
        ...line,
        ...rest,
        when: marked(when),
        task: of.startsWith("t:") ? of.slice(2) : "",
        phase: of.startsWith("p:") ? of.slice(2) : "",
      });
      desk.take(at < 0 ? "adding a line" : "changing a line", (p) => {
        p.lines.splice(at < 0 ? p.lines.length : at, at < 0 ? 0 : 1, next);
      });
    },
  });
  if (way === "remove") desk.take("removing a line", (p) => p.lines.splice(at, 1));
}

/** @param {{ key: string, name: string }} choice */
function choiceRow(choice) {
  const f = { form: `c${rowNumber()}`, hideLabel: true };
  return html`<div class="plan-what" data-row-of="choices"><input type="hidden" name="choices/0/key" value="${choice.key}">${field({ ...f, name: "choices/0/name", label: "Choice", value: choice.name, required: true, maxlength: 160 })}<button type="button" data-remove-row aria-label="Remove the choice ${choice.name}">×</button></div>`;
}

/** What about the vehicle changes the work; at -1 a new one. @param {Desk} desk @param {number} at */
export async function openVehicleOption(desk, at) {
  const { plan } = desk;
  const option = plan.vehicle_options[at] ?? {
    key: "",
    name: "",
    choices: [
      { key: "", name: "" },
      { key: "", name: "" },
    ],
  };
  const count = at < 0 ? 0 : dependents(plan, option.key);
  const way = await ask(desk, {
    title: at < 0 ? "Add what changes the work" : option.name,
    action: at < 0 ? "Add it" : "Change it",
    ways: at < 0 ? [] : [["remove", "Remove it", true]],
    body: html`${field({ form: "vehicle", name: "name", label: "What about the vehicle", value: option.name, required: true, maxlength: 160, hint: "Such as: Gearbox crossmember." })}
      <fieldset><legend>Choices</legend><div data-rows="choices">${option.choices.map(choiceRow)}</div><p class="shop-actions"><button type="button" data-add-row="choices">Add a choice</button></p></fieldset>
      ${count > 0 ? html`<p class="hint">${counted(count, "row")} of the plan depend on it. A condition on a choice that goes is dropped with it.</p>` : ""}`,
    ready: (form) => editableRows(form, { choices: () => choiceRow({ key: "", name: "" }) }, desk.signal),
    submit: (form, asked) => {
      if (asked === "remove") return;
      numberRows(form);
      const read = /** @type {{ name: string, choices?: { key: string, name: string }[] }} */ (
        readForm(form)
      );
      desk.take(`changing ${read.name}`, (p) => {
        /** @type {string[]} */
        const taken = (read.choices ?? []).map((c) => c.key).filter(Boolean);
        const chosen = (read.choices ?? []).map((c) => {
          const key = c.key || keyFor(c.name, taken);
          taken.push(key);
          return { key, name: c.name };
        });
        const key =
          option.key ||
          keyFor(
            read.name,
            p.vehicle_options.map((o) => o.key),
          );
        p.vehicle_options.splice(at < 0 ? p.vehicle_options.length : at, at < 0 ? 0 : 1, {
          key,
          name: read.name,
          choices: chosen,
        });
        pruneWhen(p);
      });
    },
  });
  if (way === "remove")
    desk.take(`removing ${option.name}`, (p) => {
      p.vehicle_options.splice(at, 1);
      pruneWhen(p);
    });
}

/** A way to do a piece of work, or an extra; at -1 a new one. @param {Desk} desk @param {number} at */
export async function openOption(desk, at) {
  const { plan } = desk;
  const option = plan.options[at] ?? {
    key: "",
    group: "",
    name: "",
    note: "",
    taken: false,
    points: [],
    when: {},
  };
  // Which sheet a job is judged by is known with the job: here are the items that the plan names.
  const named = plan.options.flatMap((o) => o.points.map((p) => p.item_key));
  const items = [...new Set(named)].map(
    (key) => /** @type {[string, string]} */ ([key, key.replaceAll("-", " ")]),
  );
  const way = await ask(desk, {
    title: at < 0 ? "Add an option" : optionLabel(option),
    action: at < 0 ? "Add the option" : "Change the option",
    ways: at < 0 ? [] : [["remove", "Remove it, keep its work", true]],
    body: html`${optionFields(option, items)}${whenBoxes(plan, option.when)}`,
    submit: (form, asked) => {
      if (asked === "remove") return;
      const draft = readOption(new FormData(form));
      const { when } = /** @type {{ when?: When }} */ (readForm(form));
      desk.take(`changing ${draft.name}`, (p) => {
        const key =
          option.key ||
          freeKey(
            p.options.map((o) => o.key),
            "option",
          );
        p.options.splice(at < 0 ? p.options.length : at, at < 0 ? 0 : 1, {
          ...draft,
          key,
          when: marked(when),
        });
      });
    },
  });
  if (way === "remove") desk.take(`removing ${option.name}`, (p) => removeOption(p, option.key));
}

/** A caution's text; at -1 a new one. @param {Desk} desk @param {number} at */
export async function openCaution(desk, at) {
  const caution = desk.plan.cautions[at] ?? { key: "", text: "" };
  const f = { form: "caution" };
  const way = await ask(desk, {
    title: at < 0 ? "Add a caution" : `Caution: ${caution.key.replaceAll("_", " ")}`,
    action: at < 0 ? "Add the caution" : "Change the caution",
    ways: at < 0 ? [] : [["remove", "Remove the caution", true]],
    body: html`${at < 0 ? field({ ...f, name: "name", label: "Name", required: true, maxlength: 36 }) : ""}
      ${field({ ...f, name: "text", label: "What it says on the bench", type: "textarea", rows: 5, value: caution.text, required: true, maxlength: 4000, hint: "Local codes, the maker's data sheets and qualified persons come first: say so." })}`,
    submit: (form, asked) => {
      if (asked === "remove") return;
      const { name = "", text } = /** @type {{ name?: string, text: string }} */ (readForm(form));
      desk.take("changing a caution", (p) => {
        const key =
          caution.key ||
          keyFor(
            name,
            p.cautions.map((c) => c.key),
          );
        p.cautions.splice(at < 0 ? p.cautions.length : at, at < 0 ? 0 : 1, { key, text });
      });
    },
  });
  if (way === "remove")
    desk.take("removing a caution", (p) => {
      p.cautions.splice(at, 1);
      for (const t of p.tasks) t.cautions = t.cautions.filter((key) => key !== caution.key);
    });
}

/** Name, description and frame. @param {Desk} desk */
export async function openHead(desk) {
  const { plan, offers } = desk;
  const f = { form: "head" };
  await ask(desk, {
    title: "Name and frame",
    action: "Change it",
    body: html`${field({ ...f, name: "name", label: "Name", value: plan.name, required: true, maxlength: 160 })}
      ${field({ ...f, name: "description", label: "Description", type: "textarea", value: plan.description, maxlength: 4000 })}
      ${field({ ...f, name: "frame", label: "Frame that a job begins with", type: "select", value: plan.frame, options: choices(wordsOf(offers.frames.map(({ code, name }) => ({ key: code, name }))), "none", plan.frame) })}`,
    submit: (form) => {
      desk.take("changing name and frame", (p) => {
        Object.assign(p, readForm(form));
      });
    },
  });
}

/** What is typed into a row, as the contract wants it. @param {string} path @param {string} text */
export function typed(path, text) {
  if (/^(hours\/|elapsed|quantity)/.test(path)) return decimalText(text);
  if (/^(crew|lead_days)$/.test(path))
    return /^\d{1,4}$/.test(text.trim()) ? Number.parseInt(text, 10) : undefined;
  return text.trim();
}

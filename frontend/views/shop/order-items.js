// @ts-check
// A change order's items with their options: what the client chooses between, what each option adds, changes
// and takes out, and what it does by itself. In a draft every piece opens its sheet.

import { finishWords, pointsWords } from "../../components/effect-words.js";
import { sizeWord } from "../../components/frame/seen.js";
import { gradeWord } from "../../components/frame/words.js";
import { photos } from "../../components/photos.js";
import { optionLabel } from "../../components/shop-option-form.js";
import { lagKind, named } from "../../components/shop-words.js";
import { html } from "../../lib/html.js";
import { findingWhat, lineKind, linkType, word } from "../../lib/words.js";

/** @import { JobPage, Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @typedef {Schemas["OrderItem"]} Item */
/** @typedef {Schemas["OrderOption"]} Option */

/**
 * @typedef {object} Drawn
 * @property {Schemas["Order"]} order
 * @property {JobPage} page
 * @property {Schemas["Finding"][]} findings
 * @property {Formats} formats
 * @property {boolean} open a draft, whose pieces open
 */

/** @param {Drawn} drawn */
export function orderItems(drawn) {
  const { order, open } = drawn;
  const taken = order.decision?.choices ?? [];
  return html`${order.draft.items.map((item) =>
    itemView(
      item,
      drawn,
      taken.find((c) => c.item_key === item.key),
    ),
  )}
    ${open ? html`<p class="shop-actions"><button type="button" data-sheet="item" id="add-item">Add an item</button></p>` : ""}`;
}

/** @param {Item} item @param {Drawn} drawn @param {Schemas["OrderChoice"] | undefined} taken */
function itemView(item, drawn, taken) {
  const { findings, formats, open, order } = drawn;
  const shown = item.finding_ids.flatMap((id) => findings.find((f) => f.id === id) ?? []);
  const how =
    item.options.length > 1
      ? item.may_leave
        ? "Choose one, or leave it"
        : "Choose one"
      : item.may_leave
        ? "Take it or leave it"
        : "All of it";
  return html`<section class="sheet"><div class="row between"><h2>${item.title}</h2><span class="state">${order.decision?.outcome === "approved" && !taken?.option_key ? "Left by the client" : how}</span></div>
    ${item.why ? html`<p class="shop-lines">${item.why}</p>` : ""}
    ${item.if_not ? html`<p><strong>If not:</strong> <span class="shop-lines">${item.if_not}</span></p>` : ""}
    ${shown.map((f) => html`<p class="small">F${f.number} ${word(findingWhat, f.what)}, ${[f.zone, f.condition && word(gradeWord, f.condition), sizeWord(f, formats.length), f.note].filter(Boolean).join("; ")}</p>${photos(f.photos, `finding ${f.number}`)}`)}
    ${open ? html`<p class="shop-actions"><button type="button" data-sheet="item" data-item="${item.key}" id="item-${item.key}">Change the item</button><button type="button" data-sheet="option" data-item="${item.key}" id="add-option-${item.key}">Add an option</button></p>` : ""}
    <div class="options">${item.options.map((option) => optionView(item, option, drawn, order.decision && taken?.option_key === option.key))}</div></section>`;
}

/** @param {Item} item @param {Option} option @param {Drawn} drawn @param {boolean | undefined} taken */
function optionView(item, option, drawn, taken) {
  const { order, page, formats, open } = drawn;
  const alone = order.effect.options.find((o) => o.item_key === item.key && o.option_key === option.key);
  const id = `${item.key}-${option.key}`;
  /** @param {string} sheet @param {string} words @param {number} [index] */
  const button = (sheet, words, index) =>
    open
      ? html`<button type="button" class="${index === undefined ? "plain" : "shop-open"}" data-sheet="${sheet}" data-item="${item.key}" data-option="${option.key}" data-index="${index ?? ""}" id="${sheet}-${id}-${index ?? ""}">${words}</button>`
      : words;
  const brought = page.options.find((each) => each.id === option.takes_option);
  const task = (/** @type {string} */ key) => page.tasks.find((each) => each.id === key);
  const name = (/** @type {string} */ key) =>
    option.tasks.find((each) => each.key === key)?.name ??
    `${task(key)?.code ?? ""} ${task(key)?.name ?? "a task that was taken out"}`;
  const rows = [
    ...option.tasks.map(
      (t, i) =>
        html`<li>${button("task", t.name, i)} <span class="small">${taskWords(t, formats)}${t.after.length > 0 ? `; after ${t.after.map(name).join(", ")}` : ""}${t.before.length > 0 ? `; before ${t.before.map(name).join(", ")}` : ""}</span></li>`,
    ),
    ...option.lines.map(
      (l, i) =>
        html`<li>${button("line", l.description, i)} <span class="small">${word(lineKind, l.kind)}, ${formats.quantity(l.quantity, l.unit)} at ${formats.price(l.unit_cost)}</span></li>`,
    ),
    ...(option.links ?? []).map(
      (l) =>
        html`<li>${name(l.from)} → ${name(l.to)} <span class="small">${word(linkType, l.type)}${Number(l.lag_hours) === 0 ? "" : `, lag ${formats.hours(l.lag_hours)} ${lagKind[l.lag_kind]}`}</span></li>`,
    ),
    ...option.hours_changes.map(
      (h, i) =>
        html`<li>${button("hours", `${task(h.task_id)?.name ?? "A task"}: new hours`, i)} <span class="small">${h.hours.low}, ${h.hours.likely}, ${h.hours.high} h${order.decision ? "" : ` instead of ${hoursOf(task(h.task_id))}`}</span></li>`,
    ),
    ...option.removes_tasks.map(
      (key) => html`<li><del>${name(key)}</del> <span class="small">taken out, credited as sold</span></li>`,
    ),
    ...option.removes_lines.map(
      (key) =>
        html`<li><del>${page.lines.find((l) => l.id === key)?.description ?? "A line"}</del> <span class="small">taken out, credited as sold</span></li>`,
    ),
  ];
  return html`<div class="option" data-taken="${String(Boolean(taken))}"><h3>${option.name} ${option.advised ? html`<span class="state firm">Advised</span>` : ""} ${taken ? html`<span class="state good">Chosen</span>` : ""}</h3>
    ${option.note ? html`<p class="shop-lines">${option.note}</p>` : ""}
    ${option.takes_option ? html`<p class="second">Brings in ${brought ? optionLabel(brought) : "an option"}, which was not taken with the quote; its judged points are the option's own.</p>` : ""}
    ${alone ? html`<p>By itself <strong>${formats.money(alone.amount, order.effect.currency)}</strong>, ${formats.hours(alone.hours)}, finish ${finishWords(alone.days)}; points ${pointsWords(alone.points_originality)} originality, ${pointsWords(alone.points_condition)} condition.</p>` : ""}
    ${rows.length > 0 ? html`<ul class="shop-plain">${rows}</ul>` : html`<p class="empty">Nothing in it yet. Add the tasks and lines that this option needs.</p>`}
    ${open ? html`<p class="shop-actions">${button("task", "Add a task")}${button("line", "Add a line")}${button("hours", "Change sold hours")}${button("falls", "Take out work")}${button("option", "Change the option")}</p>` : ""}</div>`;
}

/** @param {Schemas["OrderTask"]} t @param {Formats} formats */
function taskWords({ kind, hours, elapsed_hours, lead_days, skill, crew, station }, formats) {
  if (kind === "cure") return `${formats.hours(elapsed_hours)} pass`;
  if (kind === "sublet") return `${lead_days} working days away`;
  if (kind === "hold") return "hold point";
  return [
    `${hours.low}, ${hours.likely}, ${hours.high} h`,
    skill && `${crew} × ${named(skill)}`,
    station && `at ${named(station)}`,
  ]
    .filter(Boolean)
    .join("; ");
}

/** @param {JobPage["tasks"][number] | undefined} task */
const hoursOf = (task) => (task ? `${task.hours.low}, ${task.hours.likely}, ${task.hours.high} h` : "–");

// @ts-check
// A plan as a parts list that is edited in place: phases as bands, a row for each task with its lines under
// it. A row's ids are its place in the plan: t3-low are the low hours of the fourth task.

import { attr, html } from "../lib/html.js";
import { lineKind, taskKind, word } from "../lib/words.js";
import { choices, wordsOf } from "./shop-form.js";
import { linkWords } from "./shop-link-list.js";
import { counted, named } from "./shop-words.js";

/** @import { Schemas } from "../lib/contract.js" */
/** @import { Line, Plan, Task } from "./shop-plan.js" */

/** @typedef {{ skills: { key: string, name: string }[], stations: { key: string, name: string }[], book: Schemas["PriceBook"], frames: Schemas["FrameLayoutList"]["items"] }} Offers */

const columns = 10;

/** @param {Plan} plan @param {Offers} offers */
export function planRows(plan, offers) {
  return html`<div class="shop-scroll" tabindex="0" role="region" aria-label="Tasks and lines">
    <table class="shop-list shop-parts plan"><caption>Hours are crew-hours. A heavy edge: the task sets the finish of the sample job. A dashed line: the sample vehicle does not need it. Dashed hours: the rules and the frame say how many; those typed here hold where there is no frame.</caption>
      <thead><tr><th scope="col">Code</th><th scope="col">Task</th><th scope="col" class="num">Low</th><th scope="col" class="num">Likely</th><th scope="col" class="num">High</th><th scope="col" class="shop-wide">Skill</th><th scope="col" class="shop-wide">Crew</th><th scope="col" class="shop-wide">Station</th><th scope="col" class="shop-wide">Follows</th><th scope="col">Order</th></tr></thead>
      ${plan.phases.map((phase, n) => phaseBody(plan, phase, n, offers))}
    </table></div>`;
}

/** @param {Plan} plan @param {{ key: string, name: string }} phase @param {number} n @param {Offers} offers */
function phaseBody(plan, phase, n, offers) {
  const loose = plan.lines.filter((line) => line.task === "" && line.phase === phase.key);
  const own = plan.tasks.filter((task) => task.phase === phase.key);
  return html`<tbody data-phase="${phase.key}"><tr class="shop-band" data-drop="">
      <th scope="rowgroup" colspan="2"><input type="text" id="p${n}-name" class="plan-name" data-set="name" data-phase-at="${n}" value="${phase.name}" aria-label="Name of phase ${n + 1}" maxlength="160" autocomplete="off"></th>
      <td colspan="7" class="small num"><span data-phase-sum="${phase.key}">${counted(own.length, "task")}</span></td>
      <td>${mover(`p${n}`, phase.name, n === 0, n === plan.phases.length - 1)}</td></tr>
    ${own.map((task) => [
      taskRow(plan, task, offers),
      plan.lines.filter((line) => line.task === task.key).map((line) => lineRow(plan, line, offers)),
    ])}
    ${loose.map((line) => lineRow(plan, line, offers))}
    <tr class="no-print shop-adds"><td></td><td colspan="${columns - 1}"><span class="shop-actions">
      <button type="button" id="p${n}-task" data-do="add-task" data-phase="${phase.key}">Add a task<span class="visually-hidden"> to ${phase.name}</span></button>
      <button type="button" id="p${n}-line" data-do="add-line" data-phase="${phase.key}">Add a line<span class="visually-hidden"> to ${phase.name}</span></button>
      ${own.length + loose.length === 0 && plan.phases.length > 1 ? html`<button type="button" data-do="remove-phase" data-phase="${phase.key}">Remove the phase</button>` : ""}
    </span></td></tr></tbody>`;
}

/** One place up, one place down. @param {string} id @param {string} what @param {boolean} first @param {boolean} last */
function mover(id, what, first, last) {
  return html`<span class="plan-move"><button type="button" id="${id}-up" data-do="up" data-at="${id}" aria-label="Move ${what} up" ${attr("disabled", first)}>↑</button><button type="button" id="${id}-down" data-do="down" data-at="${id}" aria-label="Move ${what} down" ${attr("disabled", last)}>↓</button></span>`;
}

/** @param {Plan} plan @param {Task} task @param {Offers} offers */
function taskRow(plan, task, { skills, stations }) {
  const n = plan.tasks.indexOf(task);
  const who = task.key;
  const works = task.kind === "work" || task.kind === "hold";
  /** @param {string} name @param {string} path @param {string | number} value @param {string} label @param {string} [mode] */
  const input = (name, path, value, label, mode = "decimal") =>
    html`<input type="text" id="t${n}-${name}" data-set="${path}" data-task="${n}" inputmode="${mode}" value="${value}" aria-label="${who} ${label}" autocomplete="off" maxlength="8">`;
  const before = plan.links.filter((link) => link.to === task.key);
  return html`<tr data-row="${task.key}" data-drop="${task.key}">
    <td class="shop-code"><span class="plan-grip" draggable="true" data-grip="${task.key}" aria-hidden="true"></span><input type="text" id="t${n}-key" class="plan-code" data-set="key" data-task="${n}" value="${task.key}" aria-label="Code of ${task.name}" maxlength="12" autocomplete="off"></td>
    <th scope="row" class="shop-name"><span class="plan-what"><input type="text" id="t${n}-name" class="plan-name" data-set="name" data-task="${n}" value="${task.name}" aria-label="Name of ${who}" maxlength="160" autocomplete="off"><button type="button" id="t${n}-open" data-do="task" data-at="${n}" aria-label="Everything about ${who} ${task.name}">…</button></span>${marks(plan, task)}</th>
    ${
      works
        ? html`<td class="num shop-tight" data-label="low">${input("low", "hours/low", task.hours.low, "hours, low")}</td><td class="num shop-tight" data-label="likely">${input("likely", "hours/likely", task.hours.likely, "hours, likely")}</td><td class="num shop-tight" data-label="high">${input("high", "hours/high", task.hours.high, "hours, high")}</td>`
        : task.kind === "cure"
          ? html`<td class="num shop-length" colspan="3">${input("low", "elapsed_hours", task.elapsed_hours, "hours that pass")} h pass</td>`
          : html`<td class="num shop-length" colspan="3">${input("low", "lead_days", task.lead_days, "working days away", "numeric")} days away</td>`
    }
    <td class="shop-wide">${works ? select(`t${n}-skill`, n, "skill", task.skill, `Skill of ${who}`, choices(wordsOf(skills), "no skill", task.skill)) : ""}</td>
    <td class="shop-wide shop-tight">${works ? input("crew", "crew", task.crew, "crew", "numeric") : ""}</td>
    <td class="shop-wide">${select(`t${n}-station`, n, "station", task.station, `Station of ${who}`, choices(wordsOf(stations), "–", task.station))}</td>
    <td class="shop-wide small"><button type="button" class="shop-open" id="t${n}-follows" data-do="follows" data-at="${n}" aria-label="What ${who} follows: ${before.map((l) => `${l.from}, ${linkWords(l)}`).join("; ") || "nothing"}">${before.map(shortLink).join(", ") || "nothing"}</button></td>
    <td>${mover(`t${n}`, who, false, false)}</td></tr>`;
}

/** A link as short as a cell wants it: "C45", "C40 SS", "C45 +10.00 h elapsed". @param {import("./shop-plan.js").Link} link */
function shortLink({ from, type, lag_hours, lag_kind, max_lag_hours }) {
  const lag = /^-?0*(\.0*)?$/.test(lag_hours)
    ? ""
    : ` ${lag_hours.startsWith("-") ? "" : "+"}${lag_hours} h${lag_kind === "elapsed" ? " elapsed" : ""}`;
  const most =
    max_lag_hours === undefined
      ? ""
      : ` ≤${max_lag_hours} h${lag === "" && lag_kind === "elapsed" ? " elapsed" : ""}`;
  return `${from}${type === "FS" ? "" : ` ${type}`}${lag}${most}`;
}

/** @param {string} id @param {number} n @param {string} path @param {string} value @param {string} label @param {[string, string][]} options */
function select(id, n, path, value, label, options) {
  return html`<select id="${id}" data-set="${path}" data-task="${n}" aria-label="${label}">${options.map(([key, name]) => html`<option value="${key}" ${attr("selected", key === value)}>${name}</option>`)}</select>`;
}

/** What a name and hours do not say. @param {Plan} plan @param {Task} task */
function marks(plan, task) {
  return html`${task.kind === "work" ? "" : html` <span class="small">${word(taskKind, task.kind)}</span>`}${task.hold_point || task.kind === "hold" ? html` <span class="state stop">${task.strip_gate ? "Strip gate" : "Hold"}</span>` : ""}${onlyWhen(plan, task)}<span class="small" data-said></span>`;
}

/** @param {Plan} plan @param {Task | Line} row */
function onlyWhen(plan, row) {
  const when = Object.entries(row.when).map(([key, values]) => {
    const option = plan.vehicle_options.find((o) => o.key === key);
    return `${option?.name ?? key}: ${values.map((v) => option?.choices.find((c) => c.key === v)?.name ?? v).join(" or ")}`;
  });
  const option = row.option ? [plan.options.find((o) => o.key === row.option)?.name ?? row.option] : [];
  const all = [...when, ...option];
  return all.length === 0 ? "" : html` <span class="small">only ${all.join("; ")}</span>`;
}

/** @param {Plan} plan @param {Line} line @param {Offers} offers */
function lineRow(plan, line, { book }) {
  const n = plan.lines.indexOf(line);
  const material = book.materials.find((m) => m.key === line.material);
  const name = line.description || material?.name || named(line.material || "line");
  return html`<tr data-line="${line.key}">
    <td class="second shop-code"></td>
    <th scope="row" class="shop-name"><button type="button" class="shop-open" id="l${n}-open" data-do="line" data-at="${n}">${name}</button>${onlyWhen(plan, line)}</th>
    <td colspan="3" class="num shop-length"><input type="text" id="l${n}-quantity" data-set="quantity" data-line-at="${n}" inputmode="decimal" value="${line.quantity}" aria-label="Quantity of ${name}" maxlength="12" autocomplete="off"> ${material?.unit ?? line.unit}</td>
    <td colspan="4" class="small shop-wide">${word(lineKind, line.kind)}${line.material ? `, ${material ? "price book" : "not in the price book"}` : `, ${line.unit_cost} a ${line.unit}`}</td>
    <td></td></tr>`;
}

/**
 * What the sample job says about rows: which set the finish, which this vehicle does not need, what a phase
 * comes to. Rows stay as they are, so that nobody loses what is being typed.
 * @param {Element} root @param {Schemas["SampleJob"] | undefined} sample @param {(amount: string) => string} money
 */
export function markRows(root, sample, money) {
  const tasks = new Map(sample?.tasks.map((t) => [t.key, t]));
  for (const row of root.querySelectorAll("tr[data-row]")) {
    const task = tasks.get(row.getAttribute("data-row") ?? "");
    row.toggleAttribute("data-driving", task?.driving ?? false);
    row.toggleAttribute("data-out", sample !== undefined && !task);
    row.toggleAttribute("data-follows", task?.follows ?? false);
    const said = row.querySelector("[data-said]");
    if (said) said.textContent = task?.follows ? ` follows the frame: ${task.hours} h` : "";
  }
  for (const phase of sample?.phases ?? []) {
    const place = root.querySelector(`[data-phase-sum="${CSS.escape(phase.key)}"]`);
    if (place) place.textContent = `${phase.hours} h, ${money(phase.net)}`;
  }
}

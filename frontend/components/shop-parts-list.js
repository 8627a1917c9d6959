// @ts-check
// The estimate as a parts list: phases as bands, a row for each task and each priced line. Hours are typed
// in place; a name opens everything else; a price opens how it was computed.

import { attr, html } from "../lib/html.js";
import { lineKind, scope, taskKind, word } from "../lib/words.js";
import { counted, named, tone } from "./shop-words.js";

/** @import { JobPage, Schemas, TaskView } from "../lib/contract.js" */
/** @import { Formats } from "../lib/format.js" */

/** @typedef {{ formats: Formats, skills: { key: string, name: string }[], stations: { key: string, name: string }[] }} Names */

const columns = 10;

/**
 * @param {JobPage} page
 * @param {Names} names
 */
export function partsList(page, names) {
  return html`<div class="shop-scroll" id="parts-scroll" tabindex="0" role="region" aria-label="Parts list">
    <table class="shop-list shop-parts">
      <caption>Hours are crew-hours. The heavy edge marks the tasks that set the finish. A dashed line: outside what was authorised.${isSold(page) ? " Plain figures: sold with the accepted quote, and fixed." : ""}</caption>
      <thead><tr>
        <th scope="col">Code</th><th scope="col">Task</th>
        <th scope="col" class="num">Low</th><th scope="col" class="num">Likely</th><th scope="col" class="num">High</th>
        <th scope="col" class="num shop-wide">Mean</th><th scope="col" class="shop-wide">Crew, station</th><th scope="col" class="shop-wide">Kind</th>
        <th scope="col" class="num">Net</th><th scope="col" class="num">Slack</th>
      </tr></thead>
      ${page.phases.map((phase) => phaseBody(phase, page, names))}
    </table></div>`;
}

/** Whether some of it is part of an accepted quote. @param {JobPage} page */
const isSold = (page) => page.tasks.some((task) => task.scope === "authorised");

/** @param {Schemas["PhaseView"]} phase @param {JobPage} page @param {Names} names */
function phaseBody(phase, page, names) {
  const tasks = page.tasks.filter((task) => task.phase_id === phase.id);
  const lines = page.lines.filter((line) => line.phase_id === phase.id);
  const money = names.formats.money;
  return html`<tbody>
    <tr class="shop-band">
      <th scope="rowgroup" colspan="2">
        <button type="button" class="shop-open" id="phase-${phase.id}" data-phase="${phase.id}">${phase.position}. ${phase.name}</button>
        <a class="small no-print" href="/api/jobs/${page.job.id}/phases/${phase.id}/job-card?as=pdf" target="_blank" rel="noopener">Job card<span class="visually-hidden"> of ${phase.name}, PDF in a new tab</span></a>
      </th>
      <td colspan="3" class="num small shop-wide">mean ${names.formats.hours(phase.progress.sold_hours)}</td>
      <td colspan="3" class="small shop-wide">${counted(tasks.length, "task")}, ${counted(lines.length, "line")}</td>
      <td class="num shop-net">${money(phase.net)}</td><td></td>
    </tr>
    ${tasks.map((task) => taskRow(task, page.job.version, names))}
    ${lines.map((line) => lineRow(line, page, names))}
    <tr class="no-print shop-adds"><td></td><td colspan="${columns - 1}"><span class="shop-actions">
      <button type="button" id="task-to-${phase.id}" data-add-task="${phase.id}">Add a task</button>
      <button type="button" id="line-to-${phase.id}" data-add-line="${phase.id}">Add a line</button>
    </span></td></tr>
  </tbody>`;
}

/** @param {TaskView} task @param {number} version @param {Names} names */
function taskRow(task, version, names) {
  const { formats } = names;
  return html`<tr data-row="${task.id}" data-version="${version}" ${attr("data-driving", task.times.driving)} ${attr("data-scope", task.scope)}>
    <td class="shop-code">${task.code}</td>
    <th scope="row" class="shop-name"><button type="button" class="shop-open" id="open-${task.id}" data-task="${task.id}">${task.name}</button></th>
    ${lengthCells(task)}
    <td class="num shop-wide">${task.kind === "work" ? formats.hours(task.mean_hours) : ""}</td>
    <td class="small shop-wide">${place(task, names)}</td>
    <td class="shop-wide">${marks(task)}</td>
    <td class="num shop-net"><button type="button" class="shop-open" id="net-${task.id}" data-explain="task:${task.id}" aria-label="Net of ${task.code}: ${formats.money(task.net)}. How it was computed">${formats.money(task.net)}</button></td>
    <td class="num shop-slack" data-label="Slack">${slack(task, formats)}</td>
  </tr>`;
}

/** What can still move; nothing of a finished task can. @param {TaskView} task @param {Formats} formats */
function slack({ state, times }, formats) {
  if (state === "finished") return html`<span class="small">finished</span>`;
  return times.driving ? "none" : formats.minutes(times.total_float_minutes);
}

/** Who and where: "2 × welder, frame stand". @param {TaskView} task @param {Names} names */
function place(task, names) {
  const crew =
    task.kind === "work" ? `${task.crew} × ${task.skill ? named(task.skill, names.skills) : "anybody"}` : "";
  return [crew, task.station ? named(task.station, names.stations) : ""].filter(Boolean).join(", ");
}

/** What is typed in place: three hours, or the one length of a cure or sublet. @param {TaskView} task */
function lengthCells(task) {
  const sold = task.scope === "authorised";
  if (task.kind === "work")
    return [
      ["low", task.hours.low],
      ["likely", task.hours.likely],
      ["high", task.hours.high],
    ].map(([name, value]) =>
      sold
        ? html`<td class="num" data-label="${name}">${value}</td>`
        : html`<td class="num shop-tight" data-label="${name}"><input type="text" inputmode="decimal" id="${name}-${task.id}" data-hours="${name}" value="${value}" aria-label="${task.code} hours, ${name}" autocomplete="off" maxlength="8"></td>`,
    );
  if (task.kind === "cure")
    return html`<td class="num shop-length" colspan="3"><input type="text" inputmode="decimal" id="elapsed-${task.id}" data-hours="elapsed" value="${task.elapsed_hours}" aria-label="${task.code} hours that pass" autocomplete="off" maxlength="8"> h pass</td>`;
  if (task.kind === "sublet")
    return html`<td class="num shop-length" colspan="3"><input type="text" inputmode="numeric" id="lead-${task.id}" data-hours="lead" value="${task.lead_days}" aria-label="${task.code} working days away" autocomplete="off" maxlength="4"> days away</td>`;
  return html`<td colspan="3" class="shop-length"></td>`;
}

/** Kind, hold and scope, each a word in a frame. @param {TaskView} task */
function marks(task) {
  const held = task.hold_point !== "" || task.kind === "hold";
  return html`${task.kind === "hold" && !task.released ? "" : html`<span class="small">${word(taskKind, task.kind)}</span>`}
    ${held ? html`<span class="state ${task.released ? "good" : "stop"}">${task.released ? "Hold released" : "Hold"}</span>` : ""}
    ${task.scope === "outside" || task.scope === "opened" ? html`<span class="state ${tone[task.scope]}">${word(scope, task.scope)}</span>` : ""}`;
}

/** @param {Schemas["LineView"]} line @param {JobPage} page @param {Names} names */
function lineRow(line, page, { formats }) {
  const task = page.tasks.find((each) => each.id === line.task_id);
  return html`<tr data-line-row="${line.id}">
    <td class="second shop-code">${task?.code ?? ""}</td>
    <th scope="row" class="shop-name"><button type="button" class="shop-open" id="open-${line.id}" data-line="${line.id}">${line.description}</button></th>
    <td colspan="3" class="small num shop-length">${formats.quantity(line.quantity, line.unit)} at ${formats.price(line.unit_cost)}</td>
    <td colspan="2" class="small shop-wide">${isNothing(line.waste_percent) ? "" : `waste ${formats.percent(line.waste_percent)}, `}markup ${formats.percent(line.markup_percent)}${isNothing(line.discount_percent) ? "" : `, discount ${formats.percent(line.discount_percent)}`}</td>
    <td class="small shop-wide">${word(lineKind, line.kind)}</td>
    <td class="num shop-net"><button type="button" class="shop-open" id="net-${line.id}" data-explain="line:${line.id}" aria-label="Net of ${line.description}: ${formats.money(line.net)}. How it was computed">${formats.money(line.net)}</button></td>
    <td class="shop-slack"></td>
  </tr>`;
}

/** Whether a decimal text is zero. @param {string} text */
function isNothing(text) {
  return /^-?0*(\.0*)?$/.test(text);
}

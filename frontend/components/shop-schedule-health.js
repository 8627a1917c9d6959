// @ts-check
// What makes a schedule's dates unreliable, which limits clash or were passed, and how far each task is from
// what was agreed. Pure drawing: tasks are picked by [data-pick-task], links opened by [data-link].

import { html } from "../lib/html.js";
import { startReason, word } from "../lib/words.js";
import { linkWords, plain } from "./shop-link-list.js";
import { counted, lagKind } from "./shop-words.js";

/** @import { JobPage, Schemas } from "../lib/contract.js" */
/** @import { Formats } from "../lib/format.js" */

/** @typedef {Schemas["ScheduleHealth"]} Health */

/** @type {Record<Schemas["ScheduleCheck"], string>} */
const checks = {
  future_actual: "Hours or a release dated after now",
  lag_overrun: "Waited too long: a limit is passed",
  negative_float: "A date cannot be kept",
  open_start: "Nothing comes before it",
  open_end: "Nothing waits for it",
  out_of_sequence: "Begun before its turn",
  no_baseline: "No agreed dates to compare with",
  no_crew: "Needs more people than the shop has",
  stale: "In work, but nothing was heard of it",
  lead: "Begins before the work it waits for is through",
  long_lag: "A long wait that is no task",
  date_constraint: "A date set by hand",
  much_float: "Could slip for very long",
};

/** @type {Record<number, [string, string]>} */
const weights = {
  3: ["Dates that are wrong or late", "stop"],
  2: ["Dates in doubt", "watch"],
  1: ["Worth a look", ""],
};

/** Names more than these are folded away. */
const shownNames = 6;

/** Rows of the comparison that are shown at once. */
const shownMoved = 8;

/** @param {JobPage} page @param {string} id */
function taskButton(page, id) {
  const task = page.tasks.find((each) => each.id === id);
  return html`<button type="button" class="shop-open" data-pick-task="${id}">${task ? `${task.code} ${task.name}` : "a task that is gone"}</button>`;
}

/** A link by its two tasks, and the way to its editor; a bridge has none. @param {JobPage} page @param {string} id */
function linkLine(page, id) {
  const link = page.links.find((each) => each.id === id);
  if (!link) return html`<li>A link that is gone</li>`;
  const name = (/** @type {string} */ task) => {
    const t = page.tasks.find((each) => each.id === task);
    return t ? `${t.code} ${t.name}` : "–";
  };
  const both = `${name(link.from_task_id)} → ${name(link.to_task_id)}`;
  return html`<li>${
    link.bridge
      ? html`${both} <span class="small">over work that is not taken: change the links of that work</span>`
      : html`<button type="button" class="shop-open" data-link="${id}">${both}</button>`
  } <span class="small">${linkWords(link)}</span></li>`;
}

/** Limits that clash and limits that were passed: before the picture, for they say how far to believe it. @param {JobPage} page @param {Health} health */
export function limitNotes(page, health) {
  return html`${health.clash ? clash(page, health.clash) : ""}${health.overruns.length > 0 ? overruns(page, health.overruns) : ""}`;
}

/** @param {JobPage} page @param {Schemas["LimitClash"]} found */
function clash(page, { detail, lags }) {
  const ids = [...new Set(lags.map((lag) => lag.link_id))];
  return html`<section class="note stop" id="clash"><h3>Limits that cannot all hold</h3>
    <p><strong>This schedule is worked out without any “not later than”</strong>: with them no dates exist on the shop's calendar as it is now. They agreed when they were entered; shifts or closed days changed since. Nothing else can be saved in the estimate until they agree again.</p>
    <p>${detail}</p>
    ${
      ids.length > 0
        ? html`<p>Loosen a limit, shorten what lies between, or open the shop longer. The links that make it:</p><ul class="shop-links">${ids.map((id) => linkLine(page, id))}</ul>`
        : html`<p>Take out limits that are not needed, one by one.</p>`
    }</section>`;
}

/** @param {JobPage} page @param {Schemas["LimitOverrun"][]} passed */
function overruns(page, passed) {
  return html`<section class="note stop" id="overruns"><h3>Limits passed</h3>
    <p>Do the first task again, or hold to what the product data sheet says, before the second begins.</p>
    <ul class="shop-links">${passed.map((over) => {
      const kind = page.links.find((link) => link.id === over.link_id)?.lag_kind ?? "working";
      return html`${linkLine(page, over.link_id)}<li class="second">By ${plain(over.hours)} ${lagKind[kind]} when ${taskButton(page, over.to_task_id)} begins as planned.</li>`;
    })}</ul></section>`;
}

/** @param {JobPage} page @param {Health} health @param {Formats} formats */
export function healthPanel(page, health, formats) {
  const { findings, looked_at, thresholds } = health;
  const said =
    findings.length === 0
      ? `Nothing found in ${counted(looked_at.length, "check")}: ${counted(page.tasks.length, "task")} and ${counted(page.links.length, "link")} looked over.`
      : `${counted(findings.length, "thing")} of ${looked_at.length} looked for ${findings.length === 1 ? "makes" : "make"} these dates less reliable.`;
  return html`<section class="sheet" id="health"><h3>How far to trust the dates</h3>
    <p class="lead">${said}</p>
    ${[3, 2, 1].map((weight) => weighed(page, findings, weight, formats))}
    <details id="health-checks"><summary>What was looked at, and from where on it counts</summary>
      <ul>${looked_at.map((code) => html`<li>${checks[code]}${findings.some((f) => f.code === code) ? ": found" : ": none"}</li>`)}</ul>
      <p class="small">A wait in a link is long from ${formats.hours(thresholds.long_lag_hours)} on; slack is much from ${thresholds.much_float_days} working days on; a task under way is stale after ${thresholds.stale_days} working days without an entry. These three are common practice, not from a standard. The questions follow the ten best practices of the GAO Schedule Assessment Guide, GAO-16-89G (2015).</p></details></section>`;
}

/** What the figures of this job add to a check. @param {JobPage} page @param {Schemas["ScheduleCheck"]} code @param {Formats} formats */
function about({ schedule: { promise, late_days } }, code, formats) {
  if (code !== "negative_float") return "";
  return promise && late_days > 0
    ? `Even by itself this car passes the promise of ${formats.day(promise)}, by ${counted(late_days, "working day")}.`
    : "A task ends after the day that was set for it.";
}

/** The page on which a check is put right, where that is not a task or a link. @param {JobPage} page @param {Schemas["ScheduleCheck"]} code */
function where({ job }, code) {
  const place = {
    no_baseline: ["quotes", "Go to the quotes"],
    stale: ["hours", "Go to the hours"],
    future_actual: ["hours", "Go to the hours"],
    out_of_sequence: ["hours", "Go to the hours"],
  }[/** @type {string} */ (code)];
  if (code === "no_crew")
    return html`<p class="no-print"><a class="shop-rowlink" href="/shop/people">Go to the people</a></p>`;
  return place
    ? html`<p class="no-print"><a class="shop-rowlink" href="/shop/jobs/${job.id}/${place[0]}">${place[1]}</a></p>`
    : "";
}

/** @param {JobPage} page @param {Schemas["ScheduleFinding"][]} findings @param {number} weight @param {Formats} formats */
function weighed(page, findings, weight, formats) {
  const of = findings.filter((finding) => finding.weight === weight);
  if (of.length === 0) return "";
  const [title, tone] = /** @type {[string, string]} */ (weights[weight]);
  return html`<h4>${title}</h4>${of.map(
    (
      finding,
    ) => html`<div class="note ${tone}" data-finding="${finding.code}"><p><strong>${checks[finding.code]}.</strong> ${about(page, finding.code, formats)} ${finding.do}</p>${where(page, finding.code)}
      ${folded(
        finding.tasks.map((id) => html`<li>${taskButton(page, id)}</li>`),
        finding.code,
        "task",
      )}
      ${folded(
        finding.links.map((id) => linkLine(page, id)),
        finding.code,
        "link",
      )}</div>`,
  )}`;
}

/** @param {unknown[]} items @param {string} code @param {string} what */
function folded(items, code, what) {
  if (items.length === 0) return "";
  const list = html`<ul class="shop-links">${items}</ul>`;
  return items.length <= shownNames
    ? list
    : html`<details id="found-${code}-${what}"><summary>${counted(items.length, what)}</summary>${list}</details>`;
}

/** The comparison with what was agreed, furthest first. @param {JobPage} page @param {Health} health @param {Formats} formats */
export function movedTable(page, { moved }, formats) {
  const title = html`<h3>How far from what was agreed</h3>`;
  if (!moved)
    return html`<section class="sheet" id="moved">${title}<p class="empty">Nothing to compare with yet: the first quote keeps its schedule.</p></section>`;
  const against = moved.agreed
    ? `the accepted quote ${moved.quote} and the orders since`
    : `quote ${moved.quote}, which is not accepted`;
  const rest = [
    moved.same > 0 && `${counted(moved.same, "task")} ${moved.same === 1 ? "ends" : "end"} as planned then`,
    moved.added.length > 0 &&
      `${counted(moved.added.length, "task")} ${moved.added.length === 1 ? "was" : "were"} added since`,
    moved.gone > 0 && `${counted(moved.gone, "task")} ${moved.gone === 1 ? "is" : "are"} gone`,
  ].filter(Boolean);
  return html`<section class="sheet" id="moved">${title}
    <p>Held against ${against}.${rest.length > 0 ? ` ${rest.join("; ")}.` : ""}</p>
    ${moved.tasks.length === 0 ? html`<p>No task ends earlier or later.</p>` : movedRows(page, moved.tasks, formats)}</section>`;
}

/** The furthest at once, the others on request. @param {JobPage} page @param {Schemas["MovedTask"][]} tasks @param {Formats} formats */
function movedRows(page, tasks, formats) {
  const rest = tasks.slice(shownMoved);
  return html`${movedList(page, tasks.slice(0, shownMoved), formats, "Tasks that end at another time, furthest first")}${
    rest.length > 0
      ? html`<details id="moved-rest"><summary>${counted(rest.length, "more task")} that moved less</summary>${movedList(page, rest, formats, "The others")}</details>`
      : ""
  }`;
}

/** @param {JobPage} page @param {Schemas["MovedTask"][]} tasks @param {Formats} formats @param {string} caption */
function movedList(page, tasks, formats, caption) {
  return html`<div class="shop-scroll" tabindex="0" role="region" aria-label="${caption}"><table class="shop-list shop-stack moved-list">
    <caption>${caption}. In working days of the shop.</caption>
    <thead><tr><th scope="col">Task</th><th scope="col" class="num">Moved</th><th scope="col">Was to end</th><th scope="col">Ends</th><th scope="col">What sets it now</th></tr></thead>
    <tbody>${tasks.map(
      (
        task,
      ) => html`<tr><th scope="row">${taskButton(page, task.task_id)}</th><td class="num ${task.working_minutes > 0 ? "tone-stop" : ""}" data-label="Moved">${movedWords(task)}</td>
      <td data-label="Was to end">${formats.instant(task.was_finish)}</td><td data-label="Ends">${formats.instant(task.finish)}</td><td data-label="Set by"><div>${setBy(page, task)}</div></td></tr>`,
    )}</tbody></table></div>`;
}

/** @param {Schemas["MovedTask"]} task */
function movedWords({ days, working_minutes }) {
  const size = days.replace("-", "");
  const way = working_minutes > 0 ? "later" : "earlier";
  return size === "0.0"
    ? `under 0.1 days ${way}`
    : `${size.replace(/\.0$/, "")} ${size === "1.0" ? "day" : "days"} ${way}`;
}

/** @param {JobPage} page @param {Schemas["MovedTask"]} task */
function setBy(page, task) {
  const state = page.tasks.find((each) => each.id === task.task_id)?.state;
  if (state === "finished") return "it is done";
  const links = page.links.filter((link) => task.driven_by.includes(link.id));
  if (links.length === 0) return word(startReason, task.reason);
  return html`${task.reason === "actual" ? html`${word(startReason, task.reason)}; what is left: ` : ""}${links.map(
    (link, index) =>
      html`${index > 0 ? ", " : ""}${holder(page, link, task.task_id)} <span class="small">${holdWords(link, task.task_id)}</span>`,
  )}`;
}

/** The other task of a link that holds this one. @param {JobPage} page @param {Schemas["LinkView"]} link @param {string} task */
export function holder(page, link, task) {
  return taskButton(page, link.to_task_id === task ? link.from_task_id : link.to_task_id);
}

/** How a link holds one of its tasks: its limit also holds back the first. @param {Schemas["LinkView"]} link @param {string} task */
export function holdWords(link, task) {
  return link.to_task_id === task
    ? linkWords(link)
    : `must follow within ${plain(link.max_lag_hours ?? "")} ${lagKind[link.lag_kind]}, so this one waits`;
}

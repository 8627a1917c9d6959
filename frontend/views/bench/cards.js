// @ts-check
// The bench's markup: the clock, a task that is next, an entry, what waits on the device.

import { dayWords, weekWords } from "../../components/roster-words.js";
import { toType } from "../../lib/bench.js";
import { attr, html } from "../../lib/html.js";
import { clockName, elapsed } from "./acts.js";

/** @import { HoursEntry, Schemas, TaskCard, Today } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { Write } from "../../lib/queue.js" */

/** @param {Today} today @param {Formats} formats */
export function clockPanel(today, formats) {
  const { clock, clock_task: card } = today;
  if (!clock) {
    return html`<section class="sheet clock" aria-labelledby="clock-h"><h2 id="clock-h">No clock runs</h2><p class="second">${today.minutes_today > 0 ? `${formats.minutes(today.minutes_today)} today so far.` : "Start the clock on the first task below."}</p></section>`;
  }
  return html`<section class="sheet clock runs" aria-labelledby="clock-h">
    <h2 id="clock-h">${clockName(clock)}</h2>
    <p class="elapsed" role="timer" aria-label="Time on this">${formats.minutes(elapsed(clock))}</p>
    <p class="second">${clock.job_number ? `Job ${clock.job_number}, ` : ""}since ${formats.time(clock.started_at)}</p>
    <div class="stack"><button type="button" class="act big" id="stop" data-act="stop">Stop the clock</button>${foundLink(clock.job_id, clock.task_id, card?.zone, clockName(clock))}</div>
  </section>`;
}

/** To report what was met on a task, or on a job. @param {string} job @param {string | undefined} task @param {string | undefined} zone @param {string} during */
function foundLink(job, task, zone, during) {
  const query = new URLSearchParams({ ...(task ? { task } : {}), ...(zone ? { zone } : {}) });
  return html`<a class="button big" href="/bench/report/${job}?${query}">Found something<span class="visually-hidden"> during ${during}</span></a>`;
}

/** @param {TaskCard} card @param {boolean} runs whether a clock runs @param {Formats} formats @param {"h2" | "h3"} [level] */
export function taskCard(card, runs, formats, level = "h3") {
  const blocked = card.blocks.length > 0;
  const shut = card.hold_point !== "" && !card.released;
  const heading = html`<span class="small">${card.code} · job ${card.job_number} · ${card.phase}</span><br>${card.name}`;
  return html`<li class="task-card ${card.driving ? "driving" : ""}">
    ${level === "h2" ? html`<h2>${heading}</h2>` : html`<h3>${heading}</h3>`}
    ${card.order_number ? html`<p class="state firm">From change order ${card.order_number}</p>` : ""}
    <p>${card.why}</p>
    ${card.blocks.map((b) => html`<p class="note stop"><strong>Not yet.</strong> ${b.detail}</p>`)}
    <p class="small">${[card.zone, card.station && `at ${card.station.replaceAll("_", " ")}`, `${formats.hours(card.to_go_hours)} to go of ${formats.hours(card.sold_hours)} sold`].filter(Boolean).join(" · ")}</p>
    ${shut && !blocked ? html`<p class="state stop">Hold point</p>` : ""} ${card.cautions.length > 0 ? html`<p class="state watch">${card.cautions.length === 1 ? "1 caution" : `${card.cautions.length} cautions`}</p>` : ""}
    <div class="row"><button type="button" class="big ${blocked || runs ? "" : "act"}" id="start-${card.task_id}" data-act="start" data-task="${card.task_id}" ${attr("disabled", blocked)}>${runs ? "Switch to this" : "Start"}<span class="visually-hidden">: ${card.name}</span></button>${foundLink(card.job_id, card.task_id, card.zone, card.name)}</div>
  </li>`;
}

/** @param {HoursEntry} entry @param {Formats} formats @param {boolean} [withDay] */
export function entryRow(entry, formats, withDay = false) {
  const gone = entry.corrected || entry.void;
  const span = `${formats.time(entry.started_at)} to ${entry.finished_at ? formats.time(entry.finished_at) : "now"}`;
  const words = html`${clockName(entry)}<br><span class="small">${withDay ? `${formats.day(formats.dayOf(entry.started_at))}, ` : ""}${span}${entry.corrected ? ", replaced by a correction" : ""}${entry.void ? ", voided" : ""}${entry.reason ? `: ${entry.reason}` : ""}</span>`;
  return html`<li class="row between entry">
    <span>${gone ? html`<s>${words}</s>` : words}</span>
    <span class="row"><span class="num">${entry.finished_at ? formats.minutes(entry.minutes) : "running"}</span>
    ${gone || !entry.finished_at ? "" : html`<button type="button" class="plain" id="correct-${entry.id}" data-act="correct" data-entry="${entry.id}">Correct<span class="visually-hidden"> ${clockName(entry)} ${span}</span></button>`}</span>
  </li>`;
}

/** When I am there, to read; the owner writes it. @param {Schemas["Roster"] | undefined} roster @param {Formats} formats */
export function ownHours(roster, formats) {
  const week = weekWords(roster);
  const days = dayWords(roster, formats.day);
  return html`<details id="own-hours"><summary>My hours and absences</summary>
    ${week.length > 0 ? html`<ul class="rows">${week.map((words) => html`<li>${words}</li>`)}</ul>` : html`<p>The shop's hours.</p>`}
    ${days.length > 0 ? html`<ul class="rows">${days.map((words) => html`<li>${words[0]?.toUpperCase()}${words.slice(1)}</li>`)}</ul>` : html`<p class="second">No absence is noted.</p>`}
    <p class="second">If this is wrong, tell the owner.</p></details>`;
}

/** What is on the device and not done. Photos are counted with what they show. @param {Write[]} writes @param {Formats} formats */
export function waitingPanel(writes, formats) {
  if (writes.length === 0) return html``;
  const own = new Set(writes.map((w) => w.key));
  const waiting = writes.filter((w) => w.state === "waiting" && !own.has(w.feeds ?? ""));
  const refused = writes.filter((w) => w.state === "refused");
  const photos = (/** @type {Write} */ write) => {
    const count = writes.filter((w) => w.feeds === write.key && w.state === "waiting").length;
    return count === 0 ? "" : count === 1 ? ", with a photo" : `, with ${count} photos`;
  };
  return html`<section class="sheet queue" aria-label="Kept on this device">
    ${waiting.length > 0 ? html`<p><strong>${waiting.length === 1 ? "One entry waits" : `${waiting.length} entries wait`} for the network.</strong> Each goes up once, by itself.</p><ul>${waiting.map((w) => html`<li>${w.label}${photos(w)}, ${formats.time(w.at)}</li>`)}</ul>` : ""}
    ${refused.map((w) => html`<div class="problem"><p><strong>Refused: ${w.label}, ${formats.instant(w.at)}.</strong> ${w.problem?.detail ?? ""} ${(w.problem?.errors ?? []).map((e) => e.detail).join("; ")}</p><p>${whatToDo(w)}</p><div class="row">${amend(w)}<button type="button" id="drop-${w.key}" data-act="drop" data-key="${w.key}">Put away<span class="visually-hidden">: ${w.label}</span></button></div></div>`)}
  </section>`;
}

/** What puts a refused write right. @param {Write} write */
function amend(write) {
  const of = html`<span class="visually-hidden">: ${write.label}</span>`;
  const to = againOf(write);
  if (to) return html`<a class="button" href="${to}">${write.feeds ? "Take it again" : "Change it"}${of}</a>`;
  if (!toType(write)) return "";
  return html`<button type="button" id="again-${write.key}" data-act="again" data-key="${write.key}">Type it in${of}</button>`;
}

/** Where a refused report is changed; a photo is taken anew and kept as seen. @param {Write} write */
export function againOf({ path, feeds, values, key }) {
  if (!path.startsWith("/api/jobs/")) return "";
  const seen = feeds || path.endsWith("/observations") ? "as=seen&" : "";
  return `/bench/report/${values?.["job"] ?? ""}?${seen}again=${key}`;
}

/** Nothing of a refused write was done. @param {Write} write */
export function whatToDo(write) {
  switch (write.path) {
    case "/api/bench/clock/start":
      return "The clock did not start. Start it again or type the hours in as they really were, then put this away.";
    case "/api/bench/clock/switch":
      return "The clock did not change over. Look at what runs below, and put right what went on it; then put this away.";
    case "/api/bench/clock/stop":
      return "This did not stop a clock. If one still runs below, stop it and correct its times; then put this away.";
    case "/api/bench/hours/{entry}/correction":
      return "The entry stands as it was. Correct it again under My hours, then put this away.";
    case "/api/jobs/{job}/photos":
      return "The rest goes up without this photo. Take it again and keep it under Seen on the frame, then put this away.";
    case "/api/jobs/{job}/findings":
    case "/api/jobs/{job}/observations":
      return "It was not kept. Change what is wrong and send it again, or put this away.";
    default:
      return "The entry was not kept. Type it in as it really was, or put this away.";
  }
}

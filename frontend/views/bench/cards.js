// @ts-check
// The bench's markup: the clock, a task that is next, an entry, what waits on the device.

import { dayWords, weekWords } from "../../components/roster-words.js";
import { instantNow, toType } from "../../lib/bench.js";
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
    ${card?.plan && !card.plan.mine && card.plan.with.length > 0 ? html`<p class="note watch">The plan gives this to ${card.plan.with.join(", ")} now. Your clock runs on and your hours count; agree who goes on with it.</p>` : ""}
    <div class="stack"><button type="button" class="act big" id="stop" data-act="stop">Stop the clock</button>${foundLink(clock.job_id, clock.task_id, card?.zone, clockName(clock))}</div>
  </section>`;
}

/** To report what was met on a task, or on a job. @param {string} job @param {string | undefined} task @param {string | undefined} zone @param {string} during */
function foundLink(job, task, zone, during) {
  const query = new URLSearchParams({ ...(task ? { task } : {}), ...(zone ? { zone } : {}) });
  return html`<a class="button big" href="/bench/report/${job}?${query}">Found something<span class="visually-hidden"> during ${during}</span></a>`;
}

/** What is next: by the agreed plan, or without one what is free. @param {Today} today @param {Formats} formats */
export function nextPanel(today, formats) {
  const { clock, next, plan, plan_note } = today;
  const runs = clock !== undefined;
  const heading = runs ? "Next after this" : "Next for you";
  const free = next.filter((c) => c.blocks.length === 0);
  const full = free.find((c) => c.plan?.ready !== false) ?? free[0] ?? next[0];
  const list = (/** @type {TaskCard[]} */ cards) =>
    html`<ul class="cards">${cards.map((c) => taskCard(c, runs, formats))}</ul>`;
  if (!plan) {
    const others = next.filter((c) => c !== next[0]);
    return html`<section aria-labelledby="next-h"><h2 id="next-h">${heading}</h2>
      ${plan_note ? html`<p class="second" id="by-plan">${plan_note}</p>` : ""}
      ${next.length > 0 ? list(next.slice(0, 1)) : html`<p class="empty">Nothing is free for you now. Look at <a href="/bench/tasks">all tasks</a> to see what each waits for, or start waiting below.</p>`}
      ${others.length > 0 ? html`<details id="others"><summary>${others.length === 1 ? "One more" : `${others.length} more`}</summary>${list(others)}</details>` : ""}
    </section>`;
  }
  const { others } = plan;
  return html`<section aria-labelledby="next-h"><h2 id="next-h">${heading}</h2>
    <p class="second" id="by-plan">By plan ${plan.revision} of all jobs${plan.decided_at ? `, agreed ${formats.weekDay(formats.dayOf(plan.decided_at))}` : ""}.</p>
    ${next.length === 0 ? html`<p class="empty">The plan gives you nothing${runs ? " else" : ""}. What is free stands below; <a href="/bench/tasks">all tasks</a> say what each waits for.</p>` : ""}
    <ol class="cards planned">${next.map((c) => (c === full ? taskCard(c, runs, formats) : plannedRow(c, runs, formats)))}</ol>
    ${others.length > 0 ? html`<details id="others" ${attr("open", !full || full.blocks.length > 0)}><summary>Free beside the plan: ${others.length}</summary>${list(others)}</details>` : ""}
  </section>`;
}

/** A task of the day in a line, to open. @param {TaskCard} card @param {boolean} runs @param {Formats} formats */
function plannedRow(card, runs, formats) {
  const waits = card.blocks.length > 0 || card.plan?.ready === false;
  const held = card.state === "in_work" ? "under way" : waits ? "waits" : "";
  const small = [`job ${card.job_number}`, card.station, card.plan?.late && "late", held]
    .filter(Boolean)
    .join(" · ");
  return html`<li><details id="plan-${card.task_id}"><summary><span>${card.plan ? html`<span class="num">${upper(plannedTime(card.plan, formats))}</span><br>` : ""}<strong>${card.name}</strong> <span class="small">${small}</span></span></summary>
    <ul class="cards">${taskCard(card, runs, formats)}</ul></details></li>`;
}

/** @param {string} words */
const upper = (words) => `${words[0]?.toUpperCase() ?? ""}${words.slice(1)}`;

/** "today, 08:00 to 12:00", "Mon 30 Nov, 14:00 to Tue 1 Dec, 10:00". @param {Schemas["CardPlan"]} plan @param {Formats} formats */
function plannedTime({ start, finish }, formats) {
  const today = formats.dayOf(instantNow());
  const [from, to] = [formats.dayOf(start), formats.dayOf(finish)];
  const day = (/** @type {string} */ d) => (d === today ? "today" : formats.weekDay(d));
  return `${day(from)}, ${formats.time(start)} to ${from === to ? "" : `${day(to)}, `}${formats.time(finish)}`;
}

/** @param {Schemas["CardPlan"]} plan @param {Formats} formats */
function planLines(plan, formats) {
  const { mine, late } = plan;
  const others = plan.with.join(", ");
  const when = plannedTime(plan, formats);
  const who = mine ? (others ? `, with ${others}` : "") : others ? `, given to ${others}` : "";
  return html`<p>${late ? html`<strong>Late.</strong> ` : ""}Planned ${when}${who}.</p>`;
}

/** @param {TaskCard} card @param {boolean} runs whether a clock runs @param {Formats} formats @param {"h2" | "h3"} [level] */
export function taskCard(card, runs, formats, level = "h3") {
  const blocked = card.blocks.length > 0;
  const shut = card.hold_point !== "" && !card.released;
  const heading = html`<span class="small">${card.code} · job ${card.job_number} · ${card.phase}</span><br>${card.name}`;
  return html`<li class="task-card ${card.driving ? "driving" : ""}">
    ${level === "h2" ? html`<h2>${heading}</h2>` : html`<h3>${heading}</h3>`}
    ${card.order_number ? html`<p class="state firm">From change order ${card.order_number}</p>` : ""}
    ${card.plan && card.state !== "finished" ? planLines(card.plan, formats) : ""}
    <p>${card.why}${card.plan?.why ? ` ${card.plan.why}` : ""}</p>
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

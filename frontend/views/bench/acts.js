// @ts-check
// What a technician does, each in a dialog with one decision: start, switch, stop, wait, type, correct.
// All go through the queue, so each works without a network.

import { dialog } from "../../components/bf-dialog.js";
import { say } from "../../components/bf-toast.js";
import { benchQueue, benchWrite, instantNow } from "../../lib/bench.js";
import { ApiProblem } from "../../lib/call.js";
import { decimal, field, text } from "../../lib/form.js";
import { attr, html } from "../../lib/html.js";
import { waitingCode, word } from "../../lib/words.js";

/** @import { HoursEntry, Schemas, TaskCard, Today } from "../../lib/contract.js" */
/** @import { Context } from "../../lib/router.js" */
/** @import { Write } from "../../lib/queue.js" */

/** Puts a write in the queue and says what became of it. @param {Context} context @param {ReturnType<typeof benchWrite>} write @param {string} done */
async function put(context, write, done) {
  const outcome = await benchQueue(context.me).add(write);
  if (outcome.state === "refused") throw withEntry(outcome.problem, context);
  say(outcome.state === "done" ? done : "No network: kept on this device, goes up by itself.");
}

/** A clock that runs already, on another device perhaps, is named. @param {ApiProblem} problem @param {Context} context */
function withEntry(problem, { formats }) {
  const [entry] = /** @type {HoursEntry[]} */ (Array.isArray(problem.evidence) ? problem.evidence : []);
  if (!entry || entry.finished_at) return problem;
  const name = clockName(entry);
  const detail = `${problem.detail} It has run since ${formats.instant(entry.started_at)}${name ? ` on ${name}` : ""}.`;
  return new ApiProblem({ ...problem, title: problem.title, detail });
}

/** @param {TaskCard} card */
function beforeStart(card) {
  return html`${card.hold_point ? html`<p class="note ${card.released ? "" : "stop"}"><strong>Hold point${card.released ? ", released" : ""}.</strong> ${card.hold_point}</p>` : ""}
    ${card.cautions.length > 0 ? html`<div class="note watch"><strong>Cautions</strong><ul>${card.cautions.map((c) => html`<li>${c.text}</li>`)}</ul>${card.cautions.some((c) => /local codes/i.test(c.text)) ? "" : html`<p class="small">Local codes, product data sheets and qualified persons come first.</p>`}</div>` : ""}
    ${card.note ? html`<p>${card.note}</p>` : ""}`;
}

/** What is left on the running task: asked at every stop. @param {Today} today */
function leftFields(today) {
  const { clock, clock_task: card } = today;
  if (!clock || clock.kind === "waiting") return html``;
  const guess = card ? quarter(Number(card.to_go_hours) - elapsed(clock) / 60) : "";
  return html`<div class="to-go">
      <button type="button" data-step="-0.5" aria-label="Half an hour less">−</button>
      ${field({ name: "hours_to_go", label: "Hours to go", value: guess, inputmode: "decimal", required: true, hint: card ? `Before this stretch it was ${card.to_go_hours} h.` : "Your own estimate of what is left." })}
      <button type="button" data-step="0.5" aria-label="Half an hour more">+</button>
    </div>
    ${field({ name: "done", label: "The task is finished", type: "checkbox" })}`;
}

/** Minutes since the clock started. @param {HoursEntry} clock */
export function elapsed(clock) {
  return Math.max(0, (Date.parse(instantNow()) - Date.parse(clock.started_at)) / 60_000);
}

/** @param {number} hours */
const quarter = (hours) => (Math.max(0, Math.round(hours * 4)) / 4).toFixed(2);

/** The half-hour buttons, and no hours left when finished. @param {HTMLFormElement} form */
function stepper(form) {
  const input = /** @type {HTMLInputElement | null} */ (form.elements.namedItem("hours_to_go"));
  const done = /** @type {HTMLInputElement | null} */ (form.elements.namedItem("done"));
  if (!input) return;
  for (const button of form.querySelectorAll("[data-step]")) {
    button.addEventListener("click", () => {
      const step = Number(/** @type {HTMLElement} */ (button).dataset["step"]);
      input.value = quarter((Number(input.value.replace(",", ".")) || 0) + step);
    });
  }
  done?.addEventListener("change", () => {
    if (done.checked) input.value = "0.00";
  });
}

/** @param {FormData} data @returns {Schemas["ClockStop"]} */
function stopBody(data) {
  const left = decimal(data, "hours_to_go");
  return {
    at: instantNow(),
    done: data.get("done") === "on",
    note: text(data, "note"),
    ...(left ? { hours_to_go: left } : {}),
  };
}

/** @param {string} [value] */
const noteField = (value = "") =>
  field({ name: "note", label: "Note (what is left, what to know)", type: "textarea", rows: 2, value });

/** Start on a task, or switch to it when a clock runs. @param {Context} context @param {Today} today @param {TaskCard} card */
export function startTask(context, today, card) {
  const runs = today.clock;
  const name = `${card.code} ${card.name}`;
  return dialog({
    title: runs ? `Switch to ${name}` : name,
    action: runs ? "Stop that, start this" : "Start the clock",
    signal: context.signal,
    body: html`${beforeStart(card)}${runs ? html`<fieldset><legend>Stopping: ${clockName(runs)}</legend>${leftFields(today)}${noteField()}</fieldset>` : ""}`,
    ready: stepper,
    submit: async (data) => {
      const start = { task_id: card.task_id };
      if (runs) {
        const stop = stopBody(data);
        const body = { stop, start: { ...start, at: stop.at } };
        await put(
          context,
          benchWrite("/api/bench/clock/switch", body, `Switch to ${name}`),
          `The clock runs on ${name}.`,
        );
      } else {
        const body = { ...start, at: instantNow() };
        await put(
          context,
          benchWrite("/api/bench/clock/start", body, `Start ${name}`),
          `The clock runs on ${name}.`,
        );
      }
    },
  });
}

/** @param {Context} context @param {Today} today */
export function stopClock(context, today) {
  const clock = /** @type {HoursEntry} */ (today.clock);
  return dialog({
    title: `Stop: ${clockName(clock)}`,
    action: "Stop the clock",
    signal: context.signal,
    body: html`${leftFields(today)}${noteField()}`,
    ready: stepper,
    submit: (data) =>
      put(
        context,
        benchWrite("/api/bench/clock/stop", stopBody(data), `Stop ${clockName(clock)}`),
        "The clock is stopped.",
      ),
  });
}

/** @param {Context} context @param {Today} today */
export function startWaiting(context, today) {
  const runs = today.clock;
  const jobs = today.jobs.map(
    (j) => /** @type {[string, string]} */ ([j.id, `Job ${j.number}, ${j.vehicle}`]),
  );
  return dialog({
    title: "Waiting",
    action: "Start waiting",
    signal: context.signal,
    body: html`<fieldset class="choices"><legend>What for</legend>${Object.entries(waitingCode).map(([key, name], index) => html`<label class="check"><input type="radio" name="waiting" value="${key}" required ${attr("checked", index === 0)}> <span>${name}</span></label>`)}</fieldset>
      ${field({ name: "job_id", label: "On which job", type: "select", options: jobs, value: runs?.job_id ?? "" })}
      ${runs ? html`<fieldset><legend>Stopping: ${clockName(runs)}</legend>${leftFields(today)}${noteField()}</fieldset>` : ""}`,
    ready: stepper,
    submit: async (data) => {
      const code = text(data, "waiting");
      const start = { waiting: code, job_id: text(data, "job_id"), at: instantNow() };
      const label = `Waiting: ${word(waitingCode, code)}`;
      if (!runs)
        return put(context, benchWrite("/api/bench/clock/start", start, label), "The clock runs on waiting.");
      const stop = stopBody(data);
      const body = { stop, start: { ...start, at: stop.at } };
      return put(context, benchWrite("/api/bench/clock/switch", body, label), "The clock runs on waiting.");
    },
  });
}

/** Type an entry with its start and finish; what is known of it already stands there. @param {Context} context @param {TaskCard[]} cards @param {Partial<Schemas["HoursLog"]>} [known] */
export function typeHours(context, cards, known = {}) {
  const { formats } = context;
  const day = formats.wall(instantNow()).slice(0, 10);
  const options = cards
    .filter((c) => c.blocks.length === 0)
    .map((c) => /** @type {[string, string]} */ ([c.task_id, `${c.job_number} · ${c.code} ${c.name}`]));
  // A task that takes no hours now is not silently another.
  if (known.task_id && options.every(([id]) => id !== known.task_id)) options.unshift(["", "Choose a task"]);
  return dialog({
    title: "Type hours",
    action: "Keep the entry",
    signal: context.signal,
    body: html`${field({ name: "task_id", label: "Task", type: "select", options, value: known.task_id ?? "", required: true })}
      <div class="fields">${field({ name: "started_at", label: "Start", type: "datetime-local", value: known.started_at ? formats.wall(known.started_at) : `${day}T07:30`, required: true })}
      ${field({ name: "finished_at", label: "Finish", type: "datetime-local", value: formats.wall(known.finished_at ?? instantNow()), required: true })}</div>
      ${field({ name: "hours_to_go", label: "Hours to go", value: known.hours_to_go ?? "", inputmode: "decimal", hint: "Your own estimate of what is left." })}
      ${field({ name: "done", label: "The task is finished", type: "checkbox", value: known.done ?? false })}${noteField(known.note)}`,
    submit: (data) => {
      const left = decimal(data, "hours_to_go");
      const body = {
        task_id: text(data, "task_id"),
        started_at: formats.instantOf(text(data, "started_at")),
        finished_at: formats.instantOf(text(data, "finished_at")),
        done: data.get("done") === "on",
        note: text(data, "note"),
        ...(left ? { hours_to_go: left } : {}),
      };
      const card = cards.find((c) => c.task_id === body.task_id);
      return put(
        context,
        benchWrite("/api/bench/hours", body, `Hours on ${card?.code ?? "a task"}`),
        "The entry is kept.",
      );
    },
  });
}

/** Correct an entry by a further one, or void it. @param {Context} context @param {HoursEntry} entry */
export function correct(context, entry) {
  const { formats } = context;
  return dialog({
    title: `Correct: ${clockName(entry)}`,
    action: "Keep the correction",
    signal: context.signal,
    body: html`<p>A further entry takes its place; the old one stays in the record.</p>
      <div class="fields">${field({ name: "started_at", label: "Start", type: "datetime-local", value: formats.wall(entry.started_at), required: true })}
      ${field({ name: "finished_at", label: "Finish", type: "datetime-local", value: formats.wall(entry.finished_at ?? instantNow()), required: true })}</div>
      ${field({ name: "void", label: "It should not be there at all", type: "checkbox" })}
      ${field({ name: "reason", label: "Why", type: "textarea", rows: 2, required: true, hint: "Three letters at least." })}`,
    submit: (data) => {
      const reason = text(data, "reason");
      const body =
        data.get("void") === "on"
          ? { void: true, reason }
          : {
              void: false,
              started_at: formats.instantOf(text(data, "started_at")),
              finished_at: formats.instantOf(text(data, "finished_at")),
              reason,
            };
      const write = benchWrite(
        "/api/bench/hours/{entry}/correction",
        body,
        `Correction of ${clockName(entry)}`,
        { entry: entry.id },
      );
      return put(context, write, "The correction is kept.");
    },
  });
}

/** @param {HoursEntry} entry */
export function clockName(entry) {
  if (entry.kind === "waiting") return `Waiting: ${word(waitingCode, entry.waiting_code ?? "")}`;
  return `${entry.task_code ?? ""} ${entry.task_name ?? ""}`.trim();
}

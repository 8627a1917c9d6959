// @ts-check
// The head of a job: title block, where it stands in a sentence, and the moves the owner may make.

import { dialog } from "../../components/bf-dialog.js";
import "../../components/bf-title-block.js";
import { choices, readForm, span } from "../../components/shop-form.js";
import { jobMove, promiseSentence, tone, vehicleName, wordOfOption } from "../../components/shop-words.js";
import { post, put } from "../../lib/call.js";
import { field, text } from "../../lib/form.js";
import { html, make, on, render } from "../../lib/html.js";
import { jobState, word } from "../../lib/words.js";

/** @import { JobPage, Schemas } from "../../lib/contract.js" */
/** @import { JobDesk, Conflict } from "./job-desk.js" */

/**
 * @param {HTMLElement} root
 * @param {JobDesk} desk
 * @returns {() => void} draws it again from the desk's page
 */
export function jobHead(root, desk) {
  const draw = () => render(root, markup(desk));
  draw();
  on(
    root,
    "click",
    "[data-move]",
    (button) => void move(desk, /** @type {Schemas["JobTarget"]} */ (button.dataset["move"])),
    desk.signal,
  );
  on(root, "click", "#change-job", () => void changeJob(desk), desk.signal);
  return draw;
}

/** @param {JobDesk} desk */
function markup({ page, formats }) {
  const { job, schedule, quotes } = page;
  const agreed = quotes.find((quote) => quote.state === "accepted") ?? quotes[0];
  const block = make("bf-title-block", {
    cells: {
      job: String(job.number),
      vehicle: [vehicleName(job.vehicle), job.vehicle.serial].filter(Boolean).join(", "),
      client: job.client.name,
      revision: agreed ? String(agreed.revision) : "",
      date: formats.day(formats.dayOf(job.created_at)),
      authorised: formats.money(job.authorised_amount, job.currency),
      promise: job.promise ? formats.day(job.promise) : "none yet",
      sheet: "1 of 1",
    },
  });
  const forecast = { promise: job.promise, ...schedule.forecast };
  return html`<div class="shop-head"><div>
      
      <h1>Job ${job.number}: ${job.title}</h1>
      <p><span class="state ${tone[job.state]}">${word(jobState, job.state)}</span>
        <span class="${forecast.late_days > 0 ? "tone-stop" : ""}">${promiseSentence(forecast, formats)}</span>
        <span class="second">(confidence not yet computed)</span></p>
      <p class="small">${options(page)}</p>
      ${job.rate_on ? html`<p class="small">In ${job.currency}, at ${job.exchange_rate} for one of the shop's own, the rate of ${formats.day(job.rate_on)}. It stays with this job.</p>` : ""}
      <p class="shop-actions no-print">
        <button type="button" id="change-job">Change the job</button>
        ${job.moves.map((to) => html`<button type="button" id="move-${to}" data-move="${to}">${jobMove[to]}</button>`)}
      </p></div>
    ${block}</div>`;
}

/** The options that change the work, in words. @param {JobPage} page */
function options(page) {
  return page.vehicle_options
    .map((option) => `${option.name}: ${wordOfOption(option, page.job.vehicle.options[option.key])}`)
    .join("; ");
}

/** @param {JobDesk} desk @param {Schemas["JobTarget"]} to */
async function move(desk, to) {
  const { version } = desk;
  const ends = to === "declined" || to === "cancelled" || to === "closed";
  /** @type {Conflict | undefined} */
  let conflict;
  await dialog({
    title: jobMove[to],
    body: html`<p>${ends ? "The job ends here; there is no button that brings it back." : "The reason goes into the job's trail."}</p>
      ${field({ form: "move", name: "reason", label: "Reason", type: "textarea", maxlength: 4000, required: ends })}`,
    action: jobMove[to],
    grave: ends,
    signal: desk.signal,
    submit: async (data) => {
      const body = { to, reason: text(data, "reason") };
      conflict = await desk.save({
        what: "State",
        version,
        send: (on) => post("/api/jobs/{job}/state", { path: { job: desk.id }, body, version: on }),
        mine: [["State", word(jobState, to)]],
        stored: (page) => [["State", word(jobState, page.job.state)]],
      });
    },
  });
  await desk.settle(conflict);
}

/** What the owner may write of a job. @param {JobPage} page @returns {Schemas["JobDraft"]} */
export function jobDraft({ job }) {
  /** @type {Schemas["JobDraft"]} */
  const draft = { title: job.title, vehicle: job.vehicle };
  if (job.not_before) draft.not_before = job.not_before;
  if (job.promise) draft.promise = job.promise;
  if (job.weight) draft.weight = job.weight;
  return draft;
}

/** A job's own values in words. @param {Schemas["JobDraft"]} job @returns {[string, string][]} */
export function jobRows(job) {
  return [
    ["Work", job.title],
    ["Vehicle", vehicleName(job.vehicle)],
    ["Serial", job.vehicle.serial],
    [
      "Options",
      Object.entries(job.vehicle.options)
        .sort()
        .map(([key, value]) => `${key} ${value}`)
        .join(", "),
    ],
    ["Earliest start", job.not_before ?? ""],
    ["Promise", job.promise ?? ""],
    ["Weight on the floor", String(job.weight ?? 5)],
  ];
}

/** @param {JobDesk} desk */
async function changeJob(desk) {
  const { page, version } = desk;
  const { job } = page;
  const f = { form: "job" };
  /** @type {Conflict | undefined} */
  let conflict;
  await dialog({
    title: "Change the job",
    body: html`<div class="shop-form">
      ${field({ ...f, name: "title", label: "Work", value: job.title, required: true, maxlength: 160 })}
      ${span(4, field({ ...f, name: "vehicle/make", label: "Make", value: job.vehicle.make, required: true, maxlength: 160 }))}
      ${span(6, field({ ...f, name: "vehicle/model", label: "Model", value: job.vehicle.model, required: true, maxlength: 160 }))}
      ${span(2, field({ ...f, name: "vehicle/year", label: "Year", value: job.vehicle.year, required: true, inputmode: "numeric" }))}
      ${span(6, field({ ...f, name: "vehicle/serial", label: "Serial number", value: job.vehicle.serial, maxlength: 160 }))}
      ${page.vehicle_options.map((option) =>
        span(
          6,
          field({
            ...f,
            name: `vehicle/options/${option.key}`,
            label: option.name,
            type: "select",
            value: job.vehicle.options[option.key] ?? "",
            options: choices(Object.fromEntries(option.choices.map((c) => [c.key, c.name]))),
          }),
        ),
      )}
      ${span(6, field({ ...f, name: "not_before", label: "Earliest start", type: "date", value: job.not_before ?? "" }))}
      ${span(6, field({ ...f, name: "promise", label: "Promise", type: "date", value: job.promise ?? "" }))}
      ${span(6, field({ ...f, name: "weight", label: "Weight on the floor", value: job.weight ?? 5, inputmode: "numeric", required: true, hint: "1 to 9: how much a late day of this car matters beside the others. 5 is ordinary." }))}
    </div>`,
    action: "Save the job",
    signal: desk.signal,
    submit: async (_, form) => {
      const body = /** @type {Schemas["JobDraft"]} */ (
        readForm(form, { optional: ["not_before", "promise"] })
      );
      body.vehicle.options = { ...job.vehicle.options, ...body.vehicle.options };
      conflict = await desk.save({
        what: "Job",
        version,
        send: (on) => put("/api/jobs/{job}", { path: { job: desk.id }, body, version: on }),
        mine: jobRows(body),
        stored: (now) => jobRows(jobDraft(now)),
      });
    },
  });
  await desk.settle(conflict);
}

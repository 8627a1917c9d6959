// @ts-check
// All jobs, promises at risk first.

import { showProblem } from "../../components/bf-problem.js";
import { promiseSentence, tone } from "../../components/shop-words.js";
import { get } from "../../lib/call.js";
import { attr, html, on, render } from "../../lib/html.js";
import { jobState, word } from "../../lib/words.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { View } from "../../lib/router.js" */

/** @typedef {Schemas["JobSummary"]} Job */

/** @type {View} */
export default async function view(root, _params, { signal, formats, changed, query, navigate }) {
  let state = query.get("state") ?? "";
  const list = document.createElement("div");
  render(
    root,
    html`<div class="row between"><h1>Jobs</h1><span class="shop-actions"><button type="button" id="read-job-file">Read a job file…</button><a class="button act" href="/shop/jobs/new">New job</a></span></div>
    <div class="field shop-filter no-print"><label for="state-filter">Show</label><select id="state-filter">
      <option value="">All states</option>${Object.entries(jobState).map(([key, name]) => html`<option value="${key}" ${attr("selected", key === state)}>${name}</option>`)}</select></div>
    ${list}`,
  );
  const refresh = async () => {
    try {
      render(list, jobList(await allJobs(state, signal), state, formats));
    } catch (error) {
      if (!signal.aborted) showProblem(list, error);
    }
  };
  on(
    root,
    "change",
    "#state-filter",
    (select) => {
      state = /** @type {HTMLSelectElement} */ (select).value;
      history.replaceState(null, "", state ? `?state=${state}` : location.pathname);
      void refresh();
    },
    signal,
  );
  on(
    root,
    "click",
    "#read-job-file",
    () =>
      void import("./job-file.js").then(async ({ readJobFile }) => {
        const made = await readJobFile(formats, signal);
        if (made) navigate(`/shop/jobs/${made}`);
      }),
    signal,
  );
  changed(() => void refresh());
  await refresh();
}

/**
 * Every page of jobs, since what is at risk may stand on any of them.
 * @param {string} state @param {AbortSignal} signal
 */
async function allJobs(state, signal) {
  /** @type {Job[]} */
  const jobs = [];
  let cursor = "";
  do {
    const query = {
      limit: 200,
      cursor,
      ...(state ? { state: /** @type {Schemas["JobState"]} */ (state) } : {}),
    };
    const page = await get("/api/jobs", { query, signal });
    jobs.push(...page.items);
    cursor = page.next_cursor;
  } while (cursor);
  return jobs.sort(byRisk);
}

/** The most working days past its promise first, then work in hand, then the newest. @param {Job} a @param {Job} b */
function byRisk(a, b) {
  const ended = (/** @type {Job} */ job) => Number(["closed", "declined", "cancelled"].includes(job.state));
  return ended(a) - ended(b) || b.late_days - a.late_days || b.number - a.number;
}

/** @param {Job[]} jobs @param {string} state @param {Formats} formats */
function jobList(jobs, state, formats) {
  if (jobs.length === 0 && state)
    return html`<p class="empty">No job is ${word(jobState, state).toLowerCase()}. Choose another state above.</p>`;
  if (jobs.length === 0)
    return html`<div class="empty"><p>No jobs yet. First look through the <a href="/shop/price-book">price book</a> and the <a href="/shop/calendar">calendar</a> and put your own figures in; then make the first job from a template.</p>
      <p><a class="button act" href="/shop/jobs/new">Make the first job</a></p></div>`;
  const late = jobs.filter((job) => job.late_days > 0).length;
  return html`<p>${late === 0 ? "No promise is at risk." : html`<strong class="tone-stop">${late} of ${jobs.length} past the promise.</strong> They stand first.`}</p>
    <div class="shop-scroll" tabindex="0" role="region" aria-label="Jobs"><table class="shop-list shop-stack">
    <thead><tr><th scope="col">Job</th><th scope="col">Vehicle</th><th scope="col">Client</th><th scope="col">State</th><th scope="col">Phase now</th><th scope="col" class="num">Done</th><th scope="col" class="num">Estimate</th><th scope="col" class="num">Authorised</th><th scope="col">Promise</th></tr></thead>
    <tbody>${jobs.map((job) => row(job, formats))}</tbody></table></div>`;
}

/** @param {Job} job @param {Formats} formats */
function row(job, formats) {
  return html`<tr ${attr("data-late", job.late_days > 0)}>
    <th scope="row" data-label="Job"><a class="shop-rowlink" href="/shop/jobs/${job.id}"><span>${job.number} <span class="visually-hidden">${job.title}, </span></span></a></th>
    <td data-label="Vehicle"><a class="shop-rowlink" href="/shop/jobs/${job.id}" tabindex="-1" aria-hidden="true">${job.vehicle}</a><span class="visually-hidden">${job.vehicle}</span></td>
    <td data-label="Client">${job.client.name}</td>
    <td data-label="State"><span class="state ${tone[job.state]}">${word(jobState, job.state)}</span></td>
    <td data-label="Phase now">${job.phase_now ?? "none"}</td>
    <td data-label="Done" class="num">${job.percent_done} %</td>
    <td data-label="Estimate" class="num">${formats.money(job.estimate_total, job.currency)}</td>
    <td data-label="Authorised" class="num">${formats.money(job.authorised_amount, job.currency)}</td>
    <td data-label="Promise"><span class="${job.late_days > 0 ? "tone-stop" : ""}">${promiseSentence(job, formats)}</span></td></tr>`;
}

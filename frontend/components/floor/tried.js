// @ts-check
// What was tried: the answer beside the plan that holds with what may become of it, what was saved, and what one more
// of each would save.

import { field } from "../../lib/form.js";
import { html } from "../../lib/html.js";
import { cannot, sideBySide } from "./promises.js";
import { movedSentence } from "./words.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @typedef {Schemas["Trial"]} Trial */

/** How late all promises are together. @param {Trial} trial @param {Formats} formats */
function lateness({ late_before, late_after }, formats) {
  if (late_before === late_after) return "All late time together stays as it is.";
  const by = formats.minutes(Math.abs(late_after - late_before));
  return `All late time together, each job by its weight: ${by} ${late_after < late_before ? "less" : "more"}.`;
}

/** @param {{ trial: Trial | undefined, formats: Formats }} what */
export function answer({ trial, formats }) {
  if (!trial) return html``;
  return html`<h2 id="tried-head" tabindex="-1">What it would do</h2>
    <ul class="floor-changes">${trial.words.map((w) => html`<li>${w}</li>`)}</ul>
    <p class="effect-said" role="status">${movedSentence(trial.jobs)}</p>
    ${trial.current ? "" : html`<p class="note watch">The floor has changed since this was tried. Try it again to see it on today's floor.</p>`}
    ${cannot(trial.unplaced)}
    ${sideBySide({ jobs: trial.jobs, formats, column: "Then", caption: "Every promise beside the plan that holds, what moves most first" })}
    <p class="second">${trial.jobs.some((j) => j.unsure) ? "" : lateness(trial, formats)} Days are working days.</p>
    ${trial.current ? deciding(trial) : html`<p class="shop-actions no-print"><button type="button" class="act" data-act="again">Try it again</button><button type="button" data-act="drop">${trial.name ? "Forget it" : "Put back"}</button></p>`}`;
}

/** @param {Trial} trial */
function deciding({ real, name }) {
  const back = html`<button type="button" data-act="drop">${name ? "Forget it" : "Put back"}</button>`;
  return html`${
    real
      ? html`<p class="shop-actions no-print"><button type="button" class="act" data-act="adopt">Make it so</button>${back}<span class="second">Then it is the shop's plan, and clients see its dates.</span></p>`
      : html`<p class="second">Somebody who is not there yet and what comes late cannot be decided on here; save it to speak about it later.</p>`
  }${
    name
      ? html`<p class="shop-actions no-print"><span>Saved as <strong>${name}</strong>.</span>${real ? "" : back}</p>`
      : html`<form id="save-form" class="row no-print">${field({ form: "save", name: "name", label: "Save it under the name", required: true, maxlength: 120 })}<button type="submit">Save</button>${real ? "" : back}</form>`
  }`;
}

/** @param {Trial[]} trials @param {Formats} formats */
export function savedList(trials, formats) {
  if (trials.length === 0)
    return html`<p class="empty">Nothing saved yet. Try something above and save it under a name, to speak about it later.</p>`;
  return html`<ul class="shop-plain">${trials.map(
    (t) =>
      html`<li class="row between"><span><strong>${t.name}</strong> <span class="small">${t.made_by}, ${formats.instant(t.made_at)}${t.current ? "" : "; the floor has changed since"}</span><br>${movedSentence(t.jobs)}</span><span class="row"><button type="button" id="show-${t.id}" data-act="show" data-trial="${t.id}">Show<span class="visually-hidden"> ${t.name}</span></button><button type="button" data-act="forget" data-trial="${t.id}">Forget<span class="visually-hidden"> ${t.name}</span></button></span></li>`,
  )}</ul>`;
}

/** What would save nothing is one sentence. @param {Schemas["Relief"][]} items */
export function reliefTable(items) {
  if (items.length === 0) return html`<p class="empty">There are no stations and no skills to add to.</p>`;
  const days = (/** @type {string} */ d) => d.replace("-", "−");
  const some = items.filter((r) => r.jobs.length > 0 || r.places > 0);
  const none = items.filter((r) => !some.includes(r));
  return html`${
    some.length > 0
      ? html`<div class="shop-scroll" tabindex="0" role="region" aria-label="What one more would save"><table class="shop-list shop-stack"><caption>One more of each, by itself. Calendar days; with a minus where a job would finish later.</caption>
    <thead><tr><th scope="col">One more</th><th scope="col" class="num">Days saved over all jobs</th><th scope="col">Which jobs</th><th scope="col">In words</th></tr></thead>
    <tbody>${some.map(
      (r) =>
        html`<tr><th scope="row" data-label="One more">${r.name} <span class="small">${r.station ? "place at the station" : "person with the skill"}</span></th><td class="num" data-label="Days saved over all jobs">${r.places > 0 ? "–" : days(r.days_saved)}</td><td data-label="Which jobs">${r.jobs.map((j) => `job ${j.number}: ${days(j.days)}`).join(", ") || "–"}</td><td data-label="In words">${r.words}</td></tr>`,
    )}</tbody></table></div>`
      : ""
  }${none.length > 0 ? html`<p>One more of these would save nothing: ${none.map((r) => r.name).join(", ")}.</p>` : ""}`;
}

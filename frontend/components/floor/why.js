// @ts-check
// One task of the picture: why it stands where it stands, and what may be done about it.

import { field } from "../../lib/form.js";
import { html } from "../../lib/html.js";
import { taskKind, word } from "../../lib/words.js";
import { movable, progress, whereWords, whoWords } from "./words.js";

/** @import { Formats } from "../../lib/format.js" */
/** @import { Bar } from "./rows.js" */
/** @import { Floor } from "./words.js" */

/**
 * @param {{ floor: Floor, bar: Bar | undefined, formats: Formats, owner: boolean }} what
 */
export function whyHere({ floor, bar, formats, owner }) {
  if (!bar)
    return html`<h2 id="why-head">Why here</h2><p class="empty">Pick a task in the picture: when it runs, who does it, what it waited for, and since when it could have started.</p>`;
  const job = floor.plan?.jobs.find((j) => j.job_id === bar.job_id);
  return html`<h2 id="why-head">Why here: job ${job?.number ?? ""}, ${bar.code} ${bar.name}</h2>
    <p class="lead">${bar.why}</p>
    <dl class="floor-facts">
      <div><dt>When</dt><dd>${formats.instant(bar.start)} to ${formats.instant(bar.finish)}</dd></div>
      <div><dt>Who</dt><dd>${whoWords(floor, bar)}</dd></div>
      <div><dt>Where</dt><dd>${whereWords(floor, bar)}</dd></div>
      <div><dt>State</dt><dd>${word(taskKind, bar.kind)}, ${word(progress, bar.progress)}${bar.driving ? html`, <strong>drives the finish of its job</strong>` : ""}</dd></div>
      ${bar.ready ? html`<div><dt>Ready since</dt><dd>${formats.instant(bar.ready)}</dd></div>` : ""}
      <div><dt>Waited</dt><dd>${bar.waited_minutes > 0 ? `${formats.minutes(bar.waited_minutes)} of working time` : "not at all"}</dd></div>
    </dl>
    ${owner && movable(bar) ? acts(floor, bar, formats) : ""}`;
}

/** @param {Floor} floor @param {Bar} bar @param {Formats} formats */
function acts(floor, bar, formats) {
  const f = { form: "why" };
  const soonest = formats.wall(floor.now);
  return html`<div class="no-print floor-acts">
    ${bar.pinned ? html`<p>Somebody decided on this start. <button type="button" id="unpin" data-act="unpin">Let the plan decide again</button></p>` : ""}
    <form id="move-form" class="row">${field({ ...f, name: "at", label: "Another start", type: "datetime-local", value: formats.wall(bar.start), min: soonest, required: true })}<button type="submit" class="act">Try this start</button></form>
    <form id="later-form" class="row">${field({ ...f, name: "day", label: "Not before the day", type: "date", value: formats.dayOf(bar.start), min: formats.dayOf(floor.now), required: true })}<button type="submit">Try not before</button></form>
    <p class="second">You see what it does to every promise before anything is kept.</p></div>`;
}

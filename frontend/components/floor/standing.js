// @ts-check
// The top of the floor: where the plan stands in a sentence, how far a plan that is being made has come, and a
// proposal with what moves for each promise; and the places of everything below.

import "../bf-progress.js";
import { html, make } from "../../lib/html.js";
import { sideBySide } from "./promises.js";
import { making, standing } from "./words.js";

/** @import { Formats } from "../../lib/format.js" */
/** @import { Floor } from "./words.js" */

/** @param {HTMLElement} picture @param {boolean} owner */
export function skeleton(picture, owner) {
  return html`<div class="row between"><h1>Floor</h1>${owner ? html`<button type="button" class="act no-print" data-act="plan" id="plan-again">Plan again</button>` : ""}</div>
    <section class="sheet" id="floor-standing" aria-label="Where the plan stands"></section>
    <section id="floor-promises" aria-label="Promises"></section>
    <section id="floor-drawn" aria-label="The picture"><h2>The next weeks</h2>${picture}</section>
    <div class="floor-ask">
      <section class="sheet" id="floor-why" aria-live="polite" aria-labelledby="why-head"></section>
      ${
        owner
          ? html`<div class="stack"><section class="sheet no-print" aria-labelledby="if-head"><h2 id="if-head">What if</h2><p class="second">Every promise is set beside the plan that holds. Nothing changes before you say so.</p><div id="floor-if"></div></section>
      <section class="sheet" aria-labelledby="saved-head"><h2 id="saved-head">Saved</h2><div id="floor-saved"></div></section></div>
      <section class="sheet floor-tried" id="floor-tried" aria-label="What it would do" hidden></section>
      
      <section class="sheet floor-relief" aria-labelledby="relief-head"><h2 id="relief-head">What one more would save</h2><p class="second">For each station and each skill: the floor planned again with one more of it.</p><p class="shop-actions no-print"><button type="button" id="ask-relief" data-act="relief">Work it out</button></p><div id="floor-relief"></div></section>
      <section class="sheet no-print" aria-labelledby="calendars-head"><details class="shop-fold"><summary><h2 id="calendars-head">In calendars</h2></summary><p class="second">By a private address a calendar shows what the agreed plan holds for a person, a station or a job. It names no client and no price.</p><div id="floor-calendars"></div></details></section>`
          : html`<p class="no-print"><a href="/account">My work in my calendar</a></p>`
      }
    </div>`;
}

/** @param {Floor} floor @param {Formats} formats @param {boolean} owner */
export function standingPart(floor, formats, owner) {
  const { run, proposed } = floor;
  const busy = making(run);
  return html`<p class="lead" role="status">${standing(floor, formats, owner)}</p>
    ${floor.plan || busy || !owner ? "" : html`<p>It counts <a href="/shop/people">who can do what, and when</a>, the <a href="/shop/settings">stations</a> and the <a href="/shop/calendar">shop's hours</a>. Cars come from <a href="/shop">Jobs</a>.</p>`}
    ${busy && run ? html`<div class="floor-run">${make("bf-progress", { label: "Orders of work tried", percent: run.of_schedules > 0 ? Math.round((100 * run.schedules) / run.of_schedules) : 0 })}${owner ? html`<button type="button" id="stop-plan" data-act="stop">Stop</button>` : ""}</div>` : ""}
    ${run && !busy && (run.state === "failed" || run.state === "cancelled") ? html`<p class="note ${run.state === "failed" ? "stop" : "watch"}">${run.note}</p>` : ""}
    ${
      proposed
        ? html`<p class="second">${proposed.cause}</p>${sideBySide({ jobs: proposed.jobs, formats, column: "Proposed", caption: "What moves for each promise" })}
      ${owner ? html`<p class="shop-actions no-print"><button type="button" class="act" id="agree-plan" data-act="agree">Agree to it</button><button type="button" id="drop-plan" data-act="refuse">Drop it</button></p>` : ""}`
        : ""
    }`;
}

// @ts-check
// Where it stands, as a small drawing: the phases along one rail, each inked as far as it is done. Dashed:
// not begun, so its dates are not firm yet.

import { html } from "../../lib/html.js";

/** @import { ClientJob } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

const rowHeight = 48;

/** @param {ClientJob} job @param {Formats} formats */
export function drawing(job, formats) {
  const height = job.phases.length * rowHeight + 8;
  return html`<figure class="stands">
    <svg class="stands-svg" viewBox="0 0 360 ${height}" role="img" aria-label="${words(job)}">
      <line class="stands-rail" x1="8" x2="8" y1="4" y2="${height - 4}"></line>
      ${job.phases.map((phase, index) => {
        const y = index * rowHeight + 6;
        const firm = phase.state !== "open";
        const dates =
          phase.start && phase.finish
            ? `${formats.shortDay(phase.start)} to ${formats.shortDay(phase.finish)}`
            : "no dates yet";
        return html`<g>
          <line class="stands-rail" x1="8" x2="20" y1="${y + 28}" y2="${y + 28}"></line>
          <text x="22" y="${y + 14}">${phase.name}</text>
          <text class="second" x="352" y="${y + 14}" text-anchor="end">${firm ? "" : "about "}${dates}</text>
          <rect class="stands-done" x="20" y="${y + 21}" width="${(332 * phase.percent_done) / 100}" height="14"></rect>
          <rect class="stands-open ${firm ? "" : "hidden-line"}" x="20" y="${y + 21}" width="332" height="14"></rect>
        </g>`;
      })}
    </svg>
    <figcaption class="small">Inked: done. Dashed: not begun, its dates are not firm yet.</figcaption>
  </figure>
  <details id="phases-table"><summary>The same as a table</summary><div class="scroll"><table>
    <thead><tr><th scope="col">Phase</th><th scope="col">Done</th><th scope="col">From</th><th scope="col">To</th></tr></thead>
    <tbody>${job.phases.map((p) => html`<tr><th scope="row">${p.name}</th><td>${p.percent_done} %</td><td>${formats.day(p.start)}</td><td>${formats.day(p.finish)}</td></tr>`)}</tbody>
  </table></div></details>`;
}

/** @param {ClientJob} job */
function words(job) {
  return job.phases
    .map((p) => `${p.name}: ${p.state === "open" ? "not begun" : `${p.percent_done} % done`}`)
    .join("; ");
}

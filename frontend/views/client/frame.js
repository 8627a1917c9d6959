// @ts-check
// The frame: what was thought and what was found, as a drawing and a table; the findings with their photos
// and what became of each.

import "../../components/frame/bf-frame.js";
import "../../components/frame/bf-frame-pair.js";
import { badgesOf, conditionsAt, moments } from "../../components/frame/seen.js";
import { gradeWord } from "../../components/frame/words.js";
import { live } from "../../components/live.js";
import { photos } from "../../components/photos.js";
import { get } from "../../lib/call.js";
import { html, make, render } from "../../lib/html.js";
import { moment, word } from "../../lib/words.js";
import { enlarges, finding } from "./found.js";
import { page } from "./page.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @typedef {Schemas["ClientFrame"]} ClientFrame */

/** @type {import("../../lib/router.js").View} */
export default async function view(root, params, context) {
  const { signal, formats } = context;
  const job = params["job"] ?? "";
  const place = page(root, job, "The frame");
  const [single, pair] = [
    make("bf-frame", { length: formats.length }),
    make("bf-frame-pair", { length: formats.length }),
  ];
  const [said, drawn, zone, found] = ["p", "section", "div", "div"].map((tag) => document.createElement(tag));
  if (!said || !drawn || !zone || !found) return;
  drawn.className = "sheet";
  drawn.append(single, pair);
  render(
    place,
    html`${said}${drawn}${zone}${found}<p class="no-print"><a href="/api/client/jobs/${job}/inspection-report?as=pdf" target="_blank" rel="noopener">Inspection report to keep, with photos (PDF, new tab)</a></p>`,
  );
  let picked = "";
  /** @param {ClientFrame} frame */
  const draw = (frame) => {
    const { zones, observations, findings } = frame;
    drawn.hidden = zones.length === 0;
    const later = observations.filter((o) => o.moment !== moments[0]);
    const two = later.length > 0 && later.length < observations.length;
    const badges = badgesOf(findings);
    const common = { zones, selected: picked };
    const last = conditionsAt(observations, "", formats.length);
    Object.assign(single, { ...common, hidden: two, conditions: last, badges, label: "Frame as last seen" });
    Object.assign(pair, {
      ...common,
      hidden: !two,
      thought: {
        name: word(moment, moments[0] ?? ""),
        conditions: conditionsAt(observations, moments[0] ?? "", formats.length),
      },
      found: { name: "As last seen", conditions: last, badges },
    });
    said.textContent = summary(frame);
    said.className = drawn.hidden ? "empty" : "sentence";
    render(zone, onZone(frame, picked, formats));
    render(found, list(findings, formats));
  };
  const reading = await live({
    job,
    context,
    place: root,
    read: () => get("/api/client/jobs/{job}/frame", { path: { job }, signal }),
    draw,
  });
  drawn.addEventListener(
    "pick",
    (event) => {
      picked = /** @type {CustomEvent<string>} */ (event).detail;
      if (reading.now) render(zone, onZone(reading.now, picked, formats));
    },
    { signal },
  );
  enlarges(root, signal);
}

/** @param {ClientFrame} frame */
function summary({ zones, observations, findings }) {
  if (zones.length === 0)
    return "The frame is not laid out yet. Once the shop has looked at it, it is drawn here zone by zone.";
  const graded = new Set(observations.filter((o) => o.condition !== "hidden").map((o) => o.zone_id)).size;
  const wait = findings.filter((f) => f.state === "sent").length;
  const count = findings.length === 1 ? "One finding" : `${findings.length || "No"} findings`;
  return `${count} so far${wait > 0 ? `, ${wait === 1 ? "one of them waits" : `${wait} of them wait`} for your decision` : ""}; ${graded} of ${zones.length} zones graded.`;
}

/** @param {ClientFrame} frame @param {string} id @param {Formats} formats */
function onZone({ zones, observations }, id, formats) {
  const zone = zones.find((z) => z.id === id);
  if (!zone) return html``;
  const seen = observations.filter((o) => o.zone_id === id);
  return html`<section class="sheet" aria-labelledby="zone-h"><h2 id="zone-h">${zone.name}</h2>${seen.length === 0 ? html`<p class="second">Nothing is kept of this zone yet.</p>` : html`<ul class="rows">${seen.map((o) => html`<li><p><strong>${word(moment, o.moment)}: ${word(gradeWord, o.condition)}</strong> <span class="small">${formats.day(formats.dayOf(o.at))}</span></p>${o.note ? html`<p class="terms">${o.note}</p>` : ""}${photos(o.photos, `${zone.name}, ${word(moment, o.moment)}`)}</li>`)}</ul>`}</section>`;
}

/** @param {Schemas["ClientFinding"][]} findings @param {Formats} formats */
function list(findings, formats) {
  if (findings.length === 0) return html``;
  return html`<section class="sheet" aria-labelledby="found-h"><h2 id="found-h">What was found</h2><ul class="rows">${findings.map((f) => finding(f, formats, true))}</ul></section>`;
}

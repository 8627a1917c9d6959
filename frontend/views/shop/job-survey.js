// @ts-check
// The survey of a job: the frame in plan, what was seen on each zone at each moment of the work, and two
// moments side by side.

import "../../components/frame/bf-frame.js";
import "../../components/frame/bf-frame-pair.js";
import { badgesOf, conditionsAt, moments, sizeWord } from "../../components/frame/seen.js";
import { gradeWord, hiddenWord, sectionWord } from "../../components/frame/words.js";
import { live } from "../../components/live.js";
import { photos } from "../../components/photos.js";
import { choices } from "../../components/shop-form.js";
import { counted, tone } from "../../components/shop-words.js";
import { get } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { attr, html, make, on, render } from "../../lib/html.js";
import { findingState, findingWhat, moment, word } from "../../lib/words.js";
import { reportFinding } from "./finding-sheets.js";
import { addObservation, voidObservation } from "./observation-sheets.js";
import { moveItem } from "./takeoff-moves.js";
import { addZone, changeZone, chooseLayout } from "./zone-sheets.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @typedef {Schemas["Frame"]} Frame */

/** Where the frame of a job stands for the sheets: what it is, and how an answer is shown. @typedef {{ desk: JobDesk, frame: Frame, take: (frame: Frame) => void, again: () => Promise<void>, tell: () => Promise<void> }} Survey */

/** What the owner looks at; kept while the page of the job is open. */
const view = { zone: "", at: "", beside: "" };

/** @param {HTMLElement} root @param {JobDesk} desk @returns {Promise<(own: boolean) => void>} */
export async function survey(root, desk) {
  const { signal, formats } = desk;
  const frame = make("bf-frame", { length: formats.length });
  const pair = make("bf-frame-pair", { length: formats.length });
  const head = document.createElement("div");
  const zone = document.createElement("div");
  const drawn = html`<div class="columns survey"><div class="sheet">${frame}${pair}</div>${zone}</div>`;
  const body = document.createElement("div");
  const note = document.createElement("div");
  note.setAttribute("role", "status");
  render(root, html`<div class="stack"><h2 class="visually-hidden">Survey</h2>${head}${note}${body}</div>`);
  const tell = await toldMoves(desk, note);
  render(body, drawn);
  /** @param {Frame} data */
  const draw = (data) => {
    body.hidden = data.zones.length === 0;
    if (!data.zones.some((z) => z.id === view.zone)) view.zone = "";
    render(head, body.hidden ? empty() : tools(data, desk.id));
    const badges = badgesOf(data.findings);
    const shown = (/** @type {string} */ at) => ({
      name: at ? word(moment, at) : "As last seen",
      conditions: conditionsAt(data.observations, at, formats.length),
      badges,
    });
    const first = shown(view.at);
    const common = { zones: data.zones, selected: view.zone };
    const both = view.beside !== "" && view.beside !== view.at;
    Object.assign(frame, {
      ...common,
      conditions: first.conditions,
      badges,
      label: first.name,
      hidden: both,
    });
    Object.assign(pair, { ...common, thought: first, found: shown(view.beside), hidden: !both });
    render(zone, zonePanel(data, desk));
  };
  const reading = await live({
    job: desk.id,
    context: desk.context,
    place: root,
    read: () => get("/api/jobs/{job}/frame", { path: { job: desk.id }, signal }),
    draw,
  });
  /** @returns {Survey} */
  const here = () => ({
    desk,
    frame: /** @type {Frame} */ (reading.now),
    take: reading.take,
    again: reading.again,
    tell,
  });
  const redraw = () => reading.now && draw(reading.now);
  for (const each of [frame, pair])
    each.addEventListener(
      "pick",
      (event) => {
        view.zone = /** @type {CustomEvent<string>} */ (event).detail;
        redraw();
      },
      { signal },
    );
  on(
    head,
    "change",
    "select",
    (select) => {
      const { name, value } = /** @type {HTMLSelectElement} */ (select);
      if (name === "at" || name === "beside") view[name] = value;
      redraw();
    },
    signal,
  );
  on(root, "click", "[data-do]", (button) => void act(here(), button), signal);
  return () => undefined;
}

/**
 * Says what an act on the frame moved in the estimate, with the way to the takeoff.
 * @param {JobDesk} desk @param {HTMLElement} place
 */
async function toldMoves(desk, place) {
  const { id, formats, signal } = desk;
  const newest = async () =>
    (await get("/api/jobs/{job}/takeoff/moves", { path: { job: id }, query: { limit: 1 }, signal })).items[0];
  let told = (await newest())?.id;
  return async () => {
    const move = await newest();
    if (!move || move.id === told) return;
    told = move.id;
    render(
      place,
      html`<section class="sheet" id="moved"><h3>What that moved</h3><ul class="shop-plain">${moveItem(move, formats)}</ul><p><a href="/shop/jobs/${id}/takeoff">To the takeoff</a></p></section>`,
    );
    await desk.refresh();
  };
}

/** @param {Survey} here @param {HTMLElement} button */
function act(here, button) {
  const zone = here.frame.zones.find((each) => each.id === view.zone);
  switch (button.dataset["do"]) {
    case "layout":
      return chooseLayout(here);
    case "add-zone":
      return addZone(here, zone);
    case "change-zone":
      return zone && changeZone(here, zone);
    case "observe":
      return zone && addObservation(here, zone, view.at || view.beside);
    case "report":
      return zone && reportFinding({ desk: here.desk, zones: here.frame.zones, again: here.again }, zone.id);
    default:
      return voidObservation(here, button.dataset["of"] ?? "");
  }
}

function empty() {
  return html`<div class="empty"><p>No frame is laid out yet. Choose a layout that comes near this car; its zones can be changed. Then grade what can be seen, and what cannot stays dashed.</p><button type="button" class="act" data-do="layout" id="layout">Choose a layout</button></div>`;
}

/** @param {Frame} frame @param {string} job */
function tools({ layout_name, zones, observations, findings }, job) {
  const graded = new Set(
    observations.filter((o) => !o.void && o.condition !== "hidden").map((o) => o.zone_id),
  );
  const waits = findings.filter((each) => each.state === "reported").length;
  const f = { form: "survey", type: "select" };
  return html`<p>${layout_name}: ${graded.size < zones.length ? `${graded.size} of ${counted(zones.length, "zone")} graded, the rest nobody has seen yet` : `all ${counted(zones.length, "zone")} graded`}. ${waits > 0 ? html`<a href="changes">${counted(waits, "finding")} ${waits === 1 ? "waits" : "wait"} to be gathered.</a>` : ""}</p>
    <div class="row no-print">${field({ ...f, name: "at", label: "Show", value: view.at, options: choices(moment, "As last seen") })}
    ${field({ ...f, name: "beside", label: "Compare with", value: view.beside, options: choices(moment, "nothing") })}
    <button type="button" data-do="add-zone" id="add-zone">Add a zone</button>
    ${observations.length + findings.length === 0 ? html`<button type="button" data-do="layout" id="layout">Choose another layout</button>` : ""}
    <a class="button" href="/api/jobs/${job}/inspection-report" target="_blank" rel="noopener">Inspection report<span class="visually-hidden"> in a new tab</span></a> <a class="button" href="/api/jobs/${job}/inspection-report?as=pdf" target="_blank" rel="noopener">PDF<span class="visually-hidden"> of the inspection report in a new tab</span></a></div>`;
}

/** @param {Frame} frame @param {JobDesk} desk */
function zonePanel({ zones, observations, findings }, desk) {
  const { formats } = desk;
  const zone = zones.find((each) => each.id === view.zone);
  if (!zone)
    return html`<section class="sheet"><h3>Zone</h3><p class="second">Pick a zone in the drawing, by keyboard with the arrow keys, or in its table. What was seen on it appears here.</p></section>`;
  const here = findings.filter((each) => each.zone_id === zone.id);
  const seen = observations.filter((each) => each.zone_id === zone.id);
  return html`<section class="sheet"><h3>${zone.name}</h3>
    <p>${sectionWord(zone, formats.length)}; ${formats.length(zone.length_mm)} long, ${formats.quantity(zone.area_m2, "m²")}. <span class="${zone.visible_percent < 100 ? "hidden-word" : ""}">${hiddenWord(zone)} with the body on.</span></p>
    <p class="shop-actions"><button type="button" class="act" data-do="observe" id="observe">Add what was seen</button><button type="button" data-do="report" id="report">Report a finding</button><button type="button" data-do="change-zone" id="change-zone">Change the zone</button></p>
    ${here.length > 0 ? html`<h4>Findings</h4><ul class="shop-plain">${here.map((each) => html`<li><a href="changes">F${each.number} ${word(findingWhat, each.what)}</a> <span class="state ${tone[each.state]}">${word(findingState, each.state)}</span></li>`)}</ul>` : ""}
    ${moments.map((at) =>
      momentList(
        at,
        seen.filter((each) => each.moment === at),
        desk,
        zone.name,
      ),
    )}</section>`;
}

/** @param {string} at @param {Schemas["Observation"][]} seen @param {JobDesk} desk @param {string} zone */
function momentList(at, seen, { formats }, zone) {
  return html`<h4>${word(moment, at)}</h4>${seen.length === 0 ? html`<p class="second">Nothing kept.</p>` : ""}
    <ul class="shop-plain">${seen.map(
      (
        o,
      ) => html`<li ${attr("data-void", o.void)}><p><strong>${word(gradeWord, o.condition)}</strong>${o.length_mm || o.width_mm ? `, ${sizeWord(o, formats.length)}` : ""}${o.note ? html`. <span class="shop-lines">${o.note}</span>` : ""}</p>
      ${photos(o.photos, `${zone}, ${word(moment, at)}`)}
      <p class="small">${o.by}, ${formats.instant(o.at)}${o.void ? `. Does not stand: ${o.void_reason ?? ""}` : html` <button type="button" class="plain" data-do="void" data-of="${o.id}" id="void-${o.id}">Does not stand<span class="visually-hidden">: ${word(gradeWord, o.condition)} on ${zone}</span></button>`}</p></li>`,
    )}</ul>`;
}

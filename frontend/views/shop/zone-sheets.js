// @ts-check
// Laying out a frame, and adding, changing and removing its zones.

import { dialog } from "../../components/bf-dialog.js";
import { say } from "../../components/bf-toast.js";
import { kindWord } from "../../components/frame/words.js";
import { choices, otherwise, readForm, span } from "../../components/shop-form.js";
import { askWhichVersion } from "../../components/shop-versions.js";
import { counted } from "../../components/shop-words.js";
import { ApiProblem, get, post, put, remove } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { attr, html } from "../../lib/html.js";
import { finishLevel, workStage } from "../../lib/words.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Survey } from "./job-survey.js" */

const sides = { left: "Left, from the driver's seat", centre: "Centre", right: "Right" };
const shapes = { box: "Box", channel: "Channel", hat: "Hat", tube: "Tube", plate: "Plate", none: "None" };

/** @param {Survey} here */
export async function chooseLayout({ desk, frame, take }) {
  const { items } = await get("/api/frame-layouts", { signal: desk.signal });
  await dialog({
    title: "Lay out the frame",
    body: html`<p>Start from the layout that comes nearest. Zones can be added, changed and taken out afterwards; the layout can be replaced until something was seen or found.</p>
      ${items.map((each, i) => html`<label class="shop-choice"><input type="radio" name="layout" value="${each.code}" ${attr("checked", i === 0)}><span><strong>${each.name}</strong>, ${counted(each.zone_count, "zone")}<p class="second">${each.note}</p></span></label>`)}`,
    action: "Lay it out",
    signal: desk.signal,
    submit: async (_, form) => {
      const body = /** @type {Schemas["FrameLaying"]} */ (readForm(form));
      take(await put("/api/jobs/{job}/frame", { path: { job: desk.id }, body, version: frame.version }));
      say("The frame is laid out.");
    },
  });
}

/** @param {Schemas["ZoneDraft"]} zone @param {Schemas["WorkMethod"][]} methods */
function fields(zone, methods) {
  const f = { form: "zone", required: true };
  const { section, plan } = zone;
  const whole = { ...f, inputmode: "numeric" };
  // Where a zone begins and ends may lie left of the centre line: a minus sign is typed then.
  const place = { ...f, type: "number", step: 1 };
  return html`<div class="shop-form">
    ${span(8, field({ ...f, name: "name", label: "Name", value: zone.name, maxlength: 160 }))}
    ${span(4, field({ ...f, name: "code", label: "Code", value: zone.code, maxlength: 40, pattern: "[a-z0-9\\-]+", hint: "Small letters, digits, hyphens." }))}
    ${span(4, field({ ...f, name: "kind", label: "Kind", type: "select", value: zone.kind, options: choices(kindWord) }))}
    ${span(4, field({ ...f, name: "side", label: "Side", type: "select", value: zone.side, options: choices(sides) }))}
    ${span(4, field({ ...whole, name: "visible_percent", label: "Can be seen, body on, %", value: zone.visible_percent }))}
    ${span(3, field({ ...f, name: "section/shape", label: "Section", type: "select", value: section.shape, options: choices(shapes) }))}
    ${span(3, field({ ...whole, name: "section/width_mm", label: "Width, mm", value: section.width_mm }))}
    ${span(3, field({ ...whole, name: "section/height_mm", label: "Height, mm", value: section.height_mm }))}
    ${span(3, field({ ...f, name: "section/thickness_mm", label: "Steel, mm", value: section.thickness_mm, inputmode: "decimal" }))}
    ${span(6, field({ ...whole, name: "length_mm", label: "Length, mm", value: zone.length_mm }))}
    ${span(6, field({ ...f, required: false, name: "finish", label: "Finish", type: "select", value: zone.finish ?? "", options: choices(finishLevel, "as the job") }))}
    ${Object.entries(workStage).map(([stage, label]) => {
      const own = methods.filter((m) => m.stage === stage);
      return own.length === 0
        ? ""
        : span(
            6,
            field({
              ...f,
              required: false,
              name: `methods/${stage}`,
              label: `${label}, method`,
              type: "select",
              value: zone.methods?.[/** @type {Schemas["WorkStage"]} */ (stage)] ?? "",
              options: [
                ["", "as the job"],
                ...own.map((m) => /** @type {[string, string]} */ ([m.key, m.name])),
              ],
            }),
          );
    })}
    ${span(6, field({ ...f, name: "area_m2", label: "Surface, m²", value: zone.area_m2, inputmode: "decimal" }))}
    <fieldset><legend>In the plan, mm</legend><p class="hint">Back from the front axle; to the right of the centre line, a minus sign for the left.</p><div class="shop-form">
    ${span(3, field({ ...place, name: "plan/from/x", label: "From: back", value: plan.from.x }))}
    ${span(3, field({ ...place, name: "plan/from/y", label: "From: right", value: plan.from.y }))}
    ${span(3, field({ ...place, name: "plan/to/x", label: "To: back", value: plan.to.x }))}
    ${span(3, field({ ...place, name: "plan/to/y", label: "To: right", value: plan.to.y }))}
    ${span(3, field({ ...whole, name: "plan/width", label: "Drawn width", value: plan.width }))}</div></fieldset>
  </div>`;
}

/** What a zone leaves to its job when nothing is chosen. */
const ways = Object.keys(workStage).map((stage) => `methods/${stage}`);

/** The methods that a job may choose from. @param {Survey} here */
async function methodsOf({ desk }) {
  return (await get("/api/jobs/{job}/takeoff", { path: { job: desk.id }, signal: desk.signal })).choices;
}

/** @param {HTMLElement} form @returns {Schemas["ZoneDraft"]} */
function read(form) {
  const zone = /** @type {any} */ (readForm(form, { optional: [...ways, "finish"] }));
  for (const point of [zone.plan.from, zone.plan.to])
    for (const name of ["x", "y"]) if (/^-?\d+$/.test(point[name])) point[name] = Number(point[name]);
  return zone;
}

/** A zone in words. @param {Schemas["ZoneDraft"]} zone @returns {[string, string][]} */
const rows = ({
  name,
  code,
  kind,
  side,
  section: s,
  length_mm,
  area_m2,
  visible_percent,
  plan,
  finish,
  methods,
}) => [
  ["Finish, methods", [finish ?? "as the job", ...Object.values(methods ?? {})].join(", ")],
  ["Name", `${name} (${code})`],
  ["Kind, side", `${kindWord[kind]}, ${side}`],
  ["Section", `${s.shape} ${s.width_mm} × ${s.height_mm} × ${s.thickness_mm} mm`],
  ["Length, surface", `${length_mm} mm, ${area_m2} m²`],
  ["Can be seen", `${visible_percent} %`],
  ["Plan", `${plan.from.x}, ${plan.from.y} to ${plan.to.x}, ${plan.to.y}, ${plan.width} wide`],
];

/**
 * Sends with the version; when the frame changed meanwhile the owner sees both versions of the zone.
 * @param {Survey} here @param {string} what @param {[string, string][]} mine @param {string} zone
 * @param {(version: number) => Promise<Schemas["Frame"]>} send
 */
async function save({ desk, frame, take, again, tell }, what, mine, zone, send) {
  try {
    take(await send(frame.version));
  } catch (error) {
    if (!(error instanceof ApiProblem) || error.status !== 412) throw error;
    const now = await get("/api/jobs/{job}/frame", { path: { job: desk.id }, signal: desk.signal });
    const stored = now.zones.find((each) => each.id === zone);
    const unchanged = JSON.stringify(stored) === JSON.stringify(frame.zones.find((z) => z.id === zone));
    const keep = async () => take(await send(now.version));
    if (unchanged) await keep();
    else if (
      !(await askWhichVersion({ what, mine, theirs: stored ? rows(stored) : [], keep, signal: desk.signal }))
    )
      return again();
  }
  say(`${what} saved.`);
  await tell();
}

/** @param {Survey} here @param {Schemas["Zone"] | undefined} like */
export async function addZone(here, like) {
  const { desk } = here;
  /** @type {Schemas["ZoneDraft"]} */
  const blank = {
    kind: "bracket",
    side: "centre",
    section: { shape: "plate", width_mm: 100, height_mm: 3, thickness_mm: "3.00" },
    length_mm: 200,
    area_m2: "0.0400",
    visible_percent: 100,
    plan: { from: { x: 1000, y: 0 }, to: { x: 1200, y: 0 }, width: 100 },
    ...like,
    code: "",
    name: "",
  };
  await dialog({
    title: "Add a zone",
    body: fields(blank, await methodsOf(here)),
    action: "Add the zone",
    signal: desk.signal,
    submit: async (_, form) => {
      const body = read(form);
      await save(here, "Zone", rows(body), "", (version) =>
        post("/api/jobs/{job}/zones", { path: { job: desk.id }, body, version }),
      );
    },
  });
}

/** @param {Survey} here @param {Schemas["Zone"]} zone */
export async function changeZone(here, zone) {
  const { desk } = here;
  const path = { job: desk.id, zone: zone.id };
  let removing = false;
  await dialog({
    title: zone.name,
    body: html`${fields(zone, await methodsOf(here))}<p class="shop-actions"><button type="button" class="grave" id="remove-zone">Remove the zone</button><span class="hint">Only while nothing was seen or found on it.</span></p>`,
    action: "Save the zone",
    signal: desk.signal,
    ready: (form) =>
      otherwise(form, "#remove-zone", () => {
        removing = true;
      }),
    submit: async (_, form) => {
      const taking = removing;
      removing = false;
      form.noValidate = false;
      const body = read(form);
      await save(here, "Zone", taking ? [["Zone", "removed"]] : rows(body), zone.id, (version) =>
        taking
          ? remove("/api/jobs/{job}/zones/{zone}", { path, version })
          : put("/api/jobs/{job}/zones/{zone}", { path, body, version }),
      );
    },
  });
}

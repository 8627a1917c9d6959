// @ts-check
// The markup of a report: its questions, photos, suggested work, and what becomes of it.

import { gradeWord } from "../../components/frame/words.js";
import { field, text } from "../../lib/form.js";
import { named } from "../../lib/frames.js";
import { attr, html } from "../../lib/html.js";
import { findingWhat, moment } from "../../lib/words.js";
import { againOf, whatToDo } from "./cards.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { Write } from "../../lib/queue.js" */

/** Choices large enough for gloves. @param {string} name @param {string} legend @param {Record<string, string>} words @param {string | undefined} chosen */
function tiles(name, legend, words, chosen) {
  return html`<fieldset class="tiles"><legend>${legend}</legend>${Object.entries(words).map(([key, said]) => html`<label class="check"><input type="radio" name="${name}" value="${key}" ${attr("checked", key === chosen)}><span>${said}</span></label>`)}<p class="field-error" data-error-of="${name}" hidden></p></fieldset>`;
}

/**
 * @param {{ seen: boolean, jobs: Schemas["BenchJob"][], job: string, known: Partial<Schemas["FindingDraft"] & Schemas["ObservationDraft"]> }} about
 */
export function questions({ seen, jobs, job, known }) {
  const names = jobs.map((j) => /** @type {[string, string]} */ ([j.id, `Job ${j.number}, ${j.vehicle}`]));
  const size = { inputmode: "numeric", maxlength: 5, pattern: "[0-9]*" };
  return html`<form class="report">
    ${names.length > 1 ? field({ name: "job", label: "On which job", type: "select", options: names, value: job }) : html`<p class="second">${names[0]?.[1] ?? ""}</p>`}
    <section class="sheet"><h2>Where</h2><p class="field-error" data-error-of="zone_id" hidden></p><div data-part="zone"></div></section>
    ${seen ? tiles("moment", "When", moments, known.moment ?? "stripped") : tiles("what", "What", findingWhat, known.what)}
    ${tiles("condition", "How the steel is", seen ? gradeWord : { "": "does not say", ...gradeWord }, known.condition ?? (seen ? undefined : ""))}
    <fieldset><legend>Photos</legend>
      <div data-part="photos" role="status"></div>
      <div class="row"><label class="button big">Take a photo<input class="visually-hidden" type="file" accept="image/*" capture="environment" multiple></label>
      <label class="button big">From the gallery<input class="visually-hidden" type="file" accept="image/*" multiple></label></div>
    </fieldset>
    <fieldset><legend>How large</legend><div class="fields size">
      ${field({ ...size, name: "length_mm", label: "Length, mm", value: known.length_mm ?? "" })}
      ${field({ ...size, name: "width_mm", label: "Width, mm", value: known.width_mm ?? "" })}</div>
      ${seen ? "" : html`<div class="to-go"><button type="button" data-act="count" data-step="-1" aria-label="One less">−</button>${field({ name: "count", label: "How many", value: known.count ?? 1, inputmode: "numeric", maxlength: 3, required: true })}<button type="button" data-act="count" data-step="1" aria-label="One more">+</button></div>`}
    </fieldset>
    ${field({ name: "note", label: "Note", type: "textarea", rows: 2, value: known.note ?? "", maxlength: 4000 })}
    ${seen ? "" : html`<fieldset><legend>Suggested work</legend><div data-part="repairs" role="status"></div></fieldset>`}
    <div class="send"><button type="submit" class="act big">${seen ? "Keep it" : "Report it"}</button></div>
    ${seen ? "" : html`<p class="small">It goes to the owner, who asks the client. Nothing is repaired before that is decided.</p>`}
  </form>`;
}

/** At arrival the owner surveys. @type {Record<string, string>} */
const { arrival: _, ...moments } = moment;

/** The typed answers, without zone, photos and work. @param {HTMLFormElement} form @param {boolean} seen */
export function draftOf(form, seen) {
  const data = new FormData(form);
  const whole = (/** @type {string} */ name) => {
    const value = text(data, name);
    return /^\d+$/.test(value) ? { [name]: Number(value) } : {};
  };
  const condition = text(data, "condition");
  return /** @type {Schemas["FindingDraft"] | Schemas["ObservationDraft"]} */ (
    /** @type {unknown} */ ({
      ...(seen ? { moment: text(data, "moment") } : { what: text(data, "what"), ...whole("count") }),
      ...(condition ? { condition } : {}),
      ...whole("length_mm"),
      ...whole("width_mm"),
      note: text(data, "note"),
    })
  );
}

/** @param {string[]} urls */
export function photoList(urls) {
  if (urls.length === 0)
    return html`<p class="second">Put a rule beside it; one from near, one from afar.</p>`;
  return html`<ul class="shots">${urls.map((url, i) => html`<li><img src="${url}" alt="Photo ${i + 1}" width="96" height="96"><button type="button" data-act="unshoot" data-shot="${i}">Take away<span class="visually-hidden"> photo ${i + 1}</span></button></li>`)}</ul>`;
}

/** @param {Schemas["RepairSuggestionList"]} list @param {Set<string>} chosen @param {Formats} formats */
export function suggestions({ items, unsized }, chosen, formats) {
  const later = unsized.map((u) => html`<li>${u.name}: ${u.why}</li>`);
  return html`${items.length === 0 ? html`<p class="second">The repair list has no answer to this. Report it; the owner chooses the work.</p>` : ""}
    ${items.map(
      (
        r,
      ) => html`<div class="repair"><label class="check"><input type="checkbox" name="repairs" value="${r.code}" ${attr("checked", chosen.has(r.code))}><span><strong>${r.name}</strong><br>About ${formats.hours(r.mean_hours)}, ${formats.hours(r.hours.low)} to ${formats.hours(r.hours.high)}</span></label>
        <details id="repair-${r.code}"><summary>${r.materials.length > 0 ? "Materials and cautions" : "Cautions"}</summary>${r.materials.length > 0 ? html`<ul>${r.materials.map((m) => html`<li>${m.description}, ${formats.quantity(m.quantity, m.unit)}</li>`)}</ul>` : ""}
        ${r.cautions.length > 0 ? html`<div class="note watch"><strong>Cautions</strong><ul>${r.cautions.map((c) => html`<li>${c.text}</li>`)}</ul></div>` : ""}<p class="small">${r.words.join(" ")}</p></details></div>`,
    )}
    ${later.length > 0 ? html`<details id="unsized"><summary>More once it is measured</summary><ul>${later}</ul></details>` : ""}`;
}

/** @param {Schemas["Zone"][]} zones @param {string} typed */
export function zoneMatches(zones, typed) {
  const found = named(zones, typed);
  if (typed.trim() === "") return html``;
  if (found.length === 0) return html`<p class="second">No zone has that in its name.</p>`;
  return html`<ul class="rows zones">${found.map((z) => html`<li><button type="button" class="big" data-act="zone" data-zone="${z.id}">${z.name}</button></li>`)}</ul>`;
}

/** @param {Write[]} writes of this report that are not done @param {string} key @param {boolean} seen */
export function outcome(writes, key, seen) {
  const own = writes.find((w) => w.key === key);
  const photos = writes.filter((w) => w.feeds === key && w.state === "waiting").length;
  const refused = writes.filter((w) => w.state === "refused");
  const next = seen
    ? html`<p>It stands on the frame's drawing for the owner.</p>`
    : html`<p><strong>What happens next:</strong> the owner gathers what was found into one change order, the client sees your photos and decides. What becomes of it stands under Found. Do not repair it before that.</p>`;
  return html`${own?.state === "waiting" ? html`<div class="note watch"><p><strong>It is kept on this device.</strong> ${photos > 0 ? `${photos === 1 ? "One photo goes" : `${photos} photos go`} up first, then the rest.` : "It is going up."} Without a network it waits and goes up by itself; you can go on.</p></div>` : ""}
    ${own ? "" : html`<div class="note good"><p><strong>It is up; the owner has it.</strong></p></div>`}
    ${refused.map((w) => html`<div class="problem"><p><strong>Refused: ${w.label}.</strong> ${w.problem?.detail ?? ""} ${(w.problem?.errors ?? []).map((e) => e.detail).join("; ")}</p><p>${whatToDo(w)}</p><a class="button" href="${againOf(w)}">${w.feeds ? "Take it again" : "Change it"}</a></div>`)}
    ${own?.state === "refused" ? "" : next}`;
}

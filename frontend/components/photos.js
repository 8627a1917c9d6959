// @ts-check
// Photos as small pictures that open large, and the field that takes new ones up.
//
//   photos(finding.photos, "finding 3")                 small pictures with what they show
//   photoField(f, held)  and  followPhotos(form, job, signal)

import { post } from "../lib/call.js";
import { element, html, on } from "../lib/html.js";
import { clearProblem, showProblem } from "./bf-problem.js";

/** @typedef {{ id: string, width: number, height: number }} Photo */

/** @param {Photo} photo @param {string} words */
const small = ({ id }, words) =>
  html`<img src="/api/photos/${id}/thumb" alt="${words}" width="96" height="72" loading="lazy">`;

/** @param {Photo[]} list @param {string} of what they show, in words */
export function photos(list, of) {
  if (list.length === 0) return "";
  return html`<ul class="photos">${list.map(
    (photo, i) =>
      html`<li><a href="/api/photos/${photo.id}/full" target="_blank" rel="noopener">${small(photo, `Photo ${i + 1} of ${of}, opens large`)}</a></li>`,
  )}</ul>`;
}

/** @param {Photo} photo @param {number} number */
const kept = (photo, number) =>
  html`<li><label>${small(photo, `Photo ${number}`)}<span><input type="checkbox" name="photo_ids[]" value="${photo.id}" checked> keep</span></label></li>`;

/** @param {string} form prefix of ids @param {Photo[]} held photos that are there already */
export function photoField(form, held = []) {
  return html`<fieldset data-photos><legend class="shop-legend">Photos</legend>
    <input type="checkbox" name="photo_ids[]" value="" hidden>
    <ul class="photos">${held.map((photo, i) => kept(photo, i + 1))}</ul>
    <div class="field"><label for="${form}-file">Add photos</label><input type="file" id="${form}-file" multiple accept="image/jpeg,image/png,image/webp" aria-describedby="${form}-file-hint">
    <p class="hint" id="${form}-file-hint" role="status">JPEG, PNG or WebP. The place where a photo was taken is removed from it.</p></div></fieldset>`;
}

/** Sends photos up as soon as they are chosen. @param {HTMLElement} form @param {string} job @param {AbortSignal} signal */
export function followPhotos(form, job, signal) {
  on(
    form,
    "change",
    'input[type="file"]',
    (input) => void takeUp(/** @type {HTMLInputElement} */ (input), job, signal),
    signal,
  );
}

/** @param {HTMLInputElement} input @param {string} job @param {AbortSignal} signal */
async function takeUp(input, job, signal) {
  const place = /** @type {HTMLElement} */ (input.closest("[data-photos]"));
  const list = /** @type {HTMLElement} */ (place.querySelector(".photos"));
  const said = /** @type {HTMLElement} */ (place.querySelector("[role=status]"));
  const files = [...(input.files ?? [])];
  clearProblem(place);
  const form = input.form;
  // Nothing is saved while a photo is still on its way up.
  form?.setAttribute("aria-busy", "true");
  try {
    for (const [i, file] of files.entries()) {
      said.textContent = `Sending photo ${i + 1} of ${files.length}.`;
      const photo = await post("/api/jobs/{job}/photos", { path: { job }, body: file, signal });
      list.append(element(kept(photo, list.childElementCount + 1)));
    }
    said.textContent = files.length === 1 ? "The photo is kept." : `${files.length} photos are kept.`;
  } catch (error) {
    said.textContent = "Not every photo was kept.";
    showProblem(place, error);
  } finally {
    form?.removeAttribute("aria-busy");
    input.value = "";
  }
}

// @ts-check
// Keeping what was seen on a zone, and saying that it does not stand.

import { dialog } from "../../components/bf-dialog.js";
import { say } from "../../components/bf-toast.js";
import { gradeWord } from "../../components/frame/words.js";
import { followPhotos, photoField } from "../../components/photos.js";
import { choices, readForm, span } from "../../components/shop-form.js";
import { newKey, post } from "../../lib/call.js";
import { field, text } from "../../lib/form.js";
import { html } from "../../lib/html.js";
import { moment } from "../../lib/words.js";

/** @import { Markup } from "../../lib/html.js" */
/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Survey } from "./job-survey.js" */

/** @param {Survey} here @param {Schemas["Zone"]} zone @param {string} at */
export async function addObservation({ desk, again, tell }, zone, at) {
  const key = newKey();
  const f = { form: "seen" };
  await dialog({
    title: `What was seen: ${zone.name}`,
    body: html`<div class="shop-form"><input type="hidden" name="zone_id" value="${zone.id}">
      ${span(6, field({ ...f, name: "moment", label: "When", type: "select", value: at || "arrival", options: choices(moment) }))}
      ${span(6, field({ ...f, name: "condition", label: "Condition", type: "select", value: "b", options: choices(gradeWord), hint: "A to D are the rust grades of ISO 8501-1. Hidden: nobody can see it." }))}
      ${sizeFields(f, {})}
      ${field({ ...f, name: "note", label: "Note", type: "textarea", rows: 2, maxlength: 4000 })}
      ${photoField("seen")}</div>`,
    action: "Keep it",
    signal: desk.signal,
    ready: (form) => followPhotos(form, desk.id, desk.signal),
    submit: async (_, form) => {
      const body = /** @type {Schemas["ObservationDraft"]} */ (readForm(form, { optional: sizes }));
      await post("/api/jobs/{job}/observations", { path: { job: desk.id }, body, key });
      say("Kept.");
      await again();
      await tell();
    },
  });
}

/** Sizes that were not measured are left out. */
export const sizes = ["length_mm", "width_mm"];

/** @param {{ form: string }} f @param {{ length_mm?: number, width_mm?: number }} size */
export function sizeFields(f, { length_mm, width_mm }) {
  const whole = { ...f, inputmode: "numeric", maxlength: 5 };
  return html`${span(6, field({ ...whole, name: "length_mm", label: "Length, mm", value: length_mm ?? "" }))}
    ${span(6, field({ ...whole, name: "width_mm", label: "Width, mm", value: width_mm ?? "", hint: "Empty when not measured." }))}`;
}

/** @param {Survey} here @param {string} id */
export function voidObservation({ desk, again, tell }, id) {
  return reasoned({
    title: "This does not stand",
    words: html`<p>It stays readable, struck through, with your reason.</p>`,
    action: "Say so",
    signal: desk.signal,
    send: async (reason, key) => {
      await post("/api/observations/{observation}/void", {
        path: { observation: id },
        body: { reason },
        key,
      });
      await again();
      await tell();
    },
  });
}

/**
 * An act that needs a reason and nothing else.
 * @param {{ title: string, words: Markup, action: string, grave?: boolean, label?: string, signal: AbortSignal, send: (reason: string, key: string) => Promise<void> }} act
 */
export function reasoned({ title, words, action, grave = false, label = "Reason", signal, send }) {
  const key = newKey();
  return dialog({
    title,
    body: html`${words}${field({ form: "reason", name: "reason", label, type: "textarea", required: true, maxlength: 1000 })}`,
    action,
    grave,
    signal,
    submit: (data) => send(text(data, "reason"), key),
  });
}

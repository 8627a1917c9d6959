// @ts-check
// How a figure was computed: steps in words, each with its value, the last one the figure itself.

import { get } from "../lib/call.js";
import { html } from "../lib/html.js";
import { dialog } from "./bf-dialog.js";
import { say } from "./bf-toast.js";

/** @import { Step } from "./bf-figure.js" */

/**
 * @param {{ title: string, steps: Step[] }} explanation
 * @param {AbortSignal} signal
 */
export function showExplanation({ title, steps }, signal) {
  return dialog({
    title,
    body: html`<ol class="shop-steps" tabindex="0" aria-label="Steps">${steps.map(
      (step) => html`<li><span>${step.name}</span><b>${step.value}</b><p>${step.words}</p></li>`,
    )}</ol>`,
    signal,
  });
}

/**
 * Asks the server how a task or line was priced.
 * @param {string} job
 * @param {string} line `task:` or `line:` and the identifier
 * @param {AbortSignal} signal
 */
export async function explainLine(job, line, signal) {
  try {
    const answer = await get("/api/jobs/{job}/price/{line}", { path: { job, line }, signal });
    await showExplanation(answer, signal);
  } catch (error) {
    if (!signal.aborted) say(error instanceof Error ? error.message : "This figure cannot be explained now.");
  }
}

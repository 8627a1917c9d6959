// @ts-check
// A refusal or failure, in a sentence, with the fields at fault that no field on the page shows.
//
//   make("bf-problem", { problem: error })          an ApiProblem, NetworkProblem or any Error
//   "reload" event: the person asked for the current state (offered when somebody else saved first)

import { ApiProblem, NetworkProblem } from "../lib/call.js";
import { html, make, render } from "../lib/html.js";
import { Part } from "../lib/part.js";

export class BfProblem extends Part {
  /** @type {unknown} */
  #problem;

  /** @param {unknown} value */
  set problem(value) {
    this.#problem = value;
    this.changed();
  }

  get problem() {
    return this.#problem;
  }

  /** @override */
  draw() {
    const problem = this.#problem;
    if (!problem) {
      this.replaceChildren();
      return;
    }
    const refusal = problem instanceof ApiProblem ? problem : undefined;
    const fields = refusal?.errors ?? [];
    render(
      this,
      html`<div class="problem" role="alert">
        <p><strong>${refusal?.stale ? "Somebody changed this meanwhile." : sentence(problem)}</strong></p>
        ${refusal?.stale ? html`<p>${refusal.detail} What you typed is still here; load the current one, compare, and save again.</p>` : ""}
        ${fields.length > 0 ? html`<ul>${fields.map((f) => html`<li data-pointer="${f.pointer}"><code>${f.pointer.replace(/^\//, "").replaceAll("/", " › ") || "request"}</code>: ${f.detail}</li>`)}</ul>` : ""}
        ${refusal?.stale ? html`<button type="button" data-act="reload">Load the current one</button>` : ""}
        ${refusal && refusal.status >= 500 && refusal.instance ? html`<p class="second">Request ${refusal.instance}</p>` : ""}
      </div>`,
    );
    this.querySelector('[data-act="reload"]')?.addEventListener("click", () =>
      this.dispatchEvent(new CustomEvent("reload", { bubbles: true })),
    );
  }
}

/** @param {unknown} problem */
function sentence(problem) {
  if (problem instanceof ApiProblem || problem instanceof NetworkProblem) return problem.message;
  return "This page met an error of its own. Reload it; nothing you saved is lost.";
}

customElements.define("bf-problem", BfProblem);

/** Shows an error at the top of a place, instead of the one before. @param {Element} place @param {unknown} error */
export function showProblem(place, error) {
  if (error instanceof DOMException && error.name === "AbortError") return;
  if (!(error instanceof ApiProblem || error instanceof NetworkProblem)) console.error(error);
  clearProblem(place);
  place.prepend(make("bf-problem", { problem: error }));
}

/** @param {Element} place */
export function clearProblem(place) {
  place.querySelector(":scope > bf-problem")?.remove();
}

// @ts-check
// A figure written like a dimension on a drawing: what is measured, the value with its unit between its
// two terminators, and the confidence in brackets. A computed figure can be opened: inputs, formula, source.
//
//   make("bf-figure", { label: "Total", value: "€28,400.00", note: "confidence: not yet computed" })
//   figure.steps = [{ name: "Net", words: "sum of the lines", value: "…" }]      known already
//   figure.explain = async () => ({ title, steps })                              asked for when opened
//
// Properties are text that is ready to show. https://www.w3.org/WAI/ARIA/apg/patterns/disclosure/

import { html, render } from "../lib/html.js";
import { Part } from "../lib/part.js";
import { showProblem } from "./bf-problem.js";

/** @typedef {{ name: string, words: string, value: string }} Step */

export class BfFigure extends Part {
  #label = "";
  #value = "";
  #note = "";
  #tone = "";
  /** @type {Step[] | undefined} */
  #steps;
  /** @type {(() => Promise<{ title?: string, steps: Step[] }>) | undefined} */
  #explain;

  /** @param {string} value */
  set label(value) {
    this.#label = value;
    this.changed();
  }

  /** With its unit. A change is shown for a moment with the old value struck through. @param {string} value */
  set value(value) {
    const before = this.#value;
    this.#value = value;
    if (before && before !== value && this.isConnected) this.dataset["before"] = before;
    this.changed();
  }

  /** Tolerance or confidence. @param {string} value */
  set note(value) {
    this.#note = value;
    this.changed();
  }

  /** "", "stop", "watch" or "good"; the note says the same in words. @param {string} value */
  set tone(value) {
    this.#tone = value;
    this.changed();
  }

  /** @param {Step[] | undefined} value */
  set steps(value) {
    this.#steps = value;
    this.changed();
  }

  /** @param {(() => Promise<{ title?: string, steps: Step[] }>) | undefined} value */
  set explain(value) {
    this.#explain = value;
    this.changed();
  }

  /** @override */
  draw() {
    const before = this.dataset["before"];
    const opens = Boolean(this.#steps?.length || this.#explain);
    const line = html`<span class="figure-label">${this.#label}</span>
      <span class="figure-value ${this.#tone && `tone-${this.#tone}`}">${before ? html`<s class="figure-before">${before}</s> ` : ""}${this.#value}</span>
      ${this.#note ? html`<span class="figure-note">(${this.#note})</span>` : ""}`;
    if (!opens) {
      render(this, html`<div class="figure">${line}</div>`);
    } else {
      const open = this.querySelector("details")?.open ?? false;
      render(
        this,
        html`<details class="figure"><summary>${line}</summary><div class="figure-steps">${this.#steps ? list(this.#steps) : ""}</div></details>`,
      );
      const details = /** @type {HTMLDetailsElement} */ (this.querySelector("details"));
      details.addEventListener("toggle", () => void this.#fill(details), { signal: this.signal });
      details.open = open;
    }
    if (before) setTimeout(() => this.#settle(), 2500);
  }

  #settle() {
    delete this.dataset["before"];
    this.querySelector(".figure-before")?.remove();
  }

  /** @param {HTMLDetailsElement} details */
  async #fill(details) {
    const place = details.querySelector(".figure-steps");
    if (!details.open || !place || place.childElementCount > 0 || !this.#explain) return;
    try {
      render(place, html`<p class="second">Reading how it was computed.</p>`);
      render(place, list((await this.#explain()).steps));
    } catch (error) {
      place.replaceChildren();
      showProblem(place, error);
    }
  }
}

/** @param {Step[]} steps */
function list(steps) {
  return html`<dl class="steps">${steps.map((s) => html`<div><dt>${s.name}</dt><dd class="num">${s.value}</dd><dd class="second">${s.words}</dd></div>`)}</dl>`;
}

customElements.define("bf-figure", BfFigure);

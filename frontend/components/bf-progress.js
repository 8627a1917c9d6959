// @ts-check
// Progress as a ruled bar with its text: done is inked, to go is open, not yet firm is dashed.
//
//   make("bf-progress", { label: "Rust repair", percent: 40, text: "12.00 h of 30.00 h", firm: true })
//
// https://www.w3.org/WAI/ARIA/apg/patterns/meter/

import { html, render } from "../lib/html.js";
import { Part } from "../lib/part.js";

export class BfProgress extends Part {
  #label = "";
  #percent = 0;
  #text = "";
  #firm = true;

  /** What makes the progress. @param {string} value */
  set label(value) {
    this.#label = value;
    this.changed();
  }

  /** 0 to 100. @param {number} value */
  set percent(value) {
    this.#percent = Math.max(0, Math.min(100, value));
    this.changed();
  }

  /** In words, beside the bar; without it the percentage. @param {string} value */
  set text(value) {
    this.#text = value;
    this.changed();
  }

  /** False draws it dashed: only ranged. @param {boolean} value */
  set firm(value) {
    this.#firm = value;
    this.changed();
  }

  /** @override */
  draw() {
    const percent = this.#percent;
    const words = this.#text || `${percent} %`;
    const ticks = [10, 20, 30, 40, 50, 60, 70, 80, 90];
    render(
      this,
      html`<div class="progress">
        <span class="progress-label">${this.#label}</span>
        <svg class="${this.#firm ? "bar" : "bar hidden-line"}" viewBox="0 0 100 12" preserveAspectRatio="none" role="meter" aria-label="${this.#label}" aria-valuemin="0" aria-valuemax="100" aria-valuenow="${percent}" aria-valuetext="${words}">
          <rect class="bar-done" x="0" y="1" width="${percent}" height="10"></rect>
          ${ticks.map((x) => html`<line class="bar-tick" x1="${x}" x2="${x}" y1="${x === 50 ? 3 : 6}" y2="11"></line>`)}
          <rect class="bar-edge" x="0.2" y="1" width="99.6" height="10"></rect>
        </svg>
        <span class="progress-text">${words}</span>
      </div>`,
    );
  }
}

customElements.define("bf-progress", BfProgress);

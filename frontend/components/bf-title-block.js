// @ts-check
// The title block of a job page or quote, as on a drawing: in a ruled frame, each cell named.
//
//   make("bf-title-block", { cells: { job: "14", vehicle: "Corvane Tern roadster, 1967", revision: "2",
//     date: "24 Nov 2026", authorised: "€28,400.00", promise: "30 Jun 2027", sheet: "1 of 3" } })
//
// Values are text that is ready to show; a missing one is shown as a dash, never left out.

import { html, render } from "../lib/html.js";
import { Part } from "../lib/part.js";

/**
 * @typedef {object} Cells
 * @property {string} [job]
 * @property {string} [title]
 * @property {string} [vehicle]
 * @property {string} [client]
 * @property {string} [revision]
 * @property {string} [date]
 * @property {string} [authorised]
 * @property {string} [promise]
 * @property {string} [sheet]
 */

/** @type {[keyof Cells, string, string][]} */
const order = [
  ["vehicle", "Vehicle", "wide"],
  ["title", "Work", "wide"],
  ["job", "Job", ""],
  ["revision", "Revision", ""],
  ["date", "Date", "long"],
  ["sheet", "Sheet", ""],
  ["client", "Client", "long"],
  ["authorised", "Authorised amount", "long"],
  ["promise", "Promise", "long"],
];

export class BfTitleBlock extends Part {
  /** @type {Cells} */
  #cells = {};

  /** @param {Cells} value */
  set cells(value) {
    this.#cells = value;
    this.changed();
  }

  /** @override */
  draw() {
    const optional = new Set(["title", "client"]);
    const shown = order.filter(([key]) => this.#cells[key] || !optional.has(key));
    render(
      this,
      html`<dl class="title-block">${shown.map(([key, name, kind]) => html`<div class="${kind}"><dt>${name}</dt><dd>${this.#cells[key] || "–"}</dd></div>`)}</dl>`,
    );
  }
}

customElements.define("bf-title-block", BfTitleBlock);

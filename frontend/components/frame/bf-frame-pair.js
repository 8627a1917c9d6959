// @ts-check
// Two surveys of one frame side by side: what was thought, what was found. Zones that differ stand in heavy
// outline in both drawings, and a list says how.
//
//   make("bf-frame-pair", { zones, thought: { name: "As seen on arrival", conditions },
//     found: { name: "After stripping", conditions, badges } })
//   "pick" event: detail is the zone's id

import { html, make, on, render } from "../../lib/html.js";
import { Part } from "../../lib/part.js";
import "./bf-frame.js";
import { frameLegend, frameTable } from "./table.js";
import { conditionWord, differences } from "./words.js";

/** @import { Zone } from "./plan.js" */
/** @import { Conditions, Difference } from "./words.js" */

/** @typedef {{ name: string, conditions: Conditions, badges?: Record<string, string> }} Survey */

let count = 0;

export class BfFramePair extends Part {
  #key = `frames-${++count}`;
  /** @type {Zone[]} */
  #zones = [];
  /** @type {Survey} */
  #thought = { name: "Thought", conditions: {} };
  /** @type {Survey} */
  #found = { name: "Found", conditions: {} };
  #selected = "";
  /** @param {number} mm */
  #length = (mm) => `${mm} mm`;
  #asTable = false;
  #frames = [make("bf-frame", {}), make("bf-frame", {})];

  /** @param {Zone[]} value */
  set zones(value) {
    this.#zones = value;
    this.changed();
  }

  /** What was thought. @param {Survey} value */
  set thought(value) {
    this.#thought = value;
    this.changed();
  }

  /** What was found. @param {Survey} value */
  set found(value) {
    this.#found = value;
    this.changed();
  }

  /** @param {string} value */
  set selected(value) {
    this.#selected = value;
    this.changed();
  }

  /** Millimetres as the shop writes lengths, with the unit. @param {(mm: number) => string} value */
  set length(value) {
    this.#length = value;
    this.changed();
  }

  /** @override */
  connectedCallback() {
    super.connectedCallback();
    const { signal } = this;
    on(this, "click", "[data-turn]", () => this.#turn(), signal);
    on(this, "click", "[data-pick]", (button) => this.#pick(button.dataset["pick"] ?? ""), signal);
    this.addEventListener(
      "pick",
      (event) => {
        if (!(event instanceof CustomEvent) || event.target === this) return;
        this.#selected = event.detail;
        this.changed();
      },
      { signal },
    );
  }

  /** @override */
  draw() {
    const found = differences(this.#zones, this.#thought.conditions, this.#found.conditions);
    const surveys = [this.#thought, this.#found];
    // The two drawings stay in the page, so that the keyboard's place in them is kept.
    if (this.querySelector(".frame-differences") === null) {
      render(
        this,
        html`<div class="row no-print"><button type="button" data-turn="table" aria-pressed="false">As a table</button></div><div class="frame-two">${this.#frames.map((f) => html`<figure><figcaption></figcaption>${f}</figure>`)}</div>${frameLegend(this.#key, true)}<div class="frame-both"></div><div class="frame-differences"></div>`,
      );
    }
    this.#frames.forEach((frame, i) => {
      const { name, conditions, badges = {} } = surveys[i] ?? this.#found;
      const caption = frame.previousElementSibling;
      if (caption) caption.textContent = `${i === 0 ? "What was thought" : "What was found"}: ${name}`;
      Object.assign(frame, {
        zones: this.#zones,
        conditions,
        badges,
        reserve: { ...this.#thought.badges, ...this.#found.badges },
        label: name,
        marked: found.map((d) => d.zone.id),
        length: this.#length,
        selected: this.#selected,
        upright: true,
        bare: true,
      });
    });
    this.#fill(found, surveys);
  }

  /** @param {Difference[]} found @param {Survey[]} surveys */
  #fill(found, surveys) {
    /** @param {string} name */
    const part = (name) => /** @type {HTMLElement} */ (this.querySelector(name));
    for (const name of [".frame-two", ".legend"]) part(name).hidden = this.#asTable;
    part("[data-turn]").setAttribute("aria-pressed", String(this.#asTable));
    render(
      part(".frame-both"),
      this.#asTable
        ? frameTable({
            label: "Both surveys",
            zones: this.#zones,
            columns: surveys,
            badges: this.#found.badges ?? {},
            selected: this.#selected,
            length: this.#length,
          })
        : html``,
    );
    render(
      part(".frame-differences"),
      found.length
        ? html`${groups.map(([turn, head]) => list(turn, head, found))}`
        : html`<p>Nothing differs from what was thought.</p>`,
    );
  }

  #turn() {
    this.#asTable = !this.#asTable;
    this.draw();
  }

  /** @param {string} id */
  #pick(id) {
    this.#selected = id;
    this.draw();
    this.dispatchEvent(new CustomEvent("pick", { detail: id, bubbles: true }));
  }
}

/** @type {[string, string][]} */
const groups = [
  ["worse", "Worse than thought"],
  ["uncovered", "Uncovered"],
  ["better", "Better than thought"],
];

/** @param {string} turn @param {string} head @param {Difference[]} found */
function list(turn, head, found) {
  const those = found.filter((d) => d.turn === turn);
  if (those.length === 0) return "";
  return html`<p><strong>${head}: ${those.length}</strong></p><ul class="rows frame-list">${those.map(
    ({ zone, before, after }) =>
      html`<li><button type="button" class="plain" data-pick="${zone.id}">${zone.name}</button> ${conditionWord(before)} → <strong>${conditionWord(after)}</strong>${after.text ? html` <span class="small">${after.text}</span>` : ""}</li>`,
  )}</ul>`;
}

customElements.define("bf-frame-pair", BfFramePair);

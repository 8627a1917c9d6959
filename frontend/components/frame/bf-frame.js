// @ts-check
// The plan view of a frame, drawn from its zones; a table stands behind it and a legend beneath.
//
//   make("bf-frame", { zones, conditions: { [zone.id]: { worst: "pitted", text: "60 x 40 mm" } },
//     badges: { [zone.id]: "F3" }, label: "Frame as seen on arrival" })
//   frame.selected = zone.id        the zone in heavy ink
//   "pick" event: detail is the zone's id
//
// The zones are a list box: an arrow key goes to the nearest zone in its direction on the sheet, Home and
// End to the first and the last, Enter or space picks (https://www.w3.org/WAI/ARIA/apg/patterns/listbox/).
// A finger that hits nothing picks what is nearest. Narrow, or with `upright`, the front is at the top.

import { html, on, render } from "../../lib/html.js";
import { Part } from "../../lib/part.js";
import { picture, sheet } from "./picture.js";
import { at, neighbour } from "./plan.js";
import { frameLegend, frameTable } from "./table.js";
import { spoken } from "./words.js";

/** @import { Zone } from "./plan.js" */
/** @import { Sheet } from "./picture.js" */
/** @import { Conditions } from "./words.js" */

let count = 0;

/** Below this width the frame stands upright. */
const narrow = 680;

export class BfFrame extends Part {
  #key = `frame-${++count}`;
  /** @type {Zone[]} */
  #zones = [];
  /** @type {Conditions} */
  #conditions = {};
  /** @type {Record<string, string>} */
  #badges = {};
  /** @type {Record<string, string>} */
  #reserve = {};
  /** @type {Set<string>} */
  #marked = new Set();
  #label = "Frame in plan";
  #selected = "";
  #current = "";
  #upright = false;
  #bare = false;
  /** @param {number} mm */
  #length = (mm) => `${mm} mm`;
  #asTable = false;
  #printing = false;
  #width = 0;
  /** @type {Sheet | undefined} */
  #sheet;

  /** @param {Zone[]} value */
  set zones(value) {
    this.#zones = value;
    this.changed();
  }

  /** Zone id to its worst condition and words about it. @param {Conditions} value */
  set conditions(value) {
    this.#conditions = value;
    this.changed();
  }

  /** Zone id to a short text at the end of a leader line. @param {Record<string, string>} value */
  set badges(value) {
    this.#badges = value;
    this.changed();
  }

  /** Badges of another drawing, for which room is kept so that both get one scale. @param {Record<string, string>} value */
  set reserve(value) {
    this.#reserve = value;
    this.changed();
  }

  /** Zones in heavy outline. @param {Iterable<string>} value */
  set marked(value) {
    this.#marked = new Set(value);
    this.changed();
  }

  /** What the drawing shows, in words. @param {string} value */
  set label(value) {
    this.#label = value;
    this.changed();
  }

  /** @param {string} value */
  set selected(value) {
    this.#selected = value;
    if (value) this.#current = value;
    this.changed();
  }

  get selected() {
    return this.#selected;
  }

  /** Front at the top at every width. @param {boolean} value */
  set upright(value) {
    this.#upright = value;
    this.changed();
  }

  /** The drawing alone: no tools, no legend. @param {boolean} value */
  set bare(value) {
    this.#bare = value;
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
    on(this, "click", "[data-pick]", (button) => this.#pick(button.dataset["pick"] ?? ""), signal);
    on(this, "click", "[data-tool]", () => this.#turn(), signal);
    this.addEventListener("click", (event) => this.#touch(event), { signal });
    this.addEventListener("keydown", (event) => this.#press(event), { signal });
    const watch = new ResizeObserver(() => {
      if (Math.abs(this.clientWidth - this.#width) > 4) this.changed();
    });
    watch.observe(this);
    signal.addEventListener("abort", () => watch.disconnect());
    // Paper has a width of its own, and the letters are to stay as large as on the screen.
    for (const name of ["beforeprint", "afterprint"]) {
      addEventListener(name, () => this.#print(name === "beforeprint"), { signal });
    }
  }

  /** @override */
  draw() {
    this.#width = this.clientWidth;
    if (this.#zones.length === 0) {
      render(
        this,
        html`<p class="empty">No zones yet. Choose a layout for this frame; its drawing appears here.</p>`,
      );
      return;
    }
    if (!this.#zones.some((z) => z.id === this.#current)) this.#current = this.#zones[0]?.id ?? "";
    const view = {
      key: this.#key,
      label: this.#label,
      zones: this.#zones,
      conditions: this.#conditions,
      badges: this.#badges,
      reserve: this.#reserve,
      marked: this.#marked,
      selected: this.#selected,
      current: this.#current,
      upright: this.#upright || (!this.#printing && this.#width < narrow),
      width: Math.max(240, this.#printing ? (this.#upright ? 330 : narrow) : this.#width),
      length: this.#length,
    };
    const table = this.#asTable && !this.#printing;
    this.#sheet = table ? undefined : sheet(view);
    render(
      this,
      html`${this.#bare ? "" : html`<div class="row no-print"><button type="button" id="${this.#key}-table" data-tool="table" aria-pressed="${String(this.#asTable)}">As a table</button></div>`}
      ${
        this.#sheet
          ? html`${picture(view, this.#sheet)}<p class="frame-caption${this.#selected ? "" : " no-print"}">${this.#caption()}</p>${this.#bare ? "" : frameLegend(this.#key, false)}`
          : frameTable({ ...view, columns: [{ name: "Condition", conditions: this.#conditions }] })
      }`,
    );
  }

  #caption() {
    const zone = this.#zones.find((z) => z.id === this.#selected);
    if (!zone) return "Pick a zone to see its condition.";
    return spoken(zone, this.#conditions[zone.id], this.#badges[zone.id]);
  }

  /** @param {boolean} printing */
  #print(printing) {
    this.#printing = printing;
    this.draw();
  }

  #turn() {
    this.#asTable = !this.#asTable;
    this.draw();
  }

  /** A click anywhere on the drawing, in the drawing's own pixels. @param {MouseEvent} event */
  #touch(event) {
    const svg = event.target instanceof Element ? event.target.closest(".frame-svg") : null;
    if (!(svg instanceof SVGSVGElement) || !this.#sheet) return;
    const box = svg.getBoundingClientRect();
    const grow = svg.viewBox.baseVal.width / (box.width || 1);
    const point = { x: (event.clientX - box.left) * grow, y: (event.clientY - box.top) * grow };
    const hit = at(this.#sheet.drawn, point, 22);
    if (hit) this.#pick(hit.zone.id);
  }

  /** @param {KeyboardEvent} event */
  #press(event) {
    const zone = event.target instanceof SVGElement ? event.target.getAttribute("data-zone") : null;
    if (!zone || event.altKey || event.ctrlKey || event.metaKey) return;
    const pick = event.key === "Enter" || event.key === " ";
    const to =
      event.key === "Home"
        ? this.#zones[0]?.id
        : event.key === "End"
          ? this.#zones.at(-1)?.id
          : neighbour(this.#sheet?.drawn ?? [], zone, event.key);
    if (!pick && !to && !event.key.startsWith("Arrow")) return;
    event.preventDefault();
    if (pick) this.#pick(zone);
    else if (to) this.#move(to);
  }

  /** @param {string} id */
  #move(id) {
    for (const [zone, stop] of /** @type {[string, string][]} */ ([
      [this.#current, "-1"],
      [id, "0"],
    ])) {
      const element = this.querySelector(`[id="${this.#key}-${CSS.escape(zone)}"]`);
      element?.setAttribute("tabindex", stop);
      if (stop === "0" && element instanceof SVGElement) element.focus();
    }
    this.#current = id;
  }

  /** @param {string} id */
  #pick(id) {
    this.#selected = id;
    this.#current = id;
    this.draw();
    this.dispatchEvent(new CustomEvent("pick", { detail: id, bubbles: true }));
  }
}

customElements.define("bf-frame", BfFrame);

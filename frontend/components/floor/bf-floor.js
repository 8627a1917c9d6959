// @ts-check
// The floor as a picture: weeks of the shop's calendar, a row for each station, technician or job.
//
//   make("bf-floor", { formats, floor, moves: true })
//   "pick" event: detail is the task's id, empty when it was let go
//   "move" event: detail { task, at }: the bar was put to another start, to be tried and not kept
//
// Keys: arrows go from bar to bar. Enter picks; then, where a start may be moved, left and right move it by a
// working day, with Shift by an hour, Enter tries it, Escape puts it back. Only bars in the weeks shown are drawn.

import { dayAfter } from "../../lib/format.js";
import { html, on, render } from "../../lib/html.js";
import { Part } from "../../lib/part.js";
import { drawMoved, follow } from "./move.js";
import { picture } from "./picture.js";
import { neighbour, placeIn, rowsBy } from "./rows.js";
import { floorLists, floorTable, legend } from "./table.js";
import { instant, mondayOf, settle, stepDay, stepHour, timeScale } from "./time.js";
import { hint, names, tools } from "./tools.js";
import { movable } from "./words.js";

/** @import { Formats } from "../../lib/format.js" */
/** @import { Bar, By, Row } from "./rows.js" */
/** @import { TimeScale } from "./time.js" */
/** @import { Floor } from "./words.js" */

const namesWide = 184;
const namesNarrow = 104;
/** What A4 and letter leave between the margins of print.css, in CSS pixels. */
const paperWidth = 680;

export class BfFloor extends Part {
  /** @type {Floor | undefined} */
  #floor;
  /** @type {Formats | undefined} */
  #formats;
  #moves = false;
  #picked = "";
  /** @type {By} */
  #by = "station";
  #weeks = 6;
  #first = "";
  #asTable = matchMedia("(max-width: 600px)").matches;
  #current = { row: "", task: "" };
  /** @type {Row[]} */
  #rows = [];
  /** @type {TimeScale | undefined} */
  #scale;
  /** A start that is being moved, and not tried yet. @type {{ task: string, row: string, at: number } | undefined} */
  #lifted;
  #width = 0;

  /** @param {Floor} value */
  set floor(value) {
    this.#floor = value;
    this.#first ||= mondayOf(value.now.slice(0, 10));
    this.changed();
  }

  /** @param {Formats} value */
  set formats(value) {
    this.#formats = value;
    this.changed();
  }

  /** May starts be moved? @param {boolean} value */
  set moves(value) {
    this.#moves = value;
  }

  /** What was moved stands again where the plan has it. */
  putBack() {
    this.#lifted = undefined;
    this.changed();
  }

  /** @override */
  connectedCallback() {
    super.connectedCallback();
    const { signal } = this;
    on(this, "click", "[data-tool]", (button) => this.#tool(button.dataset["tool"] ?? ""), signal);
    on(this, "click", "[data-pick]", (button) => this.#pick(button.dataset["pick"] ?? ""), signal);
    this.addEventListener("keydown", (event) => this.#key(event), { signal });
    this.addEventListener("pointerdown", (event) => this.#grip(event), { signal });
    this.addEventListener(
      "click",
      (event) => {
        // Pressed by assistive technology: there was no pointer.
        const at = event.detail === 0 ? this.#barAt(event) : undefined;
        if (at) this.#pick(at.task);
      },
      { signal },
    );
    const seen = new ResizeObserver(() => {
      if (Math.abs(this.clientWidth - this.#width) > 8) this.changed();
    });
    seen.observe(this);
    signal.addEventListener("abort", () => seen.disconnect());
  }

  /** @override */
  draw() {
    const floor = this.#floor;
    const formats = this.#formats;
    if (!floor?.plan || !formats) return render(this, html``);
    this.#width = this.clientWidth;
    const narrow = matchMedia("(max-width: 600px)").matches;
    const beside = narrow ? namesNarrow : namesWide;
    const least = { 2: 36, 6: 14, 12: 7 }[this.#weeks] ?? 14;
    const dayWidth = Math.max(least, (this.clientWidth - beside - 4) / (7 * this.#weeks));
    const scale = timeScale(this.#first, this.#weeks, formats.zone, dayWidth);
    this.#scale = scale;
    this.#rows = rowsBy(floor, floor.plan, this.#by, scale.shows);
    const scroller = this.querySelector(".schedule-scroll");
    const left = scroller?.scrollLeft ?? 0;
    this.#current = placeIn(this.#rows, this.#current, this.#picked);
    const lane = matchMedia("(pointer: coarse)").matches ? 44 : 32;
    const numbers = new Map(floor.plan.jobs.map((j) => [j.job_id, j.number]));
    const view = {
      floor,
      plan: floor.plan,
      rows: this.#rows,
      scale,
      formats,
      lane,
      numbers,
      byJob: this.#by === "job",
      current: this.#current,
      picked: this.#picked,
    };
    render(
      this,
      html`${tools({ by: this.#by, weeks: this.#weeks, first: this.#first, asTable: this.#asTable }, formats)}
      ${this.#asTable ? (narrow ? floorLists : floorTable)(view) : html`<div class="schedule-scroll" tabindex="0" role="group" aria-label="Picture of the floor, scrolls sideways"><div class="floor-names">${names(this.#rows, lane)}</div>${picture(view)}</div>`}
      <p class="small floor-hint no-print" aria-live="polite">${this.#hint(formats)}</p>
      ${this.#asTable ? "" : legend()}`,
    );
    for (const name of this.querySelectorAll(".floor-name")) {
      if (!(name instanceof HTMLElement)) continue;
      name.style.top = `${name.dataset["top"]}px`;
      name.style.height = `${name.dataset["tall"]}px`;
    }
    // A sheet of paper does not scroll: the whole picture is made to fit its width.
    this.style.setProperty(
      "--on-paper",
      String(Math.min(1, paperWidth / (beside + 7 * this.#weeks * dayWidth))),
    );
    const again = this.querySelector(".schedule-scroll");
    if (again) again.scrollLeft = left;
    this.#showMoved();
  }

  /** @param {Formats} formats */
  #hint(formats) {
    const bar = this.#bar(this.#picked);
    const moves = this.#moves && bar !== undefined && movable(bar);
    return hint({ lifted: this.#lifted?.at, asTable: this.#asTable, moves }, formats);
  }

  /** @param {string} id @returns {Bar | undefined} */
  #bar(id) {
    return this.#floor?.plan?.bars.find((b) => b.task_id === id);
  }

  /** @param {string} name */
  #tool(name) {
    const [what, value] = name.split(" ");
    if (what === "by") this.#by = /** @type {By} */ (value);
    if (what === "weeks") this.#weeks = Number(value);
    if (what === "go") this.#first = dayAfter(this.#first, 7 * Number(value) * Math.max(1, this.#weeks / 2));
    if (what === "now") this.#first = mondayOf(this.#floor?.now.slice(0, 10) ?? this.#first);
    if (what === "table") this.#asTable = !this.#asTable;
    this.#lifted = undefined;
    this.draw();
  }

  /** @param {string} task */
  #pick(task) {
    this.#picked = task;
    this.#lifted = undefined;
    this.#mark();
    this.dispatchEvent(new CustomEvent("pick", { detail: task, bubbles: true }));
  }

  /** @param {Event} event */
  #barAt(event) {
    const shape = event.target instanceof SVGElement ? event.target.closest("[data-bar]") : null;
    const task = shape?.getAttribute("data-bar") ?? "";
    return shape && task ? { task, row: shape.getAttribute("data-in") ?? "" } : undefined;
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const at = this.#barAt(event);
    if (!at || event.ctrlKey || event.altKey || event.metaKey) return;
    const bar = this.#bar(at.task);
    const held = bar && this.#picked === at.task && this.#moves && movable(bar);
    const sideways = event.key === "ArrowLeft" || event.key === "ArrowRight";
    if (event.key === "Enter" || event.key === " ") {
      if (this.#lifted?.task === at.task) this.#try();
      else {
        this.#current = at;
        this.#pick(at.task);
      }
    } else if (event.key === "Escape" && (this.#lifted || this.#picked)) {
      const lifted = this.#lifted;
      this.#lifted = undefined;
      if (lifted) this.draw();
      else this.#pick("");
    } else if (held && sideways) this.#step(bar, at.row, event.key === "ArrowRight" ? 1 : -1, event.shiftKey);
    else if (/^(Arrow|Home$|End$)/.test(event.key)) this.#go(neighbour(this.#rows, at, event.key));
    else return;
    event.preventDefault();
  }

  /** @param {Bar} bar @param {string} row @param {1 | -1} way @param {boolean} small */
  #step(bar, row, way, small) {
    const floor = /** @type {Floor} */ (this.#floor);
    const from = this.#lifted?.at ?? Date.parse(bar.start);
    const to = small
      ? stepHour(from, way, floor.opening)
      : stepDay(from, way, floor.opening, this.#formats?.zone ?? "UTC");
    const now = Date.parse(floor.now);
    this.#lifted = { task: bar.task_id, row, at: to < now ? settle(to, now, floor.opening) : to };
    this.#showMoved();
    this.#tell();
  }

  /** @param {{ row: string, task: string } | undefined} to */
  #go(to) {
    if (!to) return;
    this.#lifted = undefined;
    this.#current = to;
    this.#mark();
    const shape = this.#shape(to);
    shape?.focus();
    shape?.scrollIntoView({ block: "nearest", inline: "nearest" });
  }

  /** What is picked and where the keyboard stands, without drawing hundreds of bars again. */
  #mark() {
    const here = this.#shape(this.#current);
    for (const bar of this.querySelectorAll('.floor-bar[tabindex="0"]'))
      if (bar !== here) bar.setAttribute("tabindex", "-1");
    here?.setAttribute("tabindex", "0");
    for (const was of this.querySelectorAll('[aria-pressed="true"]:is([data-bar], [data-pick])'))
      was.setAttribute("aria-pressed", "false");
    const picked = CSS.escape(this.#picked);
    for (const now of this.querySelectorAll(`[data-bar="${picked}"], [data-pick="${picked}"]`))
      now.setAttribute("aria-pressed", "true");
    this.#showMoved();
    this.#tell();
  }

  #try() {
    const lifted = this.#lifted;
    if (!lifted) return;
    this.#picked = lifted.task;
    this.dispatchEvent(
      new CustomEvent("move", { detail: { task: lifted.task, at: instant(lifted.at) }, bubbles: true }),
    );
  }

  /** Drawn dashed where it would stand, without drawing the picture again. */
  #showMoved() {
    const lifted = this.#lifted;
    const bar = lifted && this.#bar(lifted.task);
    if (this.#scale && this.#formats)
      drawMoved(this, lifted && bar && { ...lifted, bar }, this.#scale, this.#formats);
  }

  /** Says where the bar is, for who does not see it. */
  #tell() {
    const place = this.querySelector(".floor-hint");
    if (place && this.#formats) render(place, this.#hint(this.#formats));
  }

  /** @param {PointerEvent} event */
  #grip(event) {
    const at = this.#barAt(event);
    const bar = at && this.#bar(at.task);
    if (!at || !bar || event.button !== 0) return;
    if (this.#lifted?.task !== at.task) this.#lifted = undefined;
    follow(event, {
      drags: this.#moves && movable(bar),
      to: (far) => {
        const floor = /** @type {Floor} */ (this.#floor);
        const to = Date.parse(bar.start) + (this.#scale?.ms(far) ?? 0);
        this.#lifted = { ...at, at: settle(to, Date.parse(floor.now), floor.opening) };
        this.#showMoved();
        this.#tell();
      },
      done: (dragged) => {
        this.#current = at;
        if (dragged) this.#try();
        else this.#pick(at.task);
        this.#shape(at)?.focus({ preventScroll: true });
      },
      lost: () => this.putBack(),
    });
  }

  /** @param {{ row: string, task: string }} at */
  #shape({ row, task }) {
    const shape = this.querySelector(`#bar-${CSS.escape(`${row}-${task}`)}`);
    return shape instanceof SVGElement ? shape : undefined;
  }
}

customElements.define("bf-floor", BfFloor);

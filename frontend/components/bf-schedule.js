// @ts-check
// The schedule picture: rows by phase with their tasks, bars on the shop's calendar.
//
//   make("bf-schedule", { page, locale: me.shop.locale, zone: me.shop.time_zone })
//   schedule.selected = taskId      the row that is marked
//   "pick" event: detail is the task's id
//
// The names at the left are a tree: up and down move, left and right close and open a phase, Enter picks
// (https://www.w3.org/WAI/ARIA/apg/patterns/treeview/). The picture itself is hidden from screen readers;
// the tree's labels and the table behind the picture say the same.

import { daysBetween, formats } from "../lib/format.js";
import { attr, html, on, render } from "../lib/html.js";
import { Part } from "../lib/part.js";
import { taskKind, taskState, word } from "../lib/words.js";
import { picture, ruler } from "./schedule/picture.js";
import { daysShown, phasesInWork, rowsOf, scale } from "./schedule/rows.js";
import { legend, slack, table } from "./schedule/table.js";

/** @import { JobPage } from "../lib/contract.js" */
/** @import { Row } from "./schedule/rows.js" */

/** Pixels a day, from narrow to wide; without a choice, what fills the room there is. */
const dayWidths = [3, 5, 8, 12, 18, 28, 40];

/** What A4 and letter leave between the margins of print.css, in CSS pixels. */
const paperWidth = 680;

/** Room of the names at the left. */
const names = () => (matchMedia("(max-width: 600px)").matches ? 152 : 304);

export class BfSchedule extends Part {
  /** @type {JobPage | undefined} */
  #page;
  #locale = "en-GB";
  #zone = "UTC";
  #selected = "";
  /** @type {Set<string> | undefined} */
  #open;
  #links = false;
  #asTable = false;
  /** @type {number | undefined} */
  #zoom;
  #current = "";
  #scrolled = false;

  /** @param {JobPage} value */
  set page(value) {
    if (this.#page?.job.id !== value.job.id) this.#open = undefined;
    this.#page = value;
    this.changed();
  }

  /** @param {string} value */
  set locale(value) {
    this.#locale = value;
    this.changed();
  }

  /** @param {string} value */
  set zone(value) {
    this.#zone = value;
    this.changed();
  }

  /** @param {string} value */
  set selected(value) {
    this.#selected = value;
    this.changed();
  }

  /** @override */
  connectedCallback() {
    super.connectedCallback();
    const { signal } = this;
    on(this, "click", "[data-tool]", (button) => this.#tool(button.dataset["tool"] ?? ""), signal);
    on(this, "click", "[data-pick]", (button) => this.#pick(button.dataset["pick"] ?? ""), signal);
    on(this, "click", "[role=treeitem]", (item) => this.#activate(item.dataset["row"] ?? ""), signal);
    on(this, "keydown", "[role=treeitem]", (item, event) => this.#key(item, event), signal);
    this.addEventListener(
      "click",
      (event) => {
        // SVG shapes are not HTMLElements, so the helper above does not see them.
        const shape = event.target instanceof SVGElement ? event.target.closest("[data-row]") : null;
        if (shape) this.#activate(shape.getAttribute("data-row") ?? "");
      },
      { signal },
    );
  }

  /** @override */
  draw() {
    const page = this.#page;
    if (!page) return;
    if (page.tasks.length === 0) {
      render(
        this,
        html`<p class="empty">No tasks yet. Add the first task to the estimate; its bar appears here.</p>`,
      );
      return;
    }
    this.#open ??= phasesInWork(page);
    const left = this.querySelector(".schedule-scroll")?.scrollLeft;
    const fmt = formats({ locale: this.#locale, time_zone: this.#zone, currency: page.job.currency });
    const days = daysShown(page, this.#zone);
    const dayWidth = this.#zoom ?? this.#fitting(days);
    const rows = rowsOf(page, this.#open);
    if (!rows.some((r) => r.id === this.#current)) this.#current = rows[0]?.id ?? "";
    const rowHeight = matchMedia("(pointer: coarse)").matches ? 44 : 32;
    const inTime = scale(days, this.#zone, dayWidth);
    const view = {
      page,
      rows,
      scale: inTime,
      days,
      formats: fmt,
      rowHeight,
      links: this.#links,
      selected: this.#selected,
    };
    render(
      this,
      html`${this.#tools()}
      ${
        this.#asTable
          ? table(page, fmt)
          : html`<div class="schedule-scroll" tabindex="0" role="group" aria-label="Schedule picture, scrolls sideways"><div class="schedule-names" role="tree" aria-label="Phases and tasks">${rows.map((row, index) => this.#name(row, ruler + index * rowHeight, rowHeight, fmt))}</div>${picture(view)}</div>`
      }
      ${legend()}`,
    );
    for (const item of this.#items()) {
      item.style.top = `${item.dataset["top"]}px`;
      item.style.height = `${rowHeight}px`;
    }
    // A sheet of paper does not scroll: the whole picture is made to fit its width.
    this.style.setProperty("--on-paper", String(Math.min(1, paperWidth / (names() + inTime.width))));
    this.#keepPlace(left, inTime.x(page.schedule.data_date));
  }

  #tools() {
    return html`<div class="row schedule-tools no-print">
      <button type="button" id="schedule-links" data-tool="links" aria-pressed="${String(this.#links)}" ${attr("disabled", this.#asTable)}>Links</button>
      <button type="button" id="schedule-all" data-tool="all" ${attr("disabled", this.#asTable)}>${this.#allOpen() ? "Close the phases" : "Open every phase"}</button>
      <button type="button" id="schedule-narrower" data-tool="narrower" aria-label="Narrower days" ${attr("disabled", this.#asTable)}>−</button>
      <button type="button" id="schedule-wider" data-tool="wider" aria-label="Wider days" ${attr("disabled", this.#asTable)}>+</button>
      <button type="button" id="schedule-table" data-tool="table" aria-pressed="${String(this.#asTable)}">As a table</button>
    </div>`;
  }

  /** @param {Row} row @param {number} top @param {number} height @param {import("../lib/format.js").Formats} fmt */
  #name(row, top, height, fmt) {
    const here = row.id === this.#current ? "0" : "-1";
    if (row.kind === "phase") {
      const dates =
        row.phase.start && row.phase.finish
          ? `${fmt.instant(row.phase.start)} to ${fmt.instant(row.phase.finish)}`
          : "no dates yet";
      return html`<div role="treeitem" id="row-${row.id}" class="schedule-name phase" data-row="${row.id}" data-top="${top}" data-height="${height}" aria-level="1" aria-expanded="${String(row.open)}" tabindex="${here}" aria-label="${row.phase.name}, ${row.tasks.length} tasks, ${dates}, ${row.phase.progress.percent_done} % done"><span class="turn">${row.open ? "−" : "+"}</span> <span class="said">${row.phase.name}</span> <span class="small">${row.phase.progress.percent_done} %</span></div>`;
    }
    const { task } = row;
    const words = `${task.code} ${task.name}, ${word(taskKind, task.kind)}, ${fmt.instant(task.times.start)} to ${fmt.instant(task.times.finish)}, ${task.times.driving ? "drives the date" : `slack ${slack(task, fmt)}`}, ${word(taskState, task.state)}`;
    return html`<div role="treeitem" id="row-${row.id}" class="schedule-name" data-row="${row.id}" data-top="${top}" aria-level="2" aria-selected="${String(row.id === this.#selected)}" tabindex="${here}" aria-label="${words}" title="${task.name}"><span class="small">${task.code}</span> ${task.times.driving ? html`<strong class="said">${task.name}</strong>` : html`<span class="said">${task.name}</span>`}</div>`;
  }

  /** @param {{ from: string, to: string }} days */
  #fitting(days) {
    return Math.max(5, Math.min(28, (this.clientWidth - names()) / daysBetween(days.from, days.to)));
  }

  /** Where the reader was; at first, today with some past before it. @param {number | undefined} left @param {number} today */
  #keepPlace(left, today) {
    const scroller = this.querySelector(".schedule-scroll");
    if (!scroller) return;
    if (left !== undefined) scroller.scrollLeft = left;
    else if (!this.#scrolled) scroller.scrollLeft = Math.max(0, today - 120);
    this.#scrolled = true;
  }

  #allOpen() {
    return this.#page?.phases.every((p) => this.#open?.has(p.id)) ?? false;
  }

  /** @param {string} name */
  #tool(name) {
    const page = this.#page;
    if (!page) return;
    if (name === "links") this.#links = !this.#links;
    if (name === "table") this.#asTable = !this.#asTable;
    if (name === "all") this.#open = new Set(this.#allOpen() ? [] : page.phases.map((p) => p.id));
    const now = this.#zoom ?? this.#fitting(daysShown(page, this.#zone));
    if (name === "wider") this.#zoom = dayWidths.find((w) => w > now) ?? now;
    if (name === "narrower") this.#zoom = dayWidths.findLast((w) => w < now) ?? now;
    this.draw();
  }

  /** @param {string} id */
  #activate(id) {
    this.#current = id;
    if (this.#page?.phases.some((p) => p.id === id)) this.#turn(id, !this.#open?.has(id));
    else this.#pick(id);
  }

  /** @param {string} phase @param {boolean} open */
  #turn(phase, open) {
    if (open) this.#open?.add(phase);
    else this.#open?.delete(phase);
    this.draw();
  }

  /** @param {string} task */
  #pick(task) {
    this.#selected = task;
    this.draw();
    this.dispatchEvent(new CustomEvent("pick", { detail: task, bubbles: true }));
  }

  /** @returns {HTMLElement[]} */
  #items() {
    return [...this.querySelectorAll("[role=treeitem]")].filter((e) => e instanceof HTMLElement);
  }

  /** @param {HTMLElement} item @param {KeyboardEvent} event */
  #key(item, event) {
    const items = this.#items();
    const at = items.indexOf(item);
    const id = item.dataset["row"] ?? "";
    const open = item.getAttribute("aria-expanded");
    /** @type {Record<string, () => void>} */
    const keys = {
      ArrowDown: () => this.#move(items[at + 1]),
      ArrowUp: () => this.#move(items[at - 1]),
      Home: () => this.#move(items[0]),
      End: () => this.#move(items.at(-1)),
      ArrowRight: () =>
        open === "false" ? this.#turn(id, true) : open === "true" ? this.#move(items[at + 1]) : undefined,
      ArrowLeft: () => (open === "true" ? this.#turn(id, false) : this.#move(this.#phaseOf(items, at))),
      Enter: () => this.#activate(id),
      " ": () => this.#activate(id),
    };
    const act = keys[event.key];
    if (!act) return;
    event.preventDefault();
    act();
  }

  /** @param {HTMLElement[]} items @param {number} at */
  #phaseOf(items, at) {
    return items.slice(0, at).findLast((i) => i.hasAttribute("aria-expanded"));
  }

  /** @param {HTMLElement | undefined} item */
  #move(item) {
    if (!item) return;
    for (const other of this.#items()) other.tabIndex = -1;
    item.tabIndex = 0;
    item.focus();
    this.#current = item.dataset["row"] ?? "";
  }
}

customElements.define("bf-schedule", BfSchedule);

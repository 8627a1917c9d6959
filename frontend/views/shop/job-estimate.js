// @ts-check
// The estimate: the parts list with the price building up beside it.

import { say } from "../../components/bf-toast.js";
import { explainLine, showExplanation } from "../../components/shop-explain.js";
import { decimalText } from "../../components/shop-form.js";
import { renderKeeping } from "../../components/shop-keep.js";
import { partsList } from "../../components/shop-parts-list.js";
import "../../components/shop-price.js";
import { draftOf, taskRows } from "../../components/shop-task-form.js";
import { put } from "../../lib/call.js";
import { html, make, on, render } from "../../lib/html.js";
import { options } from "./job-options.js";
import { addLine, openLine } from "./line-sheet.js";
import { addPhase, openPhase } from "./phase-sheet.js";
import { addTask, openTask } from "./task-sheet.js";

/** @import { JobDesk } from "./job-desk.js" */
/** @import { ShopPrice } from "../../components/shop-price.js" */

/**
 * @param {HTMLElement} root
 * @param {JobDesk} desk
 * @returns {(own: boolean) => void} called with each new page
 */
export function estimate(root, desk) {
  const list = document.createElement("div");
  const choices = document.createElement("div");
  const warnings = document.createElement("div");
  warnings.id = "warnings";
  const price = /** @type {ShopPrice} */ (make("shop-price", { formats: desk.formats }));
  render(
    root,
    html`<h2 class="visually-hidden">Estimate</h2>
    <div class="shop-estimate"><div>
      <p class="shop-actions"><button type="button" id="add-phase">Add a phase</button><button type="button" id="moved-prices">Prices that have moved</button>
        <a class="button" href="/api/jobs/${desk.id}/workbook/owner">As a spreadsheet</a><a class="button" href="/api/jobs/${desk.id}/workbook/client">Spreadsheet without cost</a><a class="button" href="/api/jobs/${desk.id}/file">Job file</a>
        <a class="shop-narrow" href="#price">See how the price adds up</a></p>${warnings}${list}${choices}</div>${price}</div>`,
  );
  const compare = options(choices, desk);
  /** @param {boolean} own */
  const draw = (own) => {
    renderKeeping(list, partsList(desk.page, { formats: desk.formats, ...offers(desk) }), { own });
    render(warnings, html`${desk.page.warnings.map((words) => html`<p class="note watch">${words}</p>`)}`);
    price.page = desk.page;
    compare();
  };
  draw(true);
  listen(root, desk);
  return draw;
}

/** What task fields offer: the skills of the price book, the shop's stations. @param {JobDesk} desk */
export function offers(desk) {
  const skills = desk.book.labour.map(({ skill, name }) => ({ key: skill, name }));
  return { skills, stations: desk.shop.settings.stations };
}

/** @param {HTMLElement} root @param {JobDesk} desk */
function listen(root, desk) {
  const { signal } = desk;
  /** @param {string} name @param {(value: string) => Promise<unknown>} act */
  const click = (name, act) =>
    on(
      root,
      "click",
      `[data-${name}]`,
      (button) => void act(button.getAttribute(`data-${name}`) ?? ""),
      signal,
    );
  click("task", (id) => openTask(desk, id));
  click("line", (id) => openLine(desk, id));
  click("phase", (id) => openPhase(desk, id));
  click("add-task", (id) => addTask(desk, id));
  click("add-line", (id) => addLine(desk, id));
  click("explain", (line) => explainLine(desk.id, line, signal));
  on(root, "click", "#add-phase", () => void addPhase(desk), signal);
  on(
    root,
    "click",
    "#moved-prices",
    () => void import("./moved-prices.js").then(({ movedPrices }) => movedPrices(desk)),
    signal,
  );
  on(
    root,
    "change",
    "input[data-hours]",
    (input) => void saveHours(/** @type {HTMLInputElement} */ (input), desk),
    signal,
  );
  on(
    root,
    "keydown",
    "input[data-hours]",
    (input, event) => step(/** @type {HTMLInputElement} */ (input), event),
    signal,
  );
  root.addEventListener(
    "explain",
    (event) => void showExplanation(/** @type {CustomEvent} */ (event).detail, signal),
    { signal },
  );
}

/**
 * One row's hours, saved when a field is left.
 * @param {HTMLInputElement} input
 * @param {JobDesk} desk
 */
async function saveHours(input, desk) {
  const row = /** @type {HTMLElement} */ (input.closest("[data-row]"));
  const id = row.getAttribute("data-row") ?? "";
  const task = desk.page.tasks.find((each) => each.id === id);
  if (!task) return;
  const draft = draftOf(task);
  input.value = decimalText(input.value);
  const typed = (/** @type {string} */ name) =>
    decimalText(/** @type {HTMLInputElement} */ (row.querySelector(`[data-hours="${name}"]`)).value);
  if (task.kind === "work") draft.hours = { low: typed("low"), likely: typed("likely"), high: typed("high") };
  else if (task.kind === "cure") draft.elapsed_hours = typed("elapsed");
  else draft.lead_days = Number.parseInt(typed("lead"), 10);
  try {
    const conflict = await desk.save({
      what: `Task ${task.code}`,
      version: () => Number(row.dataset["version"]),
      send: (version) =>
        put("/api/jobs/{job}/tasks/{task}", { path: { job: desk.id, task: id }, body: draft, version }),
      mine: taskRows(draft, desk.page),
      stored: (page) =>
        page.tasks.filter((each) => each.id === id).flatMap((each) => taskRows(draftOf(each), page)),
    });
    await desk.settle(conflict);
  } catch (error) {
    if (desk.signal.aborted) return;
    // What was typed stays in its field, marked, until it is right.
    const again = document.getElementById(input.id);
    again?.setAttribute("aria-invalid", "true");
    say(`${task.code} was not saved. ${error instanceof Error ? error.message : ""}`, { stays: true });
  }
}

/** Enter and the arrows move down and up a column, as in a list of figures. @param {HTMLInputElement} input @param {KeyboardEvent} event */
function step(input, event) {
  const way = event.key === "ArrowDown" || event.key === "Enter" ? 1 : event.key === "ArrowUp" ? -1 : 0;
  if (way === 0) return;
  const column = [
    ...(input.closest("table")?.querySelectorAll(`[data-hours="${input.dataset["hours"]}"]`) ?? []),
  ];
  const next = column[column.indexOf(input) + way];
  if (next instanceof HTMLInputElement) {
    event.preventDefault();
    next.focus();
    next.select();
  }
}

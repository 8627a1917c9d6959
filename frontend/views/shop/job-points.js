// @ts-check
// A job on its judging sheet: what would be lost as found and after the work, item by item and why; what each
// option buys and a point costs; and the best set within a budget, with what was shown about it.

import { clearProblem, showProblem } from "../../components/bf-problem.js";
import { live } from "../../components/live.js";
import { renderKeeping } from "../../components/shop-keep.js";
import { get, put } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { html, on, render } from "../../lib/html.js";
import { pointsTable, proven } from "./points-tables.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @typedef {Schemas["JobPoints"]} Points */

/** @param {HTMLElement} root @param {JobDesk} desk @returns {Promise<(own: boolean) => void>} */
export async function points(root, desk) {
  const { signal, formats } = desk;
  const path = { job: desk.id };
  const top = document.createElement("div");
  const best = document.createElement("div");
  render(root, html`<div class="stack">${top}${best}</div>`);
  const { items: sheets } = await get("/api/sheets", { signal });
  let budget = "";
  let asked = new AbortController();
  const reckon = async () => {
    asked.abort();
    asked = new AbortController();
    const mine = AbortSignal.any([signal, asked.signal]);
    const place = best.querySelector("#best") ?? best;
    try {
      const now = await get("/api/jobs/{job}/points", { path, query: { budget }, signal: mine });
      if (mine.aborted) return;
      clearProblem(best);
      render(/** @type {HTMLElement} */ (place), proven(now, formats));
    } catch (error) {
      if (!mine.aborted) {
        render(/** @type {HTMLElement} */ (place), html``);
        showProblem(best, error);
      }
    }
  };
  const reading = await live({
    job: desk.id,
    context: desk.context,
    place: root,
    read: () => get("/api/jobs/{job}/points", { path, query: { budget }, signal }),
    draw: (now) => {
      renderKeeping(top, html`${choose(now, sheets)}${pointsTable(now, formats)}`, { own: true });
      const field = best.querySelector("#best");
      if (!now.best) render(best, html``);
      else if (field) render(/** @type {HTMLElement} */ (field), proven(now, formats));
      else render(best, html`${asks(now)}`);
      const place = best.querySelector("#best");
      if (place && now.best) render(/** @type {HTMLElement} */ (place), proven(now, formats));
    },
  });
  /** @param {string} sheet @param {string} what */
  const take = async (sheet, what) => {
    const conflict = await desk.save({
      what,
      version: desk.version,
      send: (version) =>
        put("/api/jobs/{job}/sheet", { path, body: sheet ? { sheet_id: sheet } : {}, version }),
      mine: [["Sheet", sheets.find(({ id }) => id === sheet)?.name ?? "none"]],
      stored: () => [],
    });
    await desk.settle(conflict);
    await reading.again();
  };
  on(
    root,
    "change",
    "#points-sheet",
    (select) => {
      take(/** @type {HTMLSelectElement} */ (select).value, "The judging sheet").catch((error) =>
        showProblem(top, error),
      );
    },
    signal,
  );
  on(
    root,
    "click",
    "[data-take-newest]",
    (button) => {
      take(button.getAttribute("data-take-newest") ?? "", "The newer version").catch((error) =>
        showProblem(top, error),
      );
    },
    signal,
  );
  let pause = 0;
  on(
    root,
    "input",
    "#points-budget",
    (input) => {
      budget = /** @type {HTMLInputElement} */ (input).value.trim().replace(/\s/g, "").replace(",", ".");
      clearTimeout(pause);
      pause = window.setTimeout(() => void reckon(), 250);
    },
    signal,
  );
  signal.addEventListener("abort", () => clearTimeout(pause));
  return () => void reading.again();
}

/** @param {Points} now @param {Schemas["SheetSummary"][]} sheets */
function choose(now, sheets) {
  const { sheet } = now;
  /** @type {[string, string][]} */
  const all = sheets.filter((s) => !s.retired || s.id === sheet?.id).map((s) => [s.id, s.name]);
  return html`<section class="sheet" aria-labelledby="points-h"><h2 id="points-h">Judged points</h2>
    <p class="sentence">${now.sentence}</p>
    <div class="row"><div class="field"><label for="points-sheet">Judged by</label><select id="points-sheet">${[["", "no sheet"], ...all].map(([id, name]) => html`<option value="${id}" ${(sheet?.id ?? "") === id ? html`selected` : ""}>${name}</option>`)}</select></div>
    ${sheet && sheet.newest_version > sheet.version ? html`<p>By version ${sheet.version}; the sheet was changed since. <button type="button" data-take-newest="${sheet.id}">Take version ${sheet.newest_version}</button></p>` : ""}</div>
    <p class="second">${sheet?.note ?? "Choose a sheet to see what a judge could deduct."} <a href="/shop/settings/points">Change the shop's sheets</a></p></section>`;
}

/** @param {Points} now */
function asks(now) {
  return html`<section class="sheet" aria-labelledby="best-h"><h3 id="best-h">The best set of options</h3>
    <div class="row">${field({ form: "points", name: "budget", label: `To spend on options, net in ${now.currency}`, inputmode: "decimal", value: now.budget ?? "", maxlength: 14, hint: "Empty: as much as it takes." })}</div>
    <div id="best" aria-live="polite"></div></section>`;
}

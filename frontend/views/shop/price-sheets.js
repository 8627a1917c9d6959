// @ts-check
// Sheets of the price book: a new price, all prices of a thing, and reading a list.

import { dialog } from "../../components/bf-dialog.js";
import { clearProblem, showProblem } from "../../components/bf-problem.js";
import { choices, readForm, span } from "../../components/shop-form.js";
import { ApiProblem, post } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { html, render } from "../../lib/html.js";
import { taxClass } from "../../lib/words.js";
import { inWords } from "./price-book.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @typedef {Schemas["PriceRow"]} PriceRow */

/** @type {Record<Schemas["PriceKind"], string>} */
export const priceKind = { labour: "Labour", material: "Material", vendor: "Vendor" };

/** What is new, by kind. */
const anew = { labour: "A new skill", material: "A new material", vendor: "A new vendor" };

/**
 * Sets a price from a day on. True when it was set.
 * @param {{ list: Schemas["PriceList"], item: Schemas["PricedKey"] | undefined, kind: Schemas["PriceKind"] | undefined, formats: Formats, signal: AbortSignal }} about
 */
export async function newPrice({ list, item, kind, formats, signal }) {
  const is = item?.kind ?? kind ?? "material";
  const last = item?.now ?? item?.rows.at(-1);
  return dialog({
    title: item ? `New price of ${item.name}` : anew[is],
    body: html`<div class="shop-form">${fields(is, last, list, formats)}</div>`,
    action: "Set the price",
    signal,
    submit: async (_, form) => {
      const row = readRow(form, is, item?.key);
      try {
        await post("/api/shop/prices", { body: { set: [row], removed: [] }, version: list.version });
      } catch (error) {
        throw error instanceof ApiProblem ? ofRow(error) : error;
      }
    },
  });
}

/** The problem of the one row, so that its fields are found. @param {ApiProblem} problem */
function ofRow(problem) {
  for (const e of problem.errors) e.pointer = e.pointer.replace(/^\/set\/0/, "");
  return problem;
}

/** @param {Schemas["PriceKind"]} kind @param {PriceRow | undefined} last @param {Schemas["PriceList"]} list @param {Formats} formats */
function fields(kind, last, list, formats) {
  const f = { form: "price", required: true };
  const units = Object.fromEntries(list.units.map((unit) => [unit, unit]));
  const money = `, ${formats.currency}`;
  return html`${last ? "" : span(4, field({ ...f, name: "key", label: "Key", maxlength: 40, hint: "Small letters, digits and underscores; it stays." }))}
    <div data-span="8">${field({ ...f, name: "name", label: "Name", value: last?.name ?? "", maxlength: 160 })}</div>
    ${kind === "labour" ? html`${span(6, field({ ...f, name: "cost_rate", label: `Costs an hour${money}`, value: last?.cost_rate, inputmode: "decimal" }))}${span(6, field({ ...f, name: "sell_rate", label: `Sells at an hour${money}`, value: last?.sell_rate, inputmode: "decimal" }))}` : ""}
    ${
      kind === "material"
        ? html`${span(4, field({ ...f, name: "unit", label: "Unit", type: "select", value: last?.unit ?? "pc", options: choices(units, undefined, last?.unit) }))}
      ${span(4, field({ ...f, name: "unit_cost", label: `Cost a unit${money}`, value: last?.unit_cost, inputmode: "decimal" }))}
      ${span(4, field({ ...f, name: "markup_percent", label: "Markup, %", value: last?.markup_percent ?? "0", inputmode: "decimal" }))}
      ${span(4, field({ ...f, name: "waste_percent", label: "Waste, %", value: last?.waste_percent ?? "0", inputmode: "decimal" }))}
      ${span(4, field({ ...f, name: "tax_class", label: "Tax class", type: "select", value: last?.tax_class ?? "material", options: choices(taxClass) }))}
      ${span(8, field({ form: "price", name: "packs", label: "Bought in packs", value: packsText(last?.packs), hint: "Size at cost, divided by semicolons: 1 at 41.00; 5 at 180.00. Empty: by the unit.", maxlength: 400 }))}
      ${field({ form: "price", name: "whole_packs", label: "The client pays for whole packs, not for what is used", type: "checkbox", value: last?.whole_packs ?? false })}`
        : ""
    }
    ${kind === "vendor" ? html`${span(6, field({ ...f, name: "lead_days", label: "Lead time, working days", type: "number", min: 0, max: 400, value: last?.lead_days ?? 10 }))}${span(6, field({ ...f, name: "markup_percent", label: "Markup, %", value: last?.markup_percent ?? "0", inputmode: "decimal" }))}${field({ form: "price", name: "note", label: "Note", value: last?.note ?? "", maxlength: 1000 })}` : ""}
    ${span(6, field({ ...f, name: "valid_from", label: "Holds from", type: "date", value: list.today, hint: "What held before stays readable." }))}
    ${kind === "labour" ? "" : span(6, field({ form: "price", name: "valid_to", label: "Last day, if it ends", type: "date" }))}`;
}

/** @param {Schemas["Pack"][] | undefined} packs */
const packsText = (packs = []) => packs.map((p) => `${p.size} at ${p.cost}`).join("; ");

/** @param {HTMLFormElement} form @param {Schemas["PriceKind"]} kind @param {string | undefined} key @returns {PriceRow} */
function readRow(form, kind, key) {
  const read = /** @type {Record<string, unknown>} */ (
    readForm(form, { optional: ["valid_to", "packs", "note"] })
  );
  const row = /** @type {PriceRow} */ ({ ...read, kind, key: key ?? read["key"] });
  if (kind === "vendor") row.lead_days = Number(read["lead_days"]);
  if (kind === "material") {
    row.packs = String(read["packs"] ?? "")
      .split(";")
      .filter((part) => part.trim())
      .map((part) => {
        const [size = "", cost = ""] = part.split(" at ");
        return { size: size.trim(), cost: cost.trim() };
      });
    row.whole_packs = Boolean(read["whole_packs"]);
  }
  return row;
}

/** @param {Schemas["PricedKey"]} item @param {Formats} formats @param {AbortSignal} signal */
export async function history(item, formats, signal) {
  await dialog({
    title: `Prices of ${item.name}`,
    body: html`<table class="shop-list"><caption class="visually-hidden">All prices of ${item.name}, oldest first</caption><thead><tr><th scope="col">From</th><th scope="col">To</th><th scope="col">Price</th></tr></thead><tbody>${item.rows.map(
      (r) =>
        html`<tr><td>${r.valid_from ? formats.day(r.valid_from) : "the beginning"}</td><td>${r.valid_to ? formats.day(r.valid_to) : "the next one"}</td><td>${inWords(r, formats)}</td></tr>`,
    )}</tbody></table>`,
    signal,
  });
}

/**
 * Looks through a list and writes it. True when it was written.
 * @param {Schemas["PriceList"]} list @param {Formats} formats @param {AbortSignal} signal
 */
export async function readList(list, formats, signal) {
  return dialog({
    title: "Read a price list",
    body: html`<div class="shop-form"><div data-span="8" class="field"><label for="list-file">The list, as CSV or XLSX</label><input type="file" id="list-file" name="file" accept=".csv,.xlsx,text/csv"></div>
      ${span(4, field({ form: "list", name: "valid_from", label: "Rows without a day hold from", type: "date", value: list.today, required: true }))}</div>
      <div id="list-report" aria-live="polite"><p class="second">Columns: Kind, Key, Name, Valid from, Valid to, Cost an hour, Sells at an hour, Unit, Cost a unit, Markup percent, Waste percent, Tax class, Packs, Billed in whole packs, Lead days, Note. Take the price book out once to see how it looks.</p></div>`,
    action: "Write all rows",
    signal,
    ready: (form) => {
      const report = /** @type {HTMLElement} */ (form.querySelector("#list-report"));
      const write = /** @type {HTMLButtonElement} */ (form.querySelector("button.act"));
      write.disabled = true;
      const look = async () => {
        const { file, from } = chosen(form);
        write.disabled = true;
        if (!file) return;
        clearProblem(form);
        render(report, html`<p>Looking through ${file.name} …</p>`);
        try {
          const found = await post("/api/shop/prices/preview", {
            body: /** @type {never} */ (file),
            query: { valid_from: from },
            signal,
          });
          render(report, told(found, formats));
          write.disabled = found.fault_count > 0 || found.added + found.changed === 0;
        } catch (error) {
          render(report, html``);
          showProblem(form, error);
        }
      };
      form.addEventListener("change", () => void look(), { signal });
    },
    submit: async (_, form) => {
      const { file, from } = chosen(form);
      await post("/api/shop/prices/import", {
        body: /** @type {never} */ (file),
        query: { valid_from: from },
        version: list.version,
      });
    },
  });
}

/** @param {HTMLFormElement} form */
function chosen(form) {
  const input = /** @type {HTMLInputElement} */ (form.elements.namedItem("file"));
  const from = /** @type {HTMLInputElement} */ (form.elements.namedItem("valid_from"));
  return { file: input.files?.[0], from: from.value };
}

/** What a list would do. @param {Schemas["PriceImport"]} found @param {Formats} formats */
function told(found, formats) {
  const count = new Intl.NumberFormat(formats.locale).format;
  return html`<p><strong>${count(found.rows)} rows:</strong> ${count(found.added)} new, ${count(found.changed)} with a new price, ${count(found.unchanged)} as they are.</p>
    ${
      found.fault_count > 0
        ? html`<p class="note stop">${found.fault_count === 1 ? "One thing is wrong" : `${count(found.fault_count)} things are wrong`}, so nothing can be written. Mend the list and choose it again.</p>
      <div class="shop-scroll" tabindex="0" role="region" aria-label="What is wrong"><table class="shop-list"><thead><tr><th scope="col" class="num">Row</th><th scope="col">Column</th><th scope="col">What is wrong</th></tr></thead><tbody>${found.faults.map((f) => html`<tr><td class="num">${f.row || ""}</td><td>${f.column}</td><td>${f.reason}</td></tr>`)}</tbody></table></div>`
        : found.moves.length > 0
          ? html`<div class="shop-scroll" tabindex="0" role="region" aria-label="What it does"><table class="shop-list"><thead><tr><th scope="col" class="num">Row</th><th scope="col">What</th><th scope="col">Was</th><th scope="col">Becomes</th></tr></thead><tbody>${found.moves.map((m) => html`<tr><td class="num">${m.row}</td><td>${m.name}</td><td>${m.was || "–"}</td><td>${m.is}</td></tr>`)}</tbody></table></div>
      ${found.added + found.changed > found.moves.length ? html`<p class="second">The first ${count(found.moves.length)} are shown.</p>` : ""}`
          : html`<p class="second">The price book says all of it already.</p>`
    }`;
}

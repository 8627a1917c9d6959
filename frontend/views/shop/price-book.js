// @ts-check
// The price book: what the shop prices with, and the days each price holds. A price that held is never
// rewritten; a new one is set from a day on.

import { say } from "../../components/bf-toast.js";
import { pages } from "../../components/shop-pages.js";
import { get } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { html, on, render } from "../../lib/html.js";
import { taxClass, word } from "../../lib/words.js";
import { history, newPrice, priceKind, readList } from "./price-sheets.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { View } from "../../lib/router.js" */

/** @typedef {Schemas["PricedKey"]} PricedKey */
/** @typedef {Schemas["PriceRow"]} PriceRow */

/** @type {View} */
export default async function view(root, _params, { signal, formats, changed }) {
  const filter = { kind: "", find: "" };
  let list = /** @type {Schemas["PriceList"] | null} */ (null);
  /** @type {Map<string, PricedKey>} */
  const known = new Map();
  render(root, frame());
  const table = /** @type {HTMLElement} */ (root.querySelector("#prices"));
  const again = await pages(table, {
    load: async (cursor) => {
      const page = await get("/api/shop/prices", {
        query: {
          kind: /** @type {Schemas["PriceKind"]} */ (filter.kind),
          find: filter.find,
          limit: 50,
          after: cursor,
        },
        signal,
      });
      list = page;
      for (const item of page.items) known.set(`${item.kind}:${item.key}`, item);
      const found = root.querySelector("#found");
      if (found)
        found.textContent = `${page.found} ${page.found === 1 ? "price" : "prices"}, as of ${formats.day(page.today)}`;
      return { items: page.items, next_cursor: page.next ?? "" };
    },
    head: html`<thead><tr><th scope="col">What</th><th scope="col">Kind</th><th scope="col">Price now</th><th scope="col">Since</th><th scope="col">To come</th><th scope="col">Do</th></tr></thead>`,
    row: (item) => row(item, list?.today ?? "", formats),
    caption: "Prices, materials and vendors as the shop has them.",
    empty: "Nothing here has that name. Set a first price, or read a list of them.",
    signal,
  });
  /** @param {PricedKey} [item] @param {Schemas["PriceKind"]} [kind] */
  const set = async (item, kind) => {
    if (list && (await newPrice({ list, item, kind, formats, signal }))) {
      say("The price is set.");
      await again();
    }
  };
  const act = {
    /** @param {PricedKey} item */
    price: (item) => void set(item),
    /** @param {PricedKey} item */
    history: (item) => void history(item, formats, signal),
  };
  for (const [name, does] of Object.entries(act)) {
    on(
      table,
      "click",
      `[data-${name}]`,
      (button) => {
        const item = known.get(button.dataset[name] ?? "");
        if (item) does(item);
      },
      signal,
    );
  }
  on(
    root,
    "click",
    "[data-add]",
    (button) => void set(undefined, /** @type {Schemas["PriceKind"]} */ (button.dataset["add"])),
    signal,
  );
  on(
    root,
    "click",
    "[data-read-list]",
    async () => {
      if (list && (await readList(list, formats, signal))) {
        say("The list is in the price book.");
        await again();
      }
    },
    signal,
  );
  let pause = 0;
  on(
    root,
    "input",
    "#price-filter :is(input, select)",
    (control) => {
      const { name, value } = /** @type {HTMLInputElement | HTMLSelectElement} */ (control);
      filter[/** @type {"kind" | "find"} */ (name)] = value;
      clearTimeout(pause);
      pause = window.setTimeout(() => void again(), 200);
    },
    signal,
  );
  changed(({ what }) => {
    if (what === "shop" || what === "reconnected") void again();
  });
}

function frame() {
  return html`<div class="row between"><h1>Price book</h1><span class="shop-actions"><button type="button" class="act" data-add="material">Add a material</button><button type="button" data-add="labour">Add a skill</button><button type="button" data-add="vendor">Add a vendor</button></span></div>
    <p class="note watch">What a new shop begins with are starting values. Replace them with your own before you quote a real car.</p>
    <p class="second">A price holds from its first day until the next one begins. Estimates follow today's labour rates; a line keeps the price it was made with, and a quote keeps everything. What has moved since stands with each job's price.</p>
    <form class="row price-filter" id="price-filter" role="search" aria-label="Prices">
      ${field({ form: "pf", name: "find", label: "Find", type: "search", maxlength: 80 })}
      ${field({ form: "pf", name: "kind", label: "Show", type: "select", options: [["", "everything"], ...Object.entries(priceKind)] })}
      <p class="second" id="found" role="status"></p></form>
    <div id="prices"></div>
    <section class="sheet"><h2>As a file</h2><p class="second">One row a price, with its days. A list is looked through row by row before anything is written, and one wrong row leaves nothing behind.</p>
      <p class="shop-actions"><button type="button" data-read-list>Read a list…</button><a class="button" href="/api/shop/prices/export/xlsx" download>Take it out as a spreadsheet</a><a class="button" href="/api/shop/prices/export/csv" download>as plain text (CSV)</a></p></section>`;
}

/** @param {PricedKey} item @param {string} today @param {Formats} formats */
function row(item, today, formats) {
  const id = `${item.kind}:${item.key}`;
  const next = item.rows.find((r) => (r.valid_from ?? "") > today);
  return html`<tr><td data-label="What"><span>${item.name} <span class="small second">${item.key}</span></span></td>
    <td data-label="Kind">${priceKind[item.kind]}</td>
    <td data-label="Price now">${item.now ? inWords(item.now, formats) : html`<span class="state ranged">None holds today</span>`}</td>
    <td data-label="Since">${item.now?.valid_from ? formats.day(item.now.valid_from) : item.now ? "the beginning" : ""}${item.now?.valid_to ? html` <span class="small">until ${formats.day(item.now.valid_to)}</span>` : ""}</td>
    <td data-label="To come">${next ? html`${inWords(next, formats)} <span class="small">from ${formats.day(next.valid_from)}</span>` : ""}</td>
    <td data-label=""><span class="shop-actions"><button type="button" data-price="${id}" id="price-${item.kind}-${item.key}">New price<span class="visually-hidden"> of ${item.name}</span></button>${item.rows.length > 1 ? html`<button type="button" data-history="${id}">All ${item.rows.length}<span class="visually-hidden"> prices of ${item.name}</span></button>` : ""}</span></td></tr>`;
}

/** A price in one line. @param {PriceRow} r @param {Formats} formats */
export function inWords(r, formats) {
  if (r.kind === "labour")
    return html`<span>${formats.money(r.sell_rate ?? "0")} an hour <span class="small second">costs ${formats.money(r.cost_rate ?? "0")}</span></span>`;
  if (r.kind === "vendor")
    return html`<span>${r.lead_days ?? 0} working days, markup ${formats.percent(r.markup_percent ?? "0")}</span>`;
  const packs = r.packs ?? [];
  return html`<span>${formats.money(r.unit_cost ?? "0")} a ${r.unit} <span class="small second">markup ${formats.percent(r.markup_percent ?? "0")}, waste ${formats.percent(r.waste_percent ?? "0")}, ${word(taxClass, r.tax_class ?? "")}${packs.length ? `; in packs of ${packs.map((p) => p.size).join(", ")} ${r.unit}${r.whole_packs ? ", billed whole" : ""}` : ""}</span></span>`;
}

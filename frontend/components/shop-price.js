// @ts-check
// The price as it builds up beside the estimate, for the owner: net by kind, tax, total, cost and margin,
// deposit and draws. Every sum can be opened to see what it is made of. A figure that changed shows the
// old one struck through for a moment.
//
//   const panel = make("shop-price", { formats, page });     panel.page = next
//   "explain" event: { title, steps }

import { html, render } from "../lib/html.js";
import { confidence, word } from "../lib/words.js";

/** @import { JobPage } from "../lib/contract.js" */
/** @import { Formats } from "../lib/format.js" */
/** @import { Step } from "./bf-figure.js" */

/** One sum: its key, words, amount as the server computed it, a class. @typedef {[string, string, string, string]} Sum */

const staysFor = 3000;

export class ShopPrice extends HTMLElement {
  /** @type {Formats | undefined} */
  formats;
  /** @type {JobPage | undefined} */
  #page;
  /** @type {Map<string, string>} */
  #before = new Map();
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;

  /** @param {JobPage} value */
  set page(value) {
    const old = this.#page;
    this.#page = value;
    const changed = old ? sums(old).filter(([key, , amount]) => amountOf(value, key) !== amount) : [];
    // An answer that moves no figure leaves what is just being shown.
    if (changed.length === 0 && this.childElementCount > 0) return;
    this.#before = new Map(changed.map(([key, , amount]) => [key, amount]));
    this.#draw();
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => {
      for (const each of this.querySelectorAll("del")) each.remove();
    }, staysFor);
  }

  disconnectedCallback() {
    clearTimeout(this.#timer);
  }

  #draw() {
    const page = this.#page;
    const formats = this.formats;
    if (!page || !formats) return;
    const money = (/** @type {string} */ amount) => formats.money(amount, page.price.currency);
    render(
      this,
      html`<h2 id="price">Price</h2>
      <dl class="shop-sums" aria-labelledby="price">${sums(page).map(([key, words, amount, kind]) => {
        const before = this.#before.get(key);
        return html`<dt class="${kind}"><button type="button" class="shop-open" id="sum-${key}" data-sum="${key}">${words}</button></dt>
        <dd class="${kind}">${before === undefined ? "" : html`<del>${money(before)}</del>`}${money(amount)}</dd>`;
      })}</dl>
      <p class="small">Margin ${formats.percent(page.price.margin_percent)} of net. Cost and margin are for the owner only.</p>
      <p><span class="state ranged">Confidence ${word(confidence, page.price.confidence)}</span></p>`,
    );
    for (const button of this.querySelectorAll("button[data-sum]"))
      button.addEventListener("click", () => {
        const detail = explain(this.#page ?? page, formats, button.getAttribute("data-sum") ?? "");
        this.dispatchEvent(new CustomEvent("explain", { detail, bubbles: true }));
      });
  }
}

/** @param {JobPage} page @param {string} key */
function amountOf(page, key) {
  return sums(page).find((sum) => sum[0] === key)?.[2];
}

/** @param {JobPage} page @returns {Sum[]} */
function sums({ price }) {
  return [
    ["labour", "Labour", price.labour_net, ""],
    ["material", "Material", price.material_net, ""],
    ["sublet", "Sublet", price.sublet_net, ""],
    ["other", "Other", price.other_net, "shop-rest"],
    ["net", "Net", price.net, "shop-rest"],
    ...price.taxes.map((t) => /** @type {Sum} */ ([`tax${t.percent}`, `Tax ${t.percent} %`, t.tax, ""])),
    ["total", "Total", price.total, "shop-total"],
    ...price.draws.map(
      (d, n) => /** @type {Sum} */ ([`draw${n}`, `${d.name}, ${d.percent} %`, d.amount, "shop-inner"]),
    ),
    ["cost", "Cost", price.cost, ""],
    ["margin", "Margin", price.margin, "shop-rest"],
  ];
}

/**
 * What a sum is made of, from figures the server computed.
 * @param {JobPage} page @param {Formats} formats @param {string} key
 * @returns {{ title: string, steps: Step[] }}
 */
function explain(page, formats, key) {
  const { price, tasks, lines, phases } = page;
  const money = (/** @type {string} */ amount) => formats.money(amount, price.currency);
  const title = sums(page).find((sum) => sum[0] === key)?.[1] ?? key;
  const value = money(amountOf(page, key) ?? "0");
  /** @param {string} words @returns {Step} */
  const last = (words) => ({ name: title, words, value });
  /** @param {(kind: string) => boolean} wanted */
  const ofLines = (wanted) =>
    lines
      .filter((line) => wanted(line.kind))
      .map((line) => ({
        name: line.description,
        words: formats.quantity(line.quantity, line.unit),
        value: money(line.net),
      }));
  if (key === "labour")
    return {
      title,
      steps: [
        ...tasks
          .filter((task) => task.kind === "work")
          .map((t) => ({
            name: `${t.code} ${t.name}`,
            words: `mean ${formats.hours(t.mean_hours)} at the sell rate of ${t.skill || "no skill"}`,
            value: money(t.net),
          })),
        last("The net of every task, added up."),
      ],
    };
  if (key === "material" || key === "sublet")
    return {
      title,
      steps: [...ofLines((kind) => kind === key), last(`The net of every ${key} line, added up.`)],
    };
  if (key === "other")
    return {
      title,
      steps: [
        ...ofLines((kind) => kind !== "material" && kind !== "sublet"),
        last("Fees, allowances and reserves, less credits."),
      ],
    };
  if (key === "net")
    return {
      title,
      steps: [
        ...phases.map((p) => ({ name: p.name, words: "net of the phase", value: money(p.net) })),
        last("The phases added up."),
      ],
    };
  if (key === "total")
    return {
      title,
      steps: [
        { name: "Net", words: "before tax", value: money(price.net) },
        ...price.taxes.map((t) => ({
          name: `Tax ${t.percent} %`,
          words: `on ${money(t.base)}`,
          value: money(t.tax),
        })),
        last("Net and tax added up."),
      ],
    };
  if (key.startsWith("tax")) {
    const tax = price.taxes.find((t) => key === `tax${t.percent}`);
    return {
      title,
      steps: [
        { name: "Base", words: "net of what is taxed at this rate", value: money(tax?.base ?? "0") },
        last("The rate on the base, rounded once. Rates are the shop's own settings."),
      ],
    };
  }
  if (key === "cost")
    return {
      title,
      steps: [
        ...phases.map((p) => ({ name: p.name, words: "cost of the phase", value: money(p.cost) })),
        last("Hours at cost rates, materials and sublets at cost."),
      ],
    };
  if (key === "margin")
    return {
      title,
      steps: [
        { name: "Net", words: "what the client pays before tax", value: money(price.net) },
        { name: "Cost", words: "what it costs the shop", value: money(price.cost) },
        last("Net less cost."),
      ],
    };
  return {
    title,
    steps: [
      { name: "Total", words: "of the estimate", value: money(price.total) },
      last("Its share of the total. Deposit and draws add up to the total exactly."),
    ],
  };
}

customElements.define("shop-price", ShopPrice);

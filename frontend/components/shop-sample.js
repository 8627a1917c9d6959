// @ts-check
// The sample job beside a template: a vehicle to choose, and what a job made from the plan would come to,
// computed by the server shortly after each edit. A figure that changed shows the old one struck through for
// a moment. What stands in the way is listed, each with the way to its row.
//
//   const panel = make("shop-sample", { formats });   panel.show(plan, car, answer);   panel.wait();
//   "car" event: { key, value }      "place" event: { pointer }      "retry" event

import { html, render } from "../lib/html.js";
import { confidence, word } from "../lib/words.js";
import { choices, wordsOf } from "./shop-form.js";
import { placeOf } from "./shop-plan.js";
import { counted } from "./shop-words.js";

/** @import { Schemas } from "../lib/contract.js" */
/** @import { Formats } from "../lib/format.js" */
/** @import { Plan } from "./shop-plan.js" */

/** @typedef {Schemas["SampleJob"]} Sample */
/** @typedef {{ problems: { pointer: string, detail: string }[], sample?: Sample | undefined, rules?: Schemas["RuleSaid"][], failed?: string }} Answer */

const staysFor = 3000;

export class ShopSample extends HTMLElement {
  /** @type {Formats | undefined} */
  formats;
  /** The figures shown last. @type {Map<string, string>} */
  #last = new Map();
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;

  connectedCallback() {
    this.addEventListener("change", (event) => {
      const select = event.target;
      if (select instanceof HTMLSelectElement)
        this.#tell("car", { key: select.dataset["car"] ?? "", value: select.value });
    });
    this.addEventListener("click", (event) => {
      const button = event.target instanceof Element ? event.target.closest("button") : null;
      const pointer = button?.getAttribute("data-pointer");
      if (pointer) this.#tell("place", { pointer });
      else if (button?.id === "sample-retry") this.#tell("retry", {});
    });
  }

  disconnectedCallback() {
    clearTimeout(this.#timer);
  }

  /** @param {string} type @param {unknown} detail */
  #tell(type, detail) {
    this.dispatchEvent(new CustomEvent(type, { detail }));
  }

  /** The figures are of a moment ago. */
  wait() {
    this.setAttribute("aria-busy", "true");
  }

  /** @param {Plan} plan @param {Record<string, string>} car @param {Answer} answer */
  show(plan, car, answer) {
    const { formats } = this;
    if (!formats) return;
    this.removeAttribute("aria-busy");
    const { sample, problems } = answer;
    const before = this.#last;
    const now = sample ? figures(sample, formats) : [];
    // Without a sample the last figures are remembered, so that the next one shows what moved.
    if (sample) this.#last = new Map(now.map(([key, , value]) => [key, value]));
    render(
      this,
      html`<h2 id="sample">Sample job</h2>
      ${plan.vehicle_options.map(
        (option) => html`<div class="field"><label for="sample-${option.key}">${option.name}</label>
        <select id="sample-${option.key}" data-car="${option.key}">${choices(wordsOf(option.choices)).map(([key, name]) => html`<option value="${key}"${key === car[option.key] ? html` selected` : ""}>${name}</option>`)}</select></div>`,
      )}
      ${
        sample
          ? html`<dl class="shop-sums" aria-labelledby="sample">${now.map(([key, words, value, kind]) => {
              const old = before.get(key);
              return html`<dt class="${kind}">${words}</dt><dd class="${kind}" data-figure="${key}">${old === undefined || old === value ? "" : html`<del>${old}</del>`}${value}</dd>`;
            })}</dl>
        <p class="small">Started now, with nobody waiting for anybody: finished on ${formats.day(formats.dayOf(sample.finish))}. Margin ${formats.percent(sample.margin_percent)} of net. For the owner only.</p>
        <p><span class="state ranged">Confidence ${word(confidence, sample.confidence)}</span></p>`
          : ""
      }
      ${problems.length > 0 ? html`<h3>${counted(problems.length, "thing")} to put right</h3><p class="small">Until then there is no price, and no job could be made.</p><ul class="shop-plain" id="problems">${problems.map((p) => html`<li><button type="button" class="shop-open" data-pointer="${p.pointer}">${placeOf(plan, p.pointer).words}</button> <span class="small">${p.detail}</span></li>`)}</ul>` : ""}
      ${answer.failed ? html`<p class="note watch">${answer.failed}</p><p><button type="button" id="sample-retry">Compute it again</button></p>` : ""}
      <p class="visually-hidden" role="status">${sample ? `Total ${formats.money(sample.total, sample.currency)}, ${counted(sample.days, "working day")}.` : problems.length > 0 ? `${counted(problems.length, "thing")} to put right.` : ""}</p>`,
    );
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => {
      for (const each of this.querySelectorAll("del")) each.remove();
    }, staysFor);
  }
}

/** Key, words, value in words, class. @param {Sample} s @param {Formats} formats @returns {[string, string, string, string][]} */
function figures(s, formats) {
  const money = (/** @type {string} */ amount) => formats.money(amount, s.currency);
  return [
    ["net", "Net", money(s.net), ""],
    ...s.taxes.map(
      (t) =>
        /** @type {[string, string, string, string]} */ ([
          `tax${t.percent}`,
          `Tax ${t.percent} %`,
          money(t.tax),
          "",
        ]),
    ),
    ["total", "Total", money(s.total), "shop-total"],
    ["cost", "Cost", money(s.cost), ""],
    ["margin", "Margin", money(s.margin), "shop-rest"],
    ["hours", "Hours", formats.hours(s.hours), ""],
    ["days", "Working days", String(s.days), ""],
    ["tasks", "Tasks", String(s.task_count), ""],
    ["lines", "Lines", String(s.line_count), ""],
  ];
}

customElements.define("shop-sample", ShopSample);

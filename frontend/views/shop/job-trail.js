// @ts-check
// The trail of a job: who, when, from where, what, before and after.

import { pages } from "../../components/shop-pages.js";
import { named } from "../../components/shop-words.js";
import { get } from "../../lib/call.js";
import { html, render } from "../../lib/html.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @param {HTMLElement} root @param {JobDesk} desk @returns {(own: boolean) => void} */
export function trail(root, desk) {
  const { signal, formats } = desk;
  const list = document.createElement("div");
  render(root, html`<h2 class="visually-hidden">Trail</h2>${list}`);
  const again = pages(list, {
    load: (cursor) =>
      get("/api/jobs/{job}/trail", { path: { job: desk.id }, query: { cursor, limit: 50 }, signal }),
    head: html`<thead><tr><th scope="col" class="num">No.</th><th scope="col">When</th><th scope="col">Who</th><th scope="col">From where</th><th scope="col">What</th><th scope="col">Before and after</th></tr></thead>`,
    row: (entry) => row(entry, formats),
    caption:
      "Every change to this job, newest first. Each entry carries the mark of the one before; nothing is taken out.",
    empty: "Nothing has happened yet.",
    signal,
  });
  return () => void again.then((read) => read());
}

/** @param {Schemas["TrailEntry"]} entry @param {Formats} formats */
function row(entry, formats) {
  return html`<tr><td data-label="No." class="num">${entry.seq}</td><td data-label="When">${formats.instant(entry.at)}</td><td data-label="Who">${entry.actor}</td><td data-label="From where">${entry.from}</td>
    <td data-label="What">${named(entry.action.replaceAll(".", " "))}: ${entry.subject}</td>
    <td data-label="Before, after">${changes(entry)}</td></tr>`;
}

/** @param {Schemas["TrailEntry"]} entry */
function changes(entry) {
  const before = told(entry.before);
  const after = told(entry.after);
  if (!before && !after) return "";
  return html`<details id="trail-${entry.seq}"><summary>Show<span class="visually-hidden"> before and after of ${entry.seq}</span></summary>
    ${before ? html`<p class="small">Before</p><pre class="shop-before" tabindex="0">${before}</pre>` : ""}
    ${after ? html`<p class="small">After</p><pre class="shop-before" tabindex="0">${after}</pre>` : ""}
    <p class="small">Mark ${entry.hash.slice(0, 16)}…</p></details>`;
}

/**
 * A stored value in lines that can be read: "hours, low: 1.00".
 * @param {unknown} value
 * @param {string} [name]
 * @returns {string}
 */
function told(value, name = "") {
  if (value === null || value === undefined || value === "") return "";
  if (typeof value !== "object") return name ? `${name}: ${value}` : String(value);
  return Object.entries(value)
    .map(([key, each]) =>
      told(
        each,
        [name, Array.isArray(value) ? String(Number(key) + 1) : key.replaceAll("_", " ")]
          .filter(Boolean)
          .join(", "),
      ),
    )
    .filter(Boolean)
    .join("\n");
}

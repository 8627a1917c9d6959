// @ts-check
// The trail of a job: who, when, from where, what, before and after.

import { pages } from "../../components/shop-pages.js";
import { named } from "../../components/shop-words.js";
import { get } from "../../lib/call.js";
import { html, render } from "../../lib/html.js";

/** @import { JobPage, Schemas } from "../../lib/contract.js" */
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
    row: (entry) => row(entry, desk.page, formats),
    caption:
      "Every change to this job, newest first. Each entry carries the mark of the one before; nothing is taken out.",
    empty: "Nothing has happened yet.",
    signal,
  });
  return () => void again.then((read) => read());
}

/** @param {Schemas["TrailEntry"]} entry @param {JobPage} page @param {Formats} formats */
function row(entry, page, formats) {
  const names = namesIn(page);
  const task = /** @type {{ TaskID?: string } | undefined} */ (entry.after ?? entry.before)?.TaskID;
  const [kind = "", id = ""] = entry.subject.split(" ");
  const what = names.get(id) ?? (kind === "entry" && task ? (names.get(task) ?? "") : "");
  return html`<tr><td data-label="No." class="num">${entry.seq}</td><td data-label="When">${formats.instant(entry.at)}</td><td data-label="Who">${entry.actor}</td><td data-label="From where">${entry.from}</td>
    <td data-label="What">${words(entry.action)}${what ? `: ${what}` : ""}</td>
    <td data-label="Before, after">${changes(entry, names)}</td></tr>`;
}

/** "changeTask" and "UnitCost" in words. @param {string} name */
function words(name) {
  return named(name.replace(/([a-z])([A-Z])/g, "$1 $2").toLowerCase());
}

/** What this job's identifiers stand for. @param {JobPage} page @returns {Map<string, string>} */
function namesIn(page) {
  return new Map([
    ...page.phases.map((each) => /** @type {const} */ ([each.id, each.name])),
    ...page.tasks.map((each) => /** @type {const} */ ([each.id, `${each.code} ${each.name}`])),
    ...page.lines.map((each) => /** @type {const} */ ([each.id, each.description])),
    ...page.quotes.map((each) => /** @type {const} */ ([each.id, each.number])),
  ]);
}

/** Of two versions only what differs. @param {Schemas["TrailEntry"]} entry @param {Map<string, string>} names */
function changes(entry, names) {
  const before = told(entry.before, names);
  const after = told(entry.after, names);
  const side = (
    /** @type {string} */ name,
    /** @type {string[]} */ lines,
    /** @type {string[]} */ others,
  ) => {
    const differ = lines.filter((line) => !others.includes(line));
    return differ.length > 0
      ? html`<p class="small">${name}</p><pre class="shop-before" tabindex="0">${differ.join("\n")}</pre>`
      : "";
  };
  return html`<details id="trail-${entry.seq}"><summary>Show<span class="visually-hidden"> before and after of ${entry.seq}</span></summary>
    ${side("Before", before, after)}${side("After", after, before)}
    <p class="small">Mark ${entry.hash.slice(0, 16)}…</p></details>`;
}

/**
 * A stored value in lines that can be read: "Hours, low: 1.00".
 * @param {unknown} value
 * @param {Map<string, string>} names
 * @param {string} [name]
 * @returns {string[]}
 */
function told(value, names, name = "") {
  if (value === null || value === undefined || value === "") return [];
  if (typeof value !== "object") return [`${name ? `${name}: ` : ""}${names.get(String(value)) ?? value}`];
  return Object.entries(value).flatMap(([key, each]) =>
    told(
      each,
      names,
      [name, Array.isArray(value) ? String(Number(key) + 1) : words(key)].filter(Boolean).join(", "),
    ),
  );
}

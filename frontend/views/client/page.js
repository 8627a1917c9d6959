// @ts-check
// What every page of one car has in common: its heading, and the pages beside it. Answers the place for what
// the page reads.

import { attr, html, render } from "../../lib/html.js";

/** @type {[string, string][]} the end of the address, and the word */
const pages = [
  ["", "Where it stands"],
  ["/decisions", "Decisions"],
  ["/frame", "The frame"],
  ["/money", "Money"],
  ["/letters", "Letters"],
];

/** @param {string} job @param {string} [current] */
export function pagesOf(job, current) {
  return html`<nav class="no-print" aria-label="Pages of this car"><ul class="tabs">${pages.map(([end, name]) => html`<li><a href="/client/jobs/${job}${end}" ${attr("aria-current", name === current && "page")}>${name}</a></li>`)}</ul></nav>`;
}

/** @param {HTMLElement} root @param {string} job @param {string} name of the page */
export function page(root, job, name) {
  const place = document.createElement("div");
  place.className = "view";
  render(root, html`${pagesOf(job, name)}<h1>${name}</h1>${place}`);
  return place;
}

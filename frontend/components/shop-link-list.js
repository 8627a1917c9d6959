// @ts-check
// A task's predecessors and successors by name, and a link in words.

import { attr, html } from "../lib/html.js";
import { linkType, word } from "../lib/words.js";
import { lagKind } from "./shop-words.js";

/** @import { JobPage, Schemas, TaskView } from "../lib/contract.js" */

/** A figure without zeros that say nothing: "6.00" is "6". @param {string} figure */
export const plain = (figure) => figure.replace(/\.0+$|(\.\d*[1-9])0+$/, "$1");

/** "finish to start, lag 4 elapsed hours". @param {{ type: string, lag_hours: string, lag_kind: Schemas["LagKind"], max_lag_hours?: string }} link */
export function linkWords(link) {
  const none = /^-?0*(\.0*)?$/.test(link.lag_hours);
  const least = none ? "" : `, lag ${plain(link.lag_hours)} ${lagKind[link.lag_kind]}`;
  const most =
    link.max_lag_hours === undefined
      ? ""
      : `, not later than ${plain(link.max_lag_hours)} ${lagKind[link.lag_kind]} after`;
  return `${word(linkType, link.type)}${least}${most}`;
}

/** @param {TaskView} task @param {JobPage} page */
export function linkList(task, page) {
  const before = page.links.filter((link) => link.to_task_id === task.id);
  const after = page.links.filter((link) => link.from_task_id === task.id);
  return html`<div class="shop-two">
    ${side("Follows", before, (link) => link.from_task_id, page)}
    ${side("Comes before", after, (link) => link.to_task_id, page)}
  </div>`;
}

/**
 * @param {string} title
 * @param {Schemas["LinkView"][]} links
 * @param {(link: Schemas["LinkView"]) => string} other
 * @param {JobPage} page
 */
function side(title, links, other, page) {
  return html`<div><h3>${title}</h3>${links.length === 0 ? html`<p class="second">Nothing.</p>` : ""}
    <ul class="shop-links">${links.map((link) => {
      const task = page.tasks.find((each) => each.id === other(link));
      return html`<li ${attr("data-driving", link.driving)}><button type="button" class="shop-open" data-link="${link.id}">${task?.code ?? ""} ${task?.name ?? ""}</button>
      <span class="small">${linkWords(link)}${link.driving ? "; sets the time" : ""}</span></li>`;
    })}</ul></div>`;
}

/** A link in words, for comparing two versions. @param {Schemas["LinkDraft"]} link @param {JobPage} page @returns {[string, string][]} */
export function linkRows(link, page) {
  const code = (/** @type {string} */ id) => {
    const task = page.tasks.find((each) => each.id === id);
    return task ? `${task.code} ${task.name}` : "–";
  };
  return [
    ["From", code(link.from_task_id)],
    ["To", code(link.to_task_id)],
    ["Link", linkWords(link)],
  ];
}

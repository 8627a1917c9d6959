// @ts-check
// A list that comes in pages: the first at once, the next when asked for.
//
//   const again = await pages(root, { load: (cursor) => get(…), head: html`<thead>…`, row, empty, caption, signal });

import { html, on, render } from "../lib/html.js";
import { showProblem } from "./bf-problem.js";

/** @import { Markup } from "../lib/html.js" */

/**
 * @template T
 * @param {HTMLElement} root
 * @param {object} list
 * @param {(cursor: string) => Promise<{ items: T[], next_cursor: string }>} list.load
 * @param {Markup} list.head
 * @param {(item: T) => Markup} list.row
 * @param {string} list.caption
 * @param {string} list.empty
 * @param {string} [list.kind] a class of the table
 * @param {AbortSignal} list.signal
 * @returns {Promise<() => Promise<void>>} reads the list again, as far as it was read
 */
export async function pages(root, { load, head, row, caption, empty, kind = "shop-stack", signal }) {
  /** @type {T[]} */
  let items = [];
  let next = "";
  const draw = () =>
    render(
      root,
      items.length === 0
        ? html`<p class="empty">${empty}</p>`
        : html`<div class="shop-scroll" tabindex="0" role="region" aria-label="${caption}"><table class="shop-list ${kind}"><caption>${caption}</caption>${head}<tbody>${items.map(row)}</tbody></table></div>
          ${next ? html`<p class="shop-actions"><button type="button" data-more>Show more</button></p>` : ""}`,
    );
  /** @param {string} cursor @param {T[]} before */
  const read = async (cursor, before) => {
    try {
      const page = await load(cursor);
      items = [...before, ...page.items];
      next = page.next_cursor;
      draw();
    } catch (error) {
      if (!signal.aborted) showProblem(root, error);
    }
  };
  on(root, "click", "[data-more]", () => void read(next, items), signal);
  await read("", []);
  return async () => {
    const wanted = items.length;
    await read("", []);
    while (items.length < wanted && next) await read(next, items);
  };
}

// @ts-check
// My entries, newest first; each can be corrected by a further one.

import { showProblem } from "../../components/bf-problem.js";
import { get } from "../../lib/call.js";
import { html, on, render } from "../../lib/html.js";
import { correct } from "./acts.js";
import { entryRow } from "./cards.js";

/** @import { HoursEntry } from "../../lib/contract.js" */

/** @type {import("../../lib/router.js").View} */
export default async function view(root, _params, context) {
  const { signal, formats, changed } = context;
  /** @type {HoursEntry[]} */
  let entries = [];
  let cursor = "";

  /** @param {boolean} more */
  const load = async (more) => {
    const page = await get("/api/bench/hours", {
      query: { limit: 50, cursor: more ? cursor : undefined },
      signal,
    });
    entries = more ? [...entries, ...page.items] : page.items;
    cursor = page.next_cursor;
    render(
      root,
      html`<h1>My hours</h1>
      <section class="sheet">${entries.length > 0 ? html`<ul class="rows">${entries.map((e) => entryRow(e, formats, true))}</ul>` : html`<p class="empty">No entries yet. <a href="/bench">Start the clock</a> on a task; the entry stands here when it stops.</p>`}
      ${cursor ? html`<button type="button" class="big" id="more" data-act="more">Show earlier ones</button>` : ""}</section>`,
    );
  };
  /** @param {boolean} more */
  const safely = (more) =>
    void load(more).catch((error) => {
      if (!signal.aborted) showProblem(root, error);
    });

  await load(false);
  changed(() => safely(false));
  on(root, "click", "[data-act=more]", () => safely(true), signal);
  on(
    root,
    "click",
    "[data-act=correct]",
    async (button) => {
      const entry = entries.find((e) => e.id === button.dataset["entry"]);
      if (entry && (await correct(context, entry))) safely(false);
    },
    signal,
  );
}

// @ts-check
// My cars at this shop. One car needs no list: its page opens at once.

import { get } from "../../lib/call.js";
import { html, render } from "../../lib/html.js";
import { jobState, word } from "../../lib/words.js";

/** @type {import("../../lib/router.js").View} */
export default async function view(root, _params, { signal, me, navigate, changed }) {
  /** @param {boolean} first */
  const load = async (first) => {
    const { items } = await get("/api/client/jobs", { signal });
    const only = items[0];
    if (first && only && items.length === 1) {
      navigate(`/client/jobs/${only.id}`, { replace: true });
      return;
    }
    render(
      root,
      html`<h1>My cars</h1>
      ${items.length === 0 ? html`<p class="empty">There is no job of yours here yet. ${me.shop.name} makes one after the first look at your car; it then stands here.</p>` : ""}
      ${items.map(
        (job) =>
          html`<article class="sheet letter"><h2><a href="/client/jobs/${job.id}">${job.vehicle}</a></h2><p class="sentence">${job.sentence}</p><p class="second">Job ${job.number}, ${job.title}: ${word(jobState, job.state).toLowerCase()}</p></article>`,
      )}`,
    );
  };
  await load(true);
  changed(() => void load(false).catch(() => {}));
}

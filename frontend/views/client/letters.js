// @ts-check
// The shop's progress letters, newest first.

import { live } from "../../components/live.js";
import { get } from "../../lib/call.js";
import { html, render } from "../../lib/html.js";
import { page } from "./page.js";

/** @type {import("../../lib/router.js").View} */
export default async function view(root, params, context) {
  const { signal, formats } = context;
  const job = params["job"] ?? "";
  const place = page(root, job, "Letters");
  await live({
    job,
    context,
    place: root,
    read: () => get("/api/client/jobs/{job}/letters", { path: { job }, signal }),
    draw: ({ items }) =>
      render(
        place,
        html`${items.length === 0 ? html`<p class="empty">No letter yet. The shop writes when there is something to tell; each letter then stays here.</p>` : ""}
        ${items.map((letter) => html`<article class="sheet letter"><p class="second">Letter ${letter.number}, ${formats.day(formats.dayOf(letter.sent_at))}</p><h2>${letter.subject}</h2><p class="terms">${letter.text}</p></article>`)}`,
      ),
  });
}

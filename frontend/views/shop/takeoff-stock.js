// @ts-check
// What jobs in work leave over of whole packs, to be used on this one, and back again.

import { dialog } from "../../components/bf-dialog.js";
import { say } from "../../components/bf-toast.js";
import { choices, decimalText, span } from "../../components/shop-form.js";
import { get, newKey, post } from "../../lib/call.js";
import { field, text } from "../../lib/form.js";
import { html } from "../../lib/html.js";
import { reasoned } from "./observation-sheets.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @param {JobDesk} desk @param {() => Promise<void>} again */
export async function remainders(desk, again) {
  const { formats, signal } = desk;
  const { items } = await get("/api/shop/remainders", { signal });
  const others = items.filter((r) => r.job_id !== desk.id && Number(r.free) > 0);
  const mine = items.flatMap((r) =>
    r.moves.filter((m) => m.to_job === desk.id && !m.void).map((m) => ({ r, m })),
  );
  const key = newKey();
  const listed = Object.fromEntries(
    others.map((r, i) => [
      String(i),
      `${r.name}: ${formats.measured(r.free, r.unit)} from job ${r.job_number}`,
    ]),
  );
  let back = "";
  await dialog({
    title: "What other jobs leave over",
    body: html`${
      others.length === 0
        ? html`<p>No job in work leaves anything over. Remainders come of materials whose packs stand in the price book.</p>`
        : html`<div class="shop-form">${span(12, field({ form: "stock", name: "from", label: "Use", type: "select", value: "0", options: choices(listed) }))}
      ${span(6, field({ form: "stock", name: "quantity", label: "How much", value: others[0]?.free ?? "", inputmode: "decimal", required: true, hint: `In ${others[0]?.unit ?? ""} as the price book counts it.` }))}</div>`
    }
      ${mine.length === 0 ? "" : html`<h3>Used here</h3><ul class="shop-plain">${mine.map(({ r, m }) => html`<li>${r.name}: ${formats.measured(m.quantity, r.unit)} from job ${r.job_number} <button type="button" class="plain" data-back="${m.id}">Give it back<span class="visually-hidden">: ${r.name}</span></button></li>`)}</ul>`}`,
    ...(others.length > 0 && {
      action: "Use it here",
      submit: async (/** @type {FormData} */ data) => {
        const from = others[Number(text(data, "from"))];
        if (!from) return;
        await post("/api/jobs/{job}/remainders", {
          path: { job: desk.id },
          body: {
            material: from.material,
            from_job: from.job_id,
            quantity: decimalText(text(data, "quantity")),
            unit: from.unit,
          },
          key,
        });
        say("Less is bought for this job.");
        await again();
      },
    }),
    ready: (form) =>
      form.addEventListener("click", (event) => {
        const button = /** @type {HTMLElement} */ (event.target).closest("[data-back]");
        if (!button) return;
        back = /** @type {HTMLElement} */ (button).dataset["back"] ?? "";
        form.closest("dialog")?.close();
      }),
    signal,
  });
  if (back)
    await reasoned({
      title: "Give it back",
      words: html`<p>It stays readable with your reason.</p>`,
      action: "Say so",
      signal,
      send: async (reason, again_) => {
        await post("/api/remainders/{remainder}/void", {
          path: { remainder: back },
          body: { reason },
          key: again_,
        });
        await again();
      },
    });
}

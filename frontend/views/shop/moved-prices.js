// @ts-check
// What has moved in the price book since a job's prices were taken from it.

import { dialog } from "../../components/bf-dialog.js";
import { say } from "../../components/bf-toast.js";
import { get, post } from "../../lib/call.js";
import { html } from "../../lib/html.js";

/** @import { JobDesk } from "./job-desk.js" */

/** @param {JobDesk} desk */
export async function movedPrices(desk) {
  const { formats, signal } = desk;
  const moved = await get("/api/jobs/{job}/prices-moved", { path: { job: desk.id }, signal });
  const money = (/** @type {string} */ amount) => formats.money(amount, moved.currency);
  const open =
    desk.page.lines.some((line) => line.price_item) &&
    ["enquiry", "surveyed", "quoted"].includes(desk.page.job.state);
  const some = moved.items.some((item) => item.kind !== "labour" && item.now);
  await dialog({
    title: "Prices that have moved",
    body:
      moved.items.length === 0
        ? html`<p>Nothing that this job uses has another price in today's price book.</p>`
        : html`<p>At today's prices this job would cost ${money(moved.net_after)} net instead of ${money(moved.net_before)}: <strong>${money(moved.difference)}</strong>.</p>
      <div class="shop-scroll"><table class="shop-list"><caption class="visually-hidden">Prices that have moved, as of ${formats.day(moved.as_of)}</caption><thead><tr><th scope="col">What</th><th scope="col">Was</th><th scope="col">Now</th><th scope="col" class="num">By</th><th scope="col" class="num">On this job</th></tr></thead><tbody>${moved.items.map(
        (item) =>
          html`<tr><td>${item.name} <span class="small second">${item.uses} ${item.uses === 1 ? "use" : "uses"}</span></td><td>${item.was}</td><td>${item.now || "not in the price book any more"}</td><td class="num">${item.percent ? formats.percent(item.percent) : ""}</td><td class="num">${money(item.difference)}</td></tr>`,
      )}</tbody></table></div>
      <p class="second">${open ? "Labour of an estimate follows today's rates by itself. Lines keep the price they were made with until you take today's." : "What was agreed keeps the prices it was agreed at."}</p>`,
    ...(open &&
      some && {
        action: "Price the lines at today's prices",
        submit: async () => {
          desk.accept(
            await post("/api/jobs/{job}/prices", { path: { job: desk.id }, version: desk.version }),
            true,
          );
          say("The lines have today's prices.");
        },
      }),
    signal,
  });
}

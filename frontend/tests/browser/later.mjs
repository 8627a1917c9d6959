// What the client left with the quote and would like after all: the owner puts it into a change order, the
// client approves it, and it counts as taken with that order, once.

import assert from "node:assert/strict";
import { open, settled } from "./people.mjs";
import { ask, cents, money } from "./read.mjs";

/** @import { Story } from "./story.mjs" */

/** @param {Story} story */
const page = ({ owner, job }) => ask(owner, `/api/jobs/${job}`);

/** By keyboard: from the options to a draft, with the option's line in it. @param {Story} story */
async function drafts(story) {
  const { owner, job } = story;
  await open(owner, `/shop/jobs/${job}/estimate`);
  const row = owner.page.locator(".shop-options tr", { hasText: "Stainless clips" });
  await row.getByText("not taken").waitFor();
  await row.getByRole("button", { name: /^Put into a change order/ }).press("Enter");
  await owner.page.waitForURL(/\/orders\/[\w-]{36}$/);
  await settled(owner.page);
  await owner.page.getByText("Brings in Extra: Stainless clips").waitFor();
  await owner.page.getByRole("button", { name: "Clips in stainless" }).waitFor();
  const id = new URL(owner.page.url()).pathname.split("/").at(-1) ?? "";
  const order = await ask(owner, `/api/orders/${id}`);
  // 48.00 and what the price book's markup adds are the owner's own line: the order asks for as much.
  const { lines } = (await page(story)).not_taken;
  assert.equal(order.effect.lines.length, lines.length);
  assert.ok(cents(order.effect.amount) >= 4800, order.effect.amount);
  assert.ok((await owner.page.locator("main").innerText()).includes(money(order.effect.amount)));
  return id;
}

/** @param {Story} story @param {string} id */
async function sends(story, id) {
  const { owner } = story;
  await owner.page.getByRole("button", { name: "Send to the client" }).click();
  const sheet = owner.page.getByRole("dialog");
  await sheet.getByRole("button", { name: /^Send/ }).click();
  await sheet.waitFor({ state: "detached" });
  assert.equal((await ask(owner, `/api/orders/${id}`)).summary.state, "sent");
}

/** @param {Story} story @param {string} id */
async function approves(story, id) {
  const { owner, client, job } = story;
  const before = (await page(story)).job.authorised_amount;
  const { effect } = await ask(owner, `/api/orders/${id}`);
  await client.page.goto(`/client/jobs/${job}/orders/${id}`);
  await settled(client.page);
  await client.page.getByLabel(/^Type your name/).fill("Mirel Dance");
  await client.page.getByRole("button", { name: /^Approve/ }).click();
  await client.page.getByText(/approved/i).first().waitFor();
  const now = await page(story);
  assert.equal(cents(now.job.authorised_amount), cents(before) + cents(effect.amount), "authorised, to the cent");
  await open(owner, `/shop/jobs/${job}/estimate`);
  const row = owner.page.locator(".shop-options tr", { hasText: "Stainless clips" });
  await row.getByText(/^taken with order/).waitFor();
  assert.equal(await row.getByRole("button", { name: /^Put into/ }).count(), 0, "it is not ordered twice");
  assert.equal(await owner.page.locator(".shop-left", { hasText: "Clips in stainless" }).count(), 0);
}

/** @param {Story} story */
export async function wantsLater(story) {
  const { told } = story;
  let id = "";
  await told.step("an extra that the client left goes into a change order", async () => {
    id = await drafts(story);
  });
  await told.step("and is sent", () => sends(story, id));
  await told.step("approved, it counts as taken with the order", () => approves(story, id));
}

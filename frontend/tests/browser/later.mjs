// What the client left with the quote and would like after all: the owner puts it into a change order, the
// client agrees, and it counts as taken with that order, once.

import assert from "node:assert/strict";
import { write } from "./found-arranged.mjs";
import { open, settled } from "./people.mjs";
import { ask, cents, money } from "./read.mjs";

/** @import { Story } from "./story.mjs" */

/** A job whose quote was accepted without its extra. @param {Story} story */
async function sold({ owner, job }) {
  const like = await ask(owner, `/api/jobs/${job}`);
  const { vehicle, template_name, client } = like.job;
  const { items } = await ask(owner, "/api/templates");
  const made = await write(owner, "POST", "/api/jobs", {
    title: "Wanted later",
    vehicle,
    template_id: items.find((/** @type {any} */ t) => t.name === template_name).id,
    client_id: client.id,
  });
  const at = `/api/jobs/${made.job.id}`;
  const change = async (/** @type {string} */ path, /** @type {object} */ body) =>
    write(owner, "POST", at + path, body, (await ask(owner, at)).job.version);
  const extra = { group: "", name: "Zinc primer", note: "", taken: false, points: [] };
  const { options, phases } = await change("/options", extra);
  await change("/lines", {
    phase_id: phases[0].id,
    kind: "fee",
    description: "Zinc primer inside",
    quantity: "1",
    unit: "lot",
    unit_cost: "120.00",
    markup_percent: "0",
    waste_percent: "0",
    discount_percent: "0",
    tax_class: "fee",
    option_id: options[0].id,
  });
  await change("/state", { to: "surveyed", reason: "Walked round the car." });
  const { summary: quote } = await change("/quotes", { valid_days: 30, note: "" });
  await write(owner, "POST", `/api/quotes/${quote.id}/decision`, {
    outcome: "accepted",
    how: "telephone",
    name: "Sorei Vantesse",
    contact: "+00 555 0134",
    said: "Without the primer.",
    decided_at: new Date().toISOString(),
    amount: quote.total,
    option_ids: [],
  });
  return made.job.id;
}

/** By keyboard: from the options to a draft, with the option's line in it. @param {Story} story @param {string} job */
async function drafts({ owner }, job) {
  await open(owner, `/shop/jobs/${job}/estimate`);
  const row = owner.page.locator(".shop-options tr", { hasText: "Zinc primer" });
  await row.getByText("not taken").waitFor();
  await row.getByRole("button", { name: /^Put into a change order/ }).press("Enter");
  await owner.page.waitForURL(/\/orders\/[\w-]{36}$/);
  await settled(owner.page);
  await owner.page.getByText("Brings in Extra: Zinc primer").waitFor();
  await owner.page.getByRole("button", { name: "Zinc primer inside" }).waitFor();
  const id = new URL(owner.page.url()).pathname.split("/").at(-1) ?? "";
  const { effect } = await ask(owner, `/api/orders/${id}`);
  assert.equal(effect.net, "120.00", "one lot at 120.00, by hand");
  assert.ok((await owner.page.locator("main").innerText()).includes(money(effect.amount)));
  await owner.page.locator("#send").click();
  const sheet = owner.page.getByRole("dialog");
  await sheet.getByRole("button", { name: "Send to client" }).click();
  await sheet.waitFor({ state: "detached" });
  return id;
}

/** @param {Story} story @param {string} job @param {string} id */
async function approves({ owner }, job, id) {
  const { authorised_amount: before, client } = (await ask(owner, `/api/jobs/${job}`)).job;
  const { effect } = await ask(owner, `/api/orders/${id}`);
  await write(owner, "POST", `/api/orders/${id}/decision`, {
    outcome: "approved",
    how: "telephone",
    name: client.name,
    contact: "+00 555 0134",
    said: "Do it after all.",
    added_parts: "Zinc primer inside",
    added_labour: "none",
    revised_total: effect.authorised_after,
    decided_at: new Date().toISOString(),
    amount: effect.amount,
    choices: effect.choices,
  });
  await open(owner, `/shop/jobs/${job}/estimate`);
  const row = owner.page.locator(".shop-options tr", { hasText: "Zinc primer" });
  await row.getByText(/^taken with order/).waitFor();
  const now = await ask(owner, `/api/jobs/${job}`);
  assert.equal(cents(now.job.authorised_amount), cents(before) + cents(effect.amount), "to the cent");
  assert.equal(await row.getByRole("button", { name: /^Put into/ }).count(), 0, "it is not ordered twice");
  assert.equal(await owner.page.locator(".shop-left", { hasText: "Zinc primer inside" }).count(), 0);
}

/** @param {Story} story */
export async function wantsLater(story) {
  const { told } = story;
  let job = "";
  let id = "";
  await told.step("an extra that the client left goes into a change order, and is sent", async () => {
    job = await sold(story);
    id = await drafts(story, job);
  });
  await told.step("approved, it counts as taken with the order, to the cent", () => approves(story, job, id));
}

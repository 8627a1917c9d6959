// The price book: a new price from a day on, a list that is refused whole and then written, and what has
// moved since a job took its prices.

import assert from "node:assert/strict";
import { open, settled } from "./people.mjs";
import { ask, dayIn, money, until } from "./read.mjs";

/** @import { Story } from "./story.mjs" */

/** @param {Story} story @param {string} find */
async function found({ owner }, find) {
  await owner.page.getByLabel("Find").fill(find);
  const row = owner.page.locator("#prices tbody tr");
  await until(
    `one price called ${find}`,
    () => row.count(),
    (n) => n === 1,
  );
  return row.first();
}

/** @param {Story} story */
async function dearer(story) {
  const { owner } = story;
  await open(owner, "/shop/price-book");
  const row = await found(story, "primer_2k");
  await row.getByRole("button", { name: /New price/ }).click();
  const sheet = owner.page.getByRole("dialog");
  await sheet.getByLabel("Cost a unit").fill("36.25");
  await sheet.getByLabel("Bought in packs").fill("1 at 40; 5 at 170.50");
  await sheet.getByRole("button", { name: "Set the price" }).click();
  await sheet.waitFor({ state: "detached" });
  await until(
    "the new price",
    () => row.innerText(),
    (text) => text.includes(money("36.25")) && text.includes("packs of 1, 5"),
  );
  await row.getByRole("button", { name: /All 2 prices/ }).click();
  const all = await owner.page.getByRole("dialog").innerText();
  assert.ok(all.includes("the beginning") && all.includes(money("29.00")), `what held before: ${all}`);
  await owner.page.getByRole("dialog").getByRole("button", { name: "Close" }).click();
  const day = dayIn(new Date().toISOString(), story.zone);
  const { materials } = await ask(owner, "/api/shop/price-book");
  assert.equal(materials.find((/** @type {any} */ m) => m.key === "primer_2k").unit_cost, "36.25", day);
}

const head = "Kind,Key,Name,Unit,Cost a unit,Tax class,Note\n";

/** @param {Story} story */
async function list(story) {
  const { owner } = story;
  await open(owner, "/shop/price-book");
  const before = (await ask(owner, "/api/shop/price-book")).version;
  await owner.page.getByRole("button", { name: "Read a list" }).click();
  const sheet = owner.page.getByRole("dialog");
  const write = sheet.getByRole("button", { name: "Write all rows" });
  const give = (/** @type {string} */ text) =>
    sheet
      .getByLabel("The list, as CSV or XLSX")
      .setInputFiles({ name: "list.csv", mimeType: "text/csv", buffer: Buffer.from(head + text) });
  await give(
    "material,felt_strip,Felt strip,m,2.40,material,\nmaterial,lead_wool,Lead wool,kg,=1+1,material,\n",
  );
  await until(
    "what is wrong",
    () => sheet.innerText(),
    (text) => text.includes("One thing is wrong") && /\b3\b/.test(text) && /formula/i.test(text),
  );
  assert.ok(await write.isDisabled(), "a list with a wrong row cannot be written");
  assert.equal((await ask(owner, "/api/shop/price-book")).version, before);
  await give(
    "material,felt_strip,Felt strip,m,2.40,material,\nmaterial,lead_wool,Lead wool,kg,9.10,material,\n",
  );
  await until(
    "the list is looked through",
    () => sheet.innerText(),
    (text) => text.includes("2 new"),
  );
  await write.click();
  await sheet.waitFor({ state: "detached" });
  const row = await found(story, "lead_wool");
  assert.ok((await row.innerText()).includes(money("9.10")));
}

/** @param {Story} story */
async function moved(story) {
  const { owner } = story;
  const { items } = await ask(owner, "/api/jobs");
  const job = items.find((/** @type {any} */ j) => j.state === "enquiry");
  const before = await ask(owner, `/api/jobs/${job.id}/prices-moved`);
  assert.ok(
    before.items.some((/** @type {any} */ i) => i.key === "primer_2k"),
    "the primer moved",
  );
  await open(owner, `/shop/jobs/${job.id}/estimate`);
  await owner.page.getByRole("button", { name: "Prices that have moved" }).click();
  const sheet = owner.page.getByRole("dialog");
  assert.ok((await sheet.innerText()).includes(money(before.difference, before.currency)));
  await sheet.getByRole("button", { name: "today's prices" }).click();
  await sheet.waitFor({ state: "detached" });
  await settled(owner.page);
  const after = await ask(owner, `/api/jobs/${job.id}/prices-moved`);
  assert.equal(after.net_before, before.net_after, "the job is priced as was said it would be");
  assert.equal(after.items.length, 0);
}

/** @param {Story} story */
export async function prices(story) {
  const { told } = story;
  await told.step("a new price holds from today, and the old one stays readable", () => dearer(story));
  await told.step("a price list with one wrong row is refused whole, then written", () => list(story));
  await told.step("a job says what has moved and takes today's prices", () => moved(story));
}

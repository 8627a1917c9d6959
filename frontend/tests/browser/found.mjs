// The owner's desk alone: the frame surveyed, findings reported and gathered into an order, decided on the
// telephone, and what that does to the money of the job.

import assert from "node:assert/strict";
import { expecting, open } from "./people.mjs";
import { ask, money, until } from "./read.mjs";

/** @import { Story } from "./story.mjs" */

/** @param {Story} story @param {string} part */
const of = (story, part) => ask(story.owner, `/api/jobs/${story.job}/${part}`);

/** A photograph of what stands on the screen. @param {Story} story */
async function photo({ owner }) {
  const buffer = await owner.page.screenshot({ type: "jpeg" });
  return { name: "seen.jpg", mimeType: "image/jpeg", buffer };
}

/** Picks a zone in the drawing by keyboard. @param {Story} story @param {string} id */
async function pick({ owner }, id) {
  await owner.page.locator(`.frame-zone[data-zone="${id}"]`).first().focus();
  await owner.page.keyboard.press("Enter");
  await owner.page.locator("#observe").waitFor();
}

/** @param {Story} story */
async function observe(story) {
  const { owner } = story;
  await open(owner, `/shop/jobs/${story.job}/survey`);
  const { zones, observations } = await of(story, "frame");
  const known = new Set(observations.map((/** @type {any} */ o) => o.id));
  const rotten = new Set(
    observations.flatMap((/** @type {any} */ o) => (o.condition === "perforated" ? [o.zone_id] : [])),
  );
  const zone = zones.find((/** @type {any} */ z) => z.kind === "rail" && !rotten.has(z.id));
  assert.ok(zone, "a rail that is not known to be perforated");
  await pick(story, zone.id);
  const sheet = owner.page.getByRole("dialog");
  for (const [when, condition] of [
    ["arrival", "b"],
    ["stripped", "perforated"],
  ]) {
    await owner.page.locator("#observe").click();
    await sheet.getByLabel("When").selectOption(when ?? "");
    await sheet.getByLabel("Condition").selectOption(condition ?? "");
    await sheet.getByLabel("Length, mm").fill("140");
    await sheet.locator('input[type="file"]').setInputFiles(await photo(story));
    await sheet.getByText("The photo is kept.").waitFor();
    await sheet.getByRole("button", { name: "Keep it" }).click();
    await sheet.waitFor({ state: "detached" });
  }
  const seen = (await of(story, "frame")).observations.filter(
    (/** @type {any} */ o) => o.zone_id === zone.id && !known.has(o.id),
  );
  assert.deepEqual(seen.map((/** @type {any} */ o) => o.condition).sort(), ["b", "perforated"]);
  assert.equal(seen[0].photos.length, 1, "its photo is kept with it");
  await owner.page.locator("#survey-at").selectOption("arrival");
  await owner.page.locator("#survey-beside").selectOption("stripped");
  const worse = owner.page.locator("bf-frame-pair .frame-differences");
  assert.ok((await worse.innerText()).includes(zone.name), "the comparison names the zone");
  await owner.page.locator("#survey-beside").selectOption("");
}

/** @param {Story} story @param {number} place of the zone @param {string} condition */
async function report(story, place, condition) {
  const { owner } = story;
  const { zones } = await of(story, "frame");
  const zone = zones.filter((/** @type {any} */ z) => z.kind === "rail")[place];
  await pick(story, zone.id);
  const sheet = owner.page.getByRole("dialog");
  await owner.page.locator("#report").click();
  await sheet.getByLabel("Condition of the steel").selectOption(condition);
  await sheet.getByLabel("Length, mm").fill("140");
  await sheet.getByLabel("Width, mm").fill("60");
  await sheet.getByLabel("Width, mm").blur();
  const repairs = sheet.locator('[data-repairs] input[name="repairs[]"]');
  await repairs.first().waitFor();
  for (const each of (await repairs.all()).slice(0, 2)) await each.check();
  await sheet.locator('input[type="file"]').setInputFiles(await photo(story));
  await sheet.getByText("The photo is kept.").waitFor();
  await sheet.getByRole("button", { name: "Report it" }).click();
  await sheet.waitFor({ state: "detached" });
}

/** The order whose page stands open. @param {Story} story */
async function here({ owner }) {
  const id = /orders\/([0-9a-f-]{36})/.exec(owner.page.url())?.[1] ?? "";
  return ask(owner, `/api/orders/${id}`);
}

/** The effect on the screen is the server's. @param {Story} story @param {any} effect */
async function shows(story, effect) {
  const { currency, authorised_after } = effect;
  await until(
    "the new total on the screen",
    () => story.owner.page.locator(".order-effect").innerText(),
    (text) => text.includes(money(authorised_after, currency)),
  );
  const sheet = story.owner.page.locator(".order-effect");
  assert.equal(
    await sheet.locator(".dates-from").innerText(),
    effect.dates.words,
    "where the dates come from",
  );
  assert.equal(await sheet.locator("#other-cars").count(), effect.floor ? 1 : 0);
  const cars = effect.floor?.cars ?? [];
  assert.equal(await sheet.locator("#other-cars tbody tr").count(), cars.length, "every car that moves");
}

/** @param {Story} story */
async function gather(story) {
  const { owner } = story;
  await open(owner, `/shop/jobs/${story.job}/changes`);
  await owner.page.locator("#gather").click();
  await owner.page.waitForURL(/\/orders\//);
  await owner.page.locator("#send").waitFor();
  const order = await here(story);
  assert.equal(order.draft.kind, "inspection");
  const waits = (await of(story, "findings")).items.filter((/** @type {any} */ f) => f.state === "reported");
  assert.equal(waits.length, 0, "nothing waits any more");
  await shows(story, order.effect);
}

/** @param {Story} story */
async function addLine(story) {
  const { owner } = story;
  const before = await here(story);
  const sheet = owner.page.getByRole("dialog");
  await owner.page.getByRole("button", { name: "Add a line" }).first().click();
  await sheet.getByLabel("Kind").selectOption("fee");
  await sheet.getByLabel("Description").fill("Courier for the section");
  await sheet.getByLabel(/Cost per unit/).fill("100.00");
  await sheet.getByLabel("Tax class").selectOption("exempt");
  await sheet.getByRole("button", { name: "Save in the draft" }).click();
  await sheet.waitFor({ state: "detached" });
  const after = await here(story);
  // 100.00 with no markup and no tax is 100.00: by hand.
  assert.equal((Number(after.effect.amount) - Number(before.effect.amount)).toFixed(2), "100.00");
  await shows(story, after.effect);
}

/** @param {Story} story */
async function send(story) {
  const { owner } = story;
  const sheet = owner.page.getByRole("dialog");
  await owner.page.locator("#send").click();
  await sheet.getByRole("button", { name: "Send to client" }).click();
  await sheet.waitFor({ state: "detached" });
  await owner.page.locator("#decide").waitFor();
  const { summary, document_hash } = await here(story);
  assert.equal(summary.state, "sent");
  assert.match(document_hash, /^[0-9a-f]{64}$/);
}

/** @param {Story} story */
async function record(story) {
  const { owner } = story;
  const before = await of(story, "money");
  const { effect } = await here(story);
  const sheet = owner.page.getByRole("dialog");
  await owner.page.locator("#decide").click();
  await sheet.getByLabel("Number or address").fill("");
  await sheet.getByLabel(/Amount of the change/).fill(effect.amount);
  await expecting(owner, [/422|400/], async () => {
    await sheet.getByRole("button", { name: "Record the decision" }).click();
    await sheet.locator(".field-error:not([hidden])").first().waitFor();
  });
  await sheet.getByLabel("Number or address").fill("+00 555 0117");
  await sheet.getByLabel("What was said").fill("Yes, go ahead as advised.");
  await sheet.getByLabel(/Revised total/).fill(effect.authorised_after);
  await sheet.getByRole("button", { name: "Record the decision" }).click();
  await sheet.waitFor({ state: "detached" });
  const order = await here(story);
  assert.equal(order.summary.state, "approved");
  assert.equal(order.decision.amount, effect.amount);
  const after = await of(story, "money");
  assert.equal(
    (Number(after.authorised) - Number(before.authorised)).toFixed(2),
    Number(effect.amount).toFixed(2),
    "the authorised amount moved by the order",
  );
  await open(owner, `/shop/jobs/${story.job}/money`);
  const said = await owner.page.locator(".shop-section").innerText();
  assert.ok(said.includes(money(after.authorised, after.currency)), "the money says so too");
}

/** @param {Story} story */
async function pay(story) {
  const { owner } = story;
  const before = await of(story, "money");
  const sheet = owner.page.getByRole("dialog");
  await open(owner, `/shop/jobs/${story.job}/money`);
  await owner.page.locator("#pay").click();
  await sheet.getByLabel(/^Amount/).fill("1250,50");
  await sheet.getByRole("button", { name: "Keep the payment" }).click();
  await sheet.waitFor({ state: "detached" });
  const paid = await of(story, "money");
  assert.equal((Number(paid.paid) - Number(before.paid)).toFixed(2), "1250.50");
  await owner.page.locator("[data-act=void]").last().click();
  await sheet.getByLabel("Reason").fill("Booked on the wrong job.");
  await sheet.getByRole("button", { name: "Say so" }).click();
  await sheet.waitFor({ state: "detached" });
  assert.equal((await of(story, "money")).paid, before.paid, "a voided payment counts no more");
}

/** The frame is graded. @param {Story} story */
export async function surveys(story) {
  const { told } = story;
  await told.step("the owner keeps what was seen on a rail, with a photo, at two moments", () =>
    observe(story),
  );
}

/** What is reported at the desk becomes one order, which goes to the client. @param {Story} story */
export async function gathers(story) {
  const { told, owner, job } = story;
  await told.step("reports findings at the desk with suggested repairs", async () => {
    await open(owner, `/shop/jobs/${job}/survey`);
    await report(story, 0, "perforated");
    await report(story, 1, "d");
  });
  await told.step("gathers what waits into one order with its effect", () => gather(story));
  await told.step("adds a line: the order moves by it, to the cent", () => addLine(story));
  await told.step("sends it; the document is fixed", () => send(story));
}

/** The client's word by telephone, on the order whose page stands open; and the money after it. @param {Story} story */
export async function records(story) {
  const { told } = story;
  await told.step(
    "a record that lacks what the law asks for is refused and says so; the full one counts",
    () => record(story),
  );
  await told.step("keeps a payment and voids it", () => pay(story));
}

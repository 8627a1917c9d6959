// Judged points: the owner mends a sheet and takes it for a job, a regraded zone moves what is expected, a
// budget finds the best set, and the client reads the sheet and what an extra buys.

import assert from "node:assert/strict";
import { expecting, open, settled } from "./people.mjs";
import { ask, money, send, until } from "./read.mjs";

/** @import { Story } from "./story.mjs" */

/** @param {Story} story */
async function waiting({ owner }) {
  const { items } = await ask(owner, "/api/jobs");
  const job = items.findLast((/** @type {any} */ j) => j.state === "quoted");
  assert.ok(job, "a job with a quote that waits");
  return job.id;
}

/** @param {Story} story @param {string} job @param {string} [budget] */
const reckoned = ({ owner }, job, budget = "") =>
  ask(owner, `/api/jobs/${job}/points${budget && `?budget=${budget}`}`);

/** By keyboard: an item's maximum, a copy of the item, undone, and saved. @param {Story} story */
async function mends(story) {
  const { page } = story.owner;
  const [sheet] = (await ask(story.owner, "/api/sheets")).items;
  await open(story.owner, "/shop/settings/points");
  await page.getByRole("link", { name: sheet.name }).press("Enter");
  await page.waitForURL(/settings\/points\//);
  await settled(page);
  const first = page.locator("details.sheet-item").first();
  await first.locator("summary").press("Enter");
  await first.getByLabel("Most, condition").fill("16");
  await first.getByRole("button", { name: /^Copy/ }).press("Enter");
  assert.equal(await page.locator("details.sheet-item").count(), sheet.items + 1, "the copy");
  await page.getByRole("button", { name: "Undo" }).press("Enter");
  assert.equal(await page.locator("details.sheet-item").count(), sheet.items, "the copy is undone");
  assert.equal(await first.getByLabel("Most, condition").inputValue(), "16", "and nothing else is");
  await first.getByLabel("Most, originality").fill("0.5");
  await expecting(story.owner, [/422/], () => refusedBeside(story, first));
  await first.getByLabel("Most, originality").fill("10");
  await page.getByRole("button", { name: "Save the sheet" }).first().press("Enter");
  await until(
    "the second version",
    async () => (await ask(story.owner, "/api/sheets")).items[0].version,
    (version) => version === sheet.version + 1,
  );
}

/** @param {Story} story @param {import("playwright-core").Locator} first the item whose maximum is too small */
async function refusedBeside({ owner: { page } }, first) {
  await page.getByRole("button", { name: "Save the sheet" }).first().press("Enter");
  const refused = first.locator('[data-error-of="items/0/departures/0/originality"]');
  await until(
    "the refusal beside its field",
    () => refused.textContent(),
    (said) => /maximum/.test(said ?? ""),
  );
}

/** @param {Story} story @param {string} job */
async function takes(story, job) {
  const { page } = story.owner;
  const before = await reckoned(story, job);
  await open(story.owner, `/shop/jobs/${job}/points`);
  await page.getByRole("button", { name: /Take version/ }).press("Enter");
  await until(
    "the newer version is taken",
    async () => (await reckoned(story, job)).sheet.version,
    (version) => version === before.sheet.newest_version,
  );
  const after = await reckoned(story, job);
  // Twice the maximum for condition is twice what each look costs; originality stays.
  const frame = (/** @type {any} */ now) => now.items.find((/** @type {any} */ i) => i.item === "frame");
  const seen = frame(before).reasons.filter((/** @type {any} */ r) => r.zone_id);
  const looks = seen.reduce(
    (/** @type {number} */ sum, /** @type {any} */ r) => sum + Number(r.condition),
    0,
  );
  const more = Number(frame(after).as_found.condition) - Number(frame(before).as_found.condition);
  assert.ok(Math.abs(more - looks) < 0.02, `${more} more, the looks were ${looks}`);
}

/** @param {Story} story @param {string} job */
async function regrades(story, job) {
  const { page } = story.owner;
  const before = await reckoned(story, job);
  const { zones } = await ask(story.owner, `/api/jobs/${job}/frame`);
  const zone = zones.find((/** @type {any} */ z) => z.kind === "opening" || z.kind === "mount");
  await open(story.owner, `/shop/jobs/${job}/points`);
  const sentence = () => page.locator("#points-h + .sentence").innerText();
  const was = await sentence();
  const { status } = await send(
    story.owner,
    `/api/jobs/${job}/observations`,
    {
      zone_id: zone.id,
      moment: "arrival",
      condition: "perforated",
      note: "A screwdriver goes through.",
      photo_ids: [],
    },
    { "Idempotency-Key": `points-${Date.now()}` },
  );
  assert.equal(status, 201, "the zone is graded again");
  await until("the points move on the open screen", sentence, (now) => now !== was);
  const after = await reckoned(story, job);
  assert.ok(
    Number(after.as_found.total) > Number(before.as_found.total),
    `${before.as_found.total} to ${after.as_found.total}`,
  );
  assert.equal(await sentence(), after.sentence);
}

/** @param {Story} story @param {string} job */
async function spends(story, job) {
  const { page } = story.owner;
  const best = page.locator("#best");
  const { options } = await reckoned(story, job);
  const least = Math.min(
    ...options.filter((/** @type {any} */ o) => o.group).map((/** @type {any} */ o) => Number(o.net)),
  );
  await page.getByLabel(/To spend on options/).fill("1.00");
  await until(
    "nothing for so little",
    () => best.innerText(),
    (said) => /Nothing within that/.test(said),
  );
  const budget = (least + 400).toFixed(2);
  await page.getByLabel(/To spend on options/).fill(budget);
  const { best: found, currency } = await reckoned(story, job, budget);
  assert.equal(found.status, "optimal");
  assert.ok(Number(found.set.net) <= Number(budget), `${found.set.net} within ${budget}`);
  await until(
    "the best set and its proof",
    () => best.innerText(),
    (said) =>
      said.includes(money(found.set.net, currency)) && said.includes(`proven best: ${found.nodes} set`),
  );
}

/** @param {Story} story */
async function reads(story) {
  const { browser, demo } = story;
  const context = await browser.newContext({ baseURL: demo.base, viewport: { width: 390, height: 844 } });
  const page = await context.newPage();
  await page.goto(demo.deciding);
  await page.waitForURL(/\/client\/jobs\//);
  await page.getByRole("link", { name: "Read and decide" }).first().click();
  await page.locator("#judged").waitFor();
  const job = await waiting(story);
  const mine = await (await page.request.get(`/api/client/jobs/${job}/points`)).json();
  assert.ok((await page.locator("#judged").innerText()).includes(mine.sentence));
  await page.locator("#judged-items > summary").press("Enter");
  const table = await page.locator("#judged-items").innerText();
  assert.ok(table.includes(mine.as_found.total) && table.includes(mine.after.total), table);
  assert.ok(!/€|net/.test(table), `no costs stand with the points: ${table}`);
  const extras = await page.locator("#choose").innerText();
  assert.match(extras, /condition \+1\.5/, "what an extra buys stands with it");
  await context.close();
}

/** @param {Story} story */
export async function judges(story) {
  const { told } = story;
  const job = await waiting(story);
  await told.step("points: the owner mends a sheet by keyboard, and undoes", () => mends(story));
  await told.step("points: a quote that is out stands still; a draft takes the newer version", async () => {
    const { page } = story.owner;
    await open(story.owner, `/shop/jobs/${job}/points`);
    await expecting(story.owner, [/409/], async () => {
      await page.getByRole("button", { name: /Take version/ }).press("Enter");
      await page.locator("bf-problem").first().waitFor();
    });
    const { items } = await ask(story.owner, "/api/jobs");
    await takes(story, items.find((/** @type {any} */ j) => j.state === "in_work").id);
  });
  await told.step("points: a zone graded again moves what is expected", () => regrades(story, job));
  await told.step("points: a budget finds the best set with its proof", () => spends(story, job));
  await told.step("points: the client reads the sheet and what an extra buys", () => reads(story));
}

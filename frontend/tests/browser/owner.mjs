// The owner: from the template to an issued quote and the client's private link.

import assert from "node:assert/strict";
import { expecting, open, settled, signIn } from "./people.mjs";
import { ask, dayIn, dayWords, money, until } from "./read.mjs";

/** @import { Story } from "./story.mjs" */

/** @param {Story} story */
const page = (story) => ask(story.owner, `/api/jobs/${story.job}`);

/** A figure of the price panel as it stands on the screen, without what is struck through. @param {Story} story @param {string} key */
const shown = ({ owner }, key) =>
  owner.page.locator(`dt:has(#sum-${key}) + dd`).evaluate((dd) => {
    const copy = /** @type {HTMLElement} */ (dd.cloneNode(true));
    for (const gone of copy.querySelectorAll("del")) gone.remove();
    return copy.textContent?.trim() ?? "";
  });

/** The screen says what the server computed: total, sublets and forecast. @param {Story} story */
async function agrees(story) {
  const { price, schedule, job } = await page(story);
  await until(
    "total on the screen",
    () => shown(story, "total"),
    (text) => text === money(price.total, job.currency),
  );
  assert.equal(await shown(story, "sublet"), money(price.sublet_net, job.currency));
  const finish = dayWords(dayIn(schedule.finish, story.zone));
  const head = await story.owner.page.locator(".shop-head").innerText();
  assert.ok(head.includes(finish), `the head shows ${finish}: ${head}`);
  return { total: price.total, sublet: price.sublet_net, finish: schedule.finish };
}

/** @param {Story} story */
async function makeJob(story) {
  const { owner } = story;
  await open(owner, "/shop");
  await owner.page.getByRole("link", { name: "New job" }).click();
  await settled(owner.page);
  await owner.page.getByLabel("Make", { exact: true }).fill("Velmarch");
  await owner.page.getByLabel("Model").fill("Lark drophead");
  await owner.page.getByLabel("Year").fill("1964");
  await owner.page.getByLabel("Serial number").fill("LK-0417");
  const { items } = await ask(owner, "/api/templates");
  const template = items.find((/** @type {any} */ t) => t.task_count >= 40);
  assert.ok(template, "a template of 40 tasks or more");
  await owner.page.locator(`input[name="template_id"][value="${template.id}"]`).check();
  const option = template.vehicle_options[0];
  const choice = option.choices[1];
  await owner.page.getByLabel(option.name).selectOption(choice.key);
  await owner.page.getByRole("button", { name: "Make the job" }).click();
  await owner.page.waitForURL(/\/shop\/jobs\/[0-9a-f-]{36}/);
  await settled(owner.page);
  story.job = /jobs\/([0-9a-f-]{36})/.exec(owner.page.url())?.[1] ?? "";
  const { job, tasks } = await page(story);
  assert.equal(job.vehicle.options[option.key], choice.key, "the option is kept");
  assert.ok(tasks.length >= 40, `${tasks.length} tasks`);
  assert.ok(
    (await owner.page.locator(".shop-head").innerText()).includes(choice.name),
    "the head names the option",
  );
}

/** The same template with another option is other work. @param {Story} story */
async function optionsMatter(story) {
  const { owner } = story;
  const made = await page(story);
  const key = Object.keys(made.job.vehicle.options)[0] ?? "";
  const option = made.vehicle_options[0];
  const [first, second] = option.choices;
  const names = made.tasks.map((/** @type {any} */ t) => t.name).join("\n");
  await owner.page.goto("/shop/jobs/new");
  await settled(owner.page);
  const { items } = await ask(owner, "/api/templates");
  const template = items.find((/** @type {any} */ t) => t.task_count >= 40);
  const answer = await owner.page.evaluate(
    async ([id, vehicle, client]) => {
      const response = await fetch("/api/jobs", {
        method: "POST",
        headers: { "Content-Type": "application/json", "Idempotency-Key": crypto.randomUUID() },
        body: JSON.stringify({ template_id: id, title: "The other option", vehicle, client_id: client }),
      });
      return { status: response.status, body: await response.json() };
    },
    /** @type {const} */ ([
      template.id,
      { ...made.job.vehicle, options: { ...made.job.vehicle.options, [option.key]: first.key } },
      made.job.client.id,
    ]),
  );
  assert.equal(answer.status, 201, JSON.stringify(answer.body));
  const others = answer.body.tasks.map((/** @type {any} */ t) => t.name).join("\n");
  assert.notEqual(others, names, `${key}: ${first.name} and ${second.name} are different work`);
}

/** @param {Story} story */
async function changeHours(story) {
  const { owner } = story;
  await open(owner, `/shop/jobs/${story.job}/estimate`);
  const before = await agrees(story);
  const { tasks } = await page(story);
  const task = tasks.find((/** @type {any} */ t) => t.kind === "work" && t.times.driving);
  assert.ok(task, "a task that drives the finish");
  const high = (Number(task.hours.high) + 60).toFixed(2);
  const likely = (Number(task.hours.likely) + 40).toFixed(2);
  await owner.page.locator(`#high-${task.id}`).fill(high);
  await owner.page.locator(`#high-${task.id}`).blur();
  await until(
    "high is stored",
    async () => (await page(story)).tasks.find((/** @type {any} */ t) => t.id === task.id).hours.high,
    (h) => h === high,
  );
  await owner.page.locator(`#likely-${task.id}`).fill(likely);
  await owner.page.locator(`#likely-${task.id}`).blur();
  await until(
    "likely is stored",
    async () => (await page(story)).tasks.find((/** @type {any} */ t) => t.id === task.id).hours.likely,
    (h) => h === likely,
  );
  const after = await agrees(story);
  assert.ok(Number(after.total) > Number(before.total), `${before.total} grew to ${after.total}`);
  assert.ok(after.finish > before.finish, `${before.finish} moved to ${after.finish}`);
  const stored = (await page(story)).tasks.find((/** @type {any} */ t) => t.id === task.id);
  // PERT mean (a + 4m + b) / 6, by hand from what was typed.
  const mean = (Number(task.hours.low) + 4 * Number(likely) + Number(high)) / 6;
  assert.ok(Math.abs(Number(stored.mean_hours) - mean) < 0.006, `mean ${stored.mean_hours}, by hand ${mean}`);
}

/** @param {Story} story */
async function addSublet(story) {
  const { owner } = story;
  const before = await agrees(story);
  await owner.page.locator("[data-add-line]").first().click();
  const sheet = owner.page.getByRole("dialog");
  await sheet.getByLabel("Kind").selectOption("sublet");
  await sheet.getByLabel("Description").fill("Chrome sent out");
  await sheet.getByLabel("Quantity").fill("1");
  await sheet.getByLabel(/Cost per unit/).fill("400.00");
  await sheet.getByLabel("Markup, %").fill("15");
  await sheet.getByLabel("Tax class").selectOption("sublet");
  await sheet.getByRole("button", { name: "Add the line" }).click();
  await sheet.waitFor({ state: "detached" });
  const after = await agrees(story);
  // 400.00 and 15 % on it is 460.00: by hand.
  assert.equal((Number(after.sublet) - Number(before.sublet)).toFixed(2), "460.00");
  assert.ok(Number(after.total) > Number(before.total));
}

/** @param {Story} story */
async function links(story) {
  const { owner } = story;
  const { tasks, links: all } = await page(story);
  const name = (/** @type {string} */ id) => tasks.find((/** @type {any} */ t) => t.id === id);
  const chain = all.find((/** @type {any} */ l) => l.type === "FS");
  const [from, to] = [name(chain.from_task_id), name(chain.to_task_id)];
  const sheet = owner.page.getByRole("dialog");

  // A new link between the first work task and one far behind it.
  const work = tasks.filter((/** @type {any} */ t) => t.kind === "work");
  const [first, last] = [work[0], work.at(-1)];
  await openTaskSheet(story, last.id);
  await sheet.getByRole("button", { name: "Add a link" }).click();
  await sheet.getByLabel("From").selectOption(first.id);
  await sheet.getByLabel("To", { exact: true }).selectOption(last.id);
  await sheet.getByLabel("Not earlier than, hours after").fill("24.00");
  await sheet.getByLabel("Not later than, hours after").fill("8760.00");
  await sheet.getByLabel("Counted in").selectOption("elapsed");
  await sheet.getByRole("button", { name: "Add the link" }).click();
  await sheet.waitFor({ state: "detached" });
  const added = (await page(story)).links.find(
    (/** @type {any} */ l) => l.from_task_id === first.id && l.to_task_id === last.id,
  );
  assert.equal(added?.lag_kind, "elapsed");

  // Changed from the task's sheet.
  await openTaskSheet(story, last.id);
  await sheet.locator(`[data-link="${added.id}"]`).click();
  await sheet.getByLabel("Not earlier than, hours after").fill("48.00");
  await sheet.getByRole("button", { name: "Save the link" }).click();
  await sheet.waitFor({ state: "detached" });
  const changed = (await page(story)).links.find((/** @type {any} */ l) => l.id === added.id);
  assert.equal(changed.lag_hours, "48.00");

  // A circle is refused, and the tasks in it are named.
  await openTaskSheet(story, from.id);
  await sheet.getByRole("button", { name: "Add a link" }).click();
  await sheet.getByLabel("From").selectOption(to.id);
  await sheet.getByLabel("To", { exact: true }).selectOption(from.id);
  await expecting(owner, [/4(09|22|00)/], async () => {
    await sheet.getByRole("button", { name: "Add the link" }).click();
    await sheet.locator(".problem").waitFor();
  });
  const said = await sheet.locator(".problem").innerText();
  assert.ok(said.includes(from.code) && said.includes(to.code), `the circle is named: ${said}`);
  await owner.page.keyboard.press("Escape");
  await sheet.waitFor({ state: "detached" });
  assert.equal((await page(story)).links.length, all.length + 1, "the refused link was not kept");
}

/** @param {Story} story @param {string} task */
export async function openTaskSheet({ owner }, task) {
  await owner.page.locator(`#open-${task}`).click();
  await owner.page.getByRole("dialog").waitFor();
}

/** An option by its sheet, then a line that belongs to it: outside the price until it is taken. @param {Story} story */
async function offersAnExtra(story) {
  const { owner } = story;
  await open(owner, `/shop/jobs/${story.job}/estimate`);
  const before = (await page(story)).price.total;
  await owner.page.locator("#add-option").click();
  const sheet = owner.page.locator("dialog[open]");
  await sheet.getByLabel("Name", { exact: true }).fill("Stainless clips");
  await sheet.getByRole("button", { name: "Add the option" }).click();
  await owner.page.locator(".shop-options", { hasText: "Stainless clips" }).waitFor();
  await owner.page.locator("[data-add-line]").first().click();
  await sheet.getByLabel("Description").fill("Clips in stainless");
  await sheet.getByLabel(/Cost per unit/).fill("48.00");
  await sheet.getByLabel("Belongs to the option").selectOption({ label: "Extra: Stainless clips" });
  await sheet.getByRole("button", { name: "Add the line" }).click();
  await owner.page.locator(".shop-left", { hasText: "Clips in stainless" }).waitFor();
  const now = await page(story);
  assert.equal(now.price.total, before, "what is not taken is not priced");
  assert.equal(now.not_taken.lines.length, 1);
}

/** @param {Story} story */
async function issue(story) {
  const { owner } = story;
  await owner.page.getByRole("link", { name: "Quotes" }).click();
  await owner.page.locator("#issue").click();
  const sheet = owner.page.getByRole("dialog");
  const { price, job } = await page(story);
  assert.ok(
    (await sheet.innerText()).includes(money(price.total, job.currency)),
    "the sheet names the total",
  );
  await sheet.getByRole("button", { name: "Issue the quote" }).click();
  await sheet.waitFor({ state: "detached" });
  const { quotes } = await page(story);
  assert.equal(quotes.length, 1);
  assert.equal(quotes[0].state, "open");
  assert.equal(quotes[0].total, price.total);
  story.quote = quotes[0].id;
  await owner.page.getByText("Waiting for a decision").first().waitFor();
}

/** @param {Story} story */
async function privateLink(story) {
  const { owner } = story;
  await owner.page.getByRole("button", { name: "Make a private link" }).click();
  const sheet = owner.page.getByRole("dialog");
  await sheet.getByRole("button", { name: "Make the link" }).click();
  const address = owner.page.locator("#once-address");
  await address.waitFor();
  story.link = await address.inputValue();
  assert.match(story.link, /\/c#[\w-]{40,}$/);
}

/** @param {Story} story */
export async function ownerQuotes(story) {
  const { told, owner, demo } = story;
  await told.step("the owner signs in", async () => {
    await signIn(owner, demo.owner, demo.password);
    assert.equal(new URL(owner.page.url()).pathname, "/shop");
    story.zone = (await ask(owner, "/api/me")).shop.time_zone;
  });
  await told.step("makes a job from the template, with vehicle options", () => makeJob(story));
  await told.step("another option of the vehicle is other work", () => optionsMatter(story));
  await told.step("changes a task's hours: price and date move, as the server computed them", () =>
    changeHours(story),
  );
  await told.step("adds a sublet: the price moves by it, to the cent", () => addSublet(story));
  await told.step("adds and changes a link; a circle is refused and named", () => links(story));
  await told.step("offers an extra that the client may take", () => offersAnExtra(story));
  await told.step("issues the quote", () => issue(story));
  await told.step("makes the client's private link", () => privateLink(story));
}

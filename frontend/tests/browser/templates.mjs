// The template editor: a copy is changed while the price of a sample job moves as the server says, taken back,
// saved, and a job is made from it.

import assert from "node:assert/strict";
import { expecting, open, settled } from "./people.mjs";
import { ask, cents, money, send, until } from "./read.mjs";

/** @import { Story } from "./story.mjs" */

/** @param {Story} story */
const idOf = ({ owner }) => /templates\/([0-9a-f-]{36})/.exec(owner.page.url())?.[1] ?? "";

/** A figure of the sample as it stands on the screen, without what is struck through; empty without a sample. @param {Story} story @param {string} key */
const figure = ({ owner }, key) =>
  owner.page.evaluate((name) => {
    const copy = document.querySelector(`shop-sample [data-figure="${name}"]`)?.cloneNode(true);
    if (!(copy instanceof HTMLElement)) return "";
    for (const gone of copy.querySelectorAll("del")) gone.remove();
    return copy.textContent?.trim() ?? "";
  }, key);

/** The screen shows what the server computes for a plan; answers the sample. @param {Story} story @param {any} plan */
async function agrees(story, plan) {
  const options = Object.fromEntries(
    plan.vehicle_options.map((/** @type {any} */ o) => [o.key, o.choices[0].key]),
  );
  const { status, body } = await send(story.owner, "/api/templates/preview", {
    template_id: idOf(story),
    plan,
    options,
  });
  assert.equal(status, 200, JSON.stringify(body));
  assert.deepEqual(body.problems, []);
  const { sample } = body;
  await until(
    "the sample's total",
    () => figure(story, "total"),
    (text) => text === money(sample.total, sample.currency),
  );
  assert.equal(await figure(story, "hours"), `${Number(sample.hours).toFixed(2)} h`);
  assert.equal(await figure(story, "days"), String(sample.days));
  assert.equal(await figure(story, "tasks"), String(sample.task_count));
  return sample;
}

/** @typedef {{ plan: any, at: number, sample: any, longer?: any, full?: any }} Draft */

/** @param {Story} story @returns {Promise<Draft>} */
async function copies(story) {
  const { owner } = story;
  await open(owner, "/shop/templates");
  const { items } = await ask(owner, "/api/templates");
  const from = items.find((/** @type {any} */ t) => t.task_count < 40);
  await owner.page.getByRole("button", { name: `Copy ${from.name}` }).click();
  const sheet = owner.page.getByRole("dialog");
  await sheet.getByLabel("Name").fill("Rail section, our way");
  await sheet.getByRole("button", { name: "Make the copy" }).click();
  await owner.page.waitForURL(/\/shop\/templates\/[0-9a-f-]{36}$/);
  await settled(owner.page);
  const { plan, summary } = await ask(owner, `/api/templates/${idOf(story)}`);
  assert.equal(summary.revision, 1);
  assert.equal(plan.tasks.length, from.task_count);
  const at = plan.tasks.findIndex(
    (/** @type {any} */ t) => t.kind === "work" && !t.option && Object.keys(t.when).length === 0,
  );
  return { plan, at, sample: await agrees(story, plan) };
}

/**
 * Two hours more at each of the three points are two hours more at their mean: the hours move by 2.00 and the
 * net by twice the skill's rate, both by hand.
 * @param {Story} story @param {Draft} draft
 */
async function changesHours(story, draft) {
  const { owner } = story;
  const { at, sample } = draft;
  const longer = structuredClone(draft.plan);
  const task = longer.tasks[at];
  for (const point of ["low", "likely", "high"]) {
    task.hours[point] = (Number(task.hours[point]) + 2).toFixed(2);
    await owner.page.locator(`#t${at}-${point}`).fill(task.hours[point]);
    await owner.page.locator(`#t${at}-${point}`).press("Tab");
  }
  await owner.page.locator('shop-sample [data-figure="total"] del').waitFor();
  const after = await agrees(story, longer);
  const { labour } = await ask(owner, "/api/shop/price-book");
  const rate = labour.find((/** @type {any} */ r) => r.skill === task.skill).sell_rate;
  assert.equal((Number(after.hours) - Number(sample.hours)).toFixed(2), "2.00");
  assert.equal(cents(after.net) - cents(sample.net), Math.round(Number(rate) * 200));
  draft.longer = longer;
}

/** @param {Story} story @param {Draft} draft */
async function addsATask(story, draft) {
  const { owner } = story;
  const { plan, at } = draft;
  const phase = plan.tasks[at].phase;
  const own = plan.tasks.filter((/** @type {any} */ t) => t.phase === phase);
  const number = plan.phases.findIndex((/** @type {any} */ p) => p.key === phase);
  await owner.page.locator(`#p${number}-task`).click();
  const key = await owner.page.locator(":focus").getAttribute("id");
  const n = Number(/^t(\d+)-name$/.exec(key ?? "")?.[1]);
  await owner.page.keyboard.type("Photographs of every mark");
  await owner.page.keyboard.press("Tab");
  const code = await owner.page.locator(`#t${n}-key`).inputValue();
  assert.ok(!own.some((/** @type {any} */ t) => t.key === code), `${code} is new`);
  await owner.page.locator(`#t${n}-follows`).click();
  const sheet = owner.page.getByRole("dialog");
  await sheet.getByRole("button", { name: "Follow another task" }).click();
  await sheet.getByLabel("Follows the task").selectOption(own[0].key);
  await sheet.getByLabel("Not earlier than, hours after").fill("1.50");
  await sheet.getByRole("button", { name: "Change the task" }).click();
  await sheet.waitFor({ state: "detached" });
  assert.match(
    await owner.page.locator(`#t${n}-follows`).innerText(),
    new RegExp(`^${own[0].key} \\+1.50 h$`),
  );
  await until(
    "one task more in the sample",
    () => figure(story, "tasks"),
    (text) => text === String(draft.sample.task_count + 1),
  );
}

/** Down by the keyboard and back; then every step is taken back, and done again. @param {Story} story @param {Draft} draft */
async function undoes(story, draft) {
  const { owner } = story;
  const { page } = owner;
  const { plan, at } = draft;
  const before = await page.locator(`#t${at}-key`).inputValue();
  await page.locator(`#t${at}-down`).focus();
  await page.keyboard.press("Enter");
  const moved = await page.locator(":focus").getAttribute("id");
  assert.match(moved ?? "", /^t\d+-down$/, "focus goes with the task");
  assert.notEqual(await page.locator(`#t${at}-key`).inputValue(), before, "the task moved");
  while (await page.locator("#undo").isEnabled()) await page.locator("#undo").click();
  assert.ok(await page.locator("#save").isDisabled(), "nothing is left to save");
  await agrees(story, plan);
  // Again, by the keyboard: three changes of hours.
  await page.locator("body").focus();
  for (let n = 0; n < 3; n += 1) await page.keyboard.press("Control+Shift+Z");
  await agrees(story, draft.longer);
  await page.keyboard.press("Control+Z");
  await page.keyboard.press("Control+Y");
  await agrees(story, draft.longer);
}

/** A circle takes the price away and is named, with the way to its row. @param {Story} story @param {Draft} draft */
async function circle(story, draft) {
  const { page } = story.owner;
  const { links, tasks } = draft.longer;
  const link = links.find((/** @type {any} */ l) => l.type === "FS");
  const first = tasks.findIndex((/** @type {any} */ t) => t.key === link.from);
  await page.locator(`#t${first}-follows`).click();
  const sheet = page.getByRole("dialog");
  await sheet.getByRole("button", { name: "Follow another task" }).click();
  await sheet.getByLabel("Follows the task").last().selectOption(link.to);
  await sheet.getByRole("button", { name: "Change the task" }).click();
  await sheet.waitFor({ state: "detached" });
  const problem = page
    .locator("#problems li")
    .filter({ hasText: `${link.from} → ${link.to} → ${link.from}` })
    .first();
  await problem.waitFor();
  assert.equal(await figure(story, "total"), "", "there is no price meanwhile");
  await problem.getByRole("button").click();
  assert.match(
    (await page.locator(":focus").getAttribute("id")) ?? "",
    /^t\d+-follows$/,
    "the problem leads to its row",
  );
  await page.locator("#undo").click();
  await agrees(story, draft.longer);
}

/** @param {Story} story @param {Draft} draft */
async function saves(story, draft) {
  const { owner } = story;
  const { page } = owner;
  await page.locator("#save").click();
  const sheet = page.getByRole("dialog");
  await sheet.getByLabel("What was changed, and why").fill("Two hours longer on the first task.");
  await sheet.getByRole("button", { name: "Save the template" }).click();
  await sheet.waitFor({ state: "detached" });
  await page.getByText("Two hours longer on the first task.").first().waitFor();
  await until(
    "the new revision's address",
    async () => (await ask(owner, `/api/templates/${idOf(story)}`)).summary.revision,
    (n) => n === 2,
  );
  const { plan, newest_revision } = await ask(owner, `/api/templates/${idOf(story)}`);
  assert.equal(newest_revision, 2);
  assert.deepEqual(plan, draft.longer, "what was saved is what was typed");
}

/** Somebody else saves first: both are shown; what is stored is taken, and mine is one step back. @param {Story} story @param {Draft} draft */
async function stale(story, draft) {
  const { owner } = story;
  const { page } = owner;
  const theirs = structuredClone(draft.longer);
  theirs.description = "Changed at another desk.";
  const status = await page.evaluate(
    async ([id, plan]) =>
      (
        await fetch(`/api/templates/${id}`, {
          method: "PUT",
          headers: { "Content-Type": "application/json", "If-Match": '"v2"' },
          body: JSON.stringify({ plan, note: "Another desk." }),
        })
      ).status,
    /** @type {const} */ ([idOf(story), theirs]),
  );
  assert.equal(status, 200);
  await page.locator(`#t${draft.at}-name`).fill("Walk round, twice");
  await page.locator(`#t${draft.at}-name`).press("Tab");
  await page.locator("#save").click();
  await expecting(owner, [/412/], async () => {
    await page.getByRole("dialog").getByRole("button", { name: "Save the template" }).click();
    await page.getByText("somebody else saved first").waitFor();
  });
  const both = page.getByRole("dialog");
  assert.ok((await both.innerText()).includes("Changed at another desk."));
  await both.getByRole("button", { name: "Take what is stored" }).click();
  await both.waitFor({ state: "detached" });
  await page.getByText("Changed at another desk.").first().waitFor();
  await page.locator("#undo").click();
  assert.equal(
    await page.locator(`#t${draft.at}-name`).inputValue(),
    "Walk round, twice",
    "mine is one step back",
  );
  page.once("dialog", (asked) => asked.accept());
  await page.getByRole("link", { name: "All templates" }).click();
  await page.waitForURL(/\/shop\/templates$/);
  await settled(page);
}

/**
 * A rule gets a figure of the shop's own: a wrong unit is refused at its field, the sample moves as the server
 * says, and the figure is there when the template is opened again.
 * @param {Story} story
 */
async function changesARule(story) {
  const { owner } = story;
  const { page } = owner;
  const { items } = await ask(owner, "/api/templates");
  const whole = items.find((/** @type {any} */ x) => x.task_count >= 40);
  await open(owner, "/shop/templates");
  await page.getByRole("button", { name: `Copy ${whole.name}` }).click();
  await page.getByRole("dialog").getByLabel("Name").fill("Whole frame, our rules");
  await page.getByRole("dialog").getByRole("button", { name: "Make the copy" }).click();
  await page.waitForURL(/\/shop\/templates\/[0-9a-f-]{36}$/);
  await settled(page);
  const newest = { id: idOf(story) };
  let changed;
  const { plan } = await ask(owner, `/api/templates/${newest.id}`);
  const before = await agrees(story, plan);
  const ruled = before.tasks.filter((/** @type {any} */ t) => t.follows);
  const rated = (/** @type {any} */ r) =>
    r.makes === "hours" &&
    ruled.some((/** @type {any} */ t) => t.key === r.task) &&
    r.parts[0]?.factors[1]?.per;
  let at = -1;
  let after = before;
  for (const [n, rule] of plan.rules.entries()) {
    if (!rated(rule)) continue;
    const next = structuredClone(plan);
    next.rules[n].parts[0].factors[1].per = "0.25";
    const options = Object.fromEntries(
      plan.vehicle_options.map((/** @type {any} */ o) => [o.key, o.choices[0].key]),
    );
    const { body } = await send(owner, "/api/templates/preview", {
      template_id: newest.id,
      plan: next,
      options,
    });
    if (body.sample?.net === before.net) continue;
    [at, after] = [n, body.sample];
    changed = next;
    break;
  }
  assert.ok(at >= 0 && after.net !== before.net, "some rule with a rate moves the sample");
  const rule = plan.rules[at];
  const row = page.locator(`[data-rule="${rule.key}"]`);
  await page.locator("#rules-said > summary").click();
  await row.getByText("Starting value").first().waitFor();
  await page.locator(`#r${at}-open`).click();
  const sheet = page.getByRole("dialog");
  const unit = sheet.locator('[name="parts/0/factors/1/unit"]');
  await sheet.locator('[name="parts/0/factors/1/per"]').fill("0,25");
  await unit.fill("kg/h");
  await sheet.getByRole("button", { name: "Change the rule" }).click();
  const refusal = sheet.locator('[data-error-of="parts/0/factors/1/unit"]');
  await refusal.waitFor();
  assert.match(await refusal.innerText(), /hours \(h\) is wanted/);
  assert.equal(await unit.getAttribute("aria-invalid"), "true");
  await unit.fill(rule.parts[0].factors[1].unit);
  await sheet.getByRole("button", { name: "Change the rule" }).click();
  await sheet.waitFor({ state: "detached" });
  assert.deepEqual((await agrees(story, changed)).net, after.net);
  await page.locator("#save").click();
  await page.getByRole("dialog").getByRole("button", { name: "Save the template" }).click();
  await page.waitForURL((url) => !url.pathname.endsWith(newest.id));
  await settled(page);
  await page.reload();
  await settled(page);
  await page.locator("#rules-said > summary").click();
  await row.getByText("Own figure", { exact: true }).waitFor();
  assert.match(await row.innerText(), /÷ 0\.25 /);
  assert.match(
    await row.innerText(),
    /our own figure, \d{4}-\d\d-\d\d/,
    "the source says whose and since when",
  );
  await page.locator(`#r${at}-open`).click();
  await page.getByRole("dialog").getByRole("button", { name: "Back to the starting value" }).waitFor();
  await page.getByRole("dialog").getByRole("button", { name: "Leave it" }).click();
}

/** @param {Story} story @param {Draft} draft */
async function makesAJob(story, draft) {
  const { owner } = story;
  const { page } = owner;
  const { items } = await ask(owner, "/api/templates");
  const newest = items.find((/** @type {any} */ t) => t.name === "Rail section, our way");
  await open(owner, `/shop/templates/${newest.id}`);
  const sample = await agrees(story, draft.longer);
  await page.getByRole("link", { name: "Make a job from it" }).click();
  await settled(page);
  await page.getByLabel("Make", { exact: true }).fill("Velmarch");
  await page.getByLabel("Model").fill("Lark drophead");
  await page.getByLabel("Year").fill("1964");
  await page.getByRole("button", { name: "Make the job" }).click();
  await page.waitForURL(/\/shop\/jobs\/[0-9a-f-]{36}/);
  await settled(page);
  const job = await ask(owner, `/api/jobs/${/jobs\/([0-9a-f-]{36})/.exec(page.url())?.[1]}`);
  assert.equal(job.price.total, sample.total, "the job comes to the sample");
  assert.equal(job.tasks.length, sample.task_count);
}

/** @param {Story} story */
async function retires(story) {
  const { page } = story.owner;
  await open(story.owner, "/shop/templates");
  await page.getByRole("link", { name: "Rail section, our way", exact: true }).click();
  await settled(page);
  await page.locator("#history").getByRole("button", { name: "Bring back revision 1" }).waitFor();
  await page.getByRole("button", { name: "Retire the template" }).click();
  const sheet = page.getByRole("dialog");
  await sheet.getByRole("button", { name: "Retire it" }).click();
  await page.waitForURL(/\/shop\/templates$/);
  await settled(page);
  await page.getByRole("heading", { name: "Retired" }).waitFor();
  assert.equal(
    (await ask(story.owner, "/api/templates")).items.some(
      (/** @type {any} */ t) => t.name === "Rail section, our way",
    ),
    false,
  );
}

/** The repairs that its jobs go by, each with its hours. @param {Story} story */
async function readsRepairs({ owner }) {
  const { items } = await ask(owner, "/api/templates");
  const { repair_list: list } = await ask(owner, `/api/templates/${items[0].id}`);
  assert.ok(list.length > 0, "a list of repairs");
  await open(owner, `/shop/templates/${items[0].id}`);
  const place = owner.page.getByRole("region", { name: "The repair list" });
  await owner.page.getByText("The list", { exact: true }).press("Enter");
  await place.waitFor();
  assert.equal(await place.locator("tbody > tr").count(), list.length);
  const first = await place.locator("tbody > tr").first().innerText();
  for (const words of [list[0].name, `${list[0].hours.likely.fixed} h`, list[0].materials[0].item])
    assert.ok(first.includes(words), `${words} in: ${first}`);
}

/** @param {Story} story */
export async function editsTemplates(story) {
  const { told } = story;
  /** @type {Draft | undefined} */
  let draft;
  const mine = () => {
    if (!draft) throw new Error("there is no copy");
    return draft;
  };
  await told.step("the owner copies a template: a sample job stands beside it", async () => {
    draft = await copies(story);
  });
  await told.step("two hours more: hours and price of the sample move by them, to the cent", () =>
    changesHours(story, mine()),
  );
  await told.step("adds a task and a link with a lag", () => addsATask(story, mine()));
  await told.step("moves a task by the keyboard, takes every step back, and some again", () =>
    undoes(story, mine()),
  );
  await told.step("a circle is named and leads to its row", () => circle(story, mine()));
  await told.step("saves the next revision with its reason", () => saves(story, mine()));
  await told.step("a save over somebody else's shows both", () => stale(story, mine()));
  await told.step("a rule gets a figure of the shop's own; a wrong unit is refused at its field", () =>
    changesARule(story),
  );
  await told.step("makes a job from it, which comes to the sample", () => makesAJob(story, mine()));
  await told.step("reads the repairs that its jobs go by", () => readsRepairs(story));
  await told.step("retires it; the history stays", () => retires(story));
}

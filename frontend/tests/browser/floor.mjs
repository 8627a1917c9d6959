// The floor: the owner says when people and stations are there, how a task is done and when what was ordered
// comes; the technician reads their own hours. Each form is looked at by axe while all of it is unfolded.

import assert from "node:assert/strict";
import { open } from "./people.mjs";
import { ask, materialAhead, until } from "./read.mjs";
import { findings, sideways, unfold } from "./screens.mjs";

/** @import { Story } from "./story.mjs" */
/** @import { Person } from "./people.mjs" */

/** What is open stands as it should. @param {Person} who @param {string} [within] */
async function stands(who, within) {
  await unfold(who, within);
  const found = [...(await findings(who, within)), ...(await sideways(who))];
  assert.deepEqual(found, []);
}

/** A day that far ahead, that is no weekend. @param {number} days */
function ahead(days) {
  const day = new Date(Date.now() + days * 86_400_000);
  while (day.getUTCDay() % 6 === 0) day.setUTCDate(day.getUTCDate() + 1);
  return day.toISOString().slice(0, 10);
}

const away = ahead(40);

/** @param {Story} story */
async function personIsAway({ owner, demo }) {
  const { page } = owner;
  const { items } = await ask(owner, "/api/people?role=technician");
  const person = items.find((/** @type {any} */ p) => p.email === demo.technician);
  await open(owner, "/shop/people");
  await page.locator(`[data-edit="${person.id}"]`).click();
  const sheet = page.locator("dialog[open]");
  await sheet.locator("summary", { hasText: "Hours and absences" }).click();
  await sheet.getByRole("button", { name: "Add an absence" }).click();
  const row = sheet.locator("[data-row-of='roster/absences']").last();
  await row.getByLabel("First day").fill(away);
  await row.getByLabel("Reason").selectOption("training");
  await sheet.getByRole("button", { name: "Add a day" }).click();
  await stands(owner, "dialog[open]");
  await sheet.locator("[data-row-of='roster/extra'] [data-remove-row]").last().click();
  await sheet.getByRole("button", { name: "Save the person" }).click();
  await sheet.waitFor({ state: "detached" });
  const now = (await ask(owner, "/api/people?role=technician")).items.find(
    (/** @type {any} */ p) => p.id === person.id,
  );
  const absences = now.roster.absences;
  assert.deepEqual(absences.at(-1), { from: away, to: away, reason: "training" });
  assert.equal(absences.length, (person.roster?.absences ?? []).length + 1, "the other absences stay");
  assert.deepEqual(now.roster.week, person.roster?.week, "the week stays");
  await page.getByText("training").first().waitFor();
}

/** @param {Story} story */
async function stationIsClosed({ owner }) {
  const { page } = owner;
  await open(owner, "/shop/settings");
  await page.locator("[data-hours]").last().click();
  const sheet = page.locator("dialog[open]");
  await sheet.getByRole("button", { name: "Add a closure" }).click();
  const row = sheet.locator("[data-row-of='roster/absences']").last();
  await row.getByLabel("First day").fill(away);
  await row.getByLabel("From").fill("08:00");
  await row.getByLabel("To", { exact: true }).fill("10:00");
  await stands(owner, "dialog[open]");
  await sheet.getByRole("button", { name: "Take these hours" }).click();
  await sheet.waitFor({ state: "detached" });
  await page.getByText("(not saved yet)").waitFor();
  await page.getByLabel(/A new plan replaces the old one/).fill("2");
  await stands(owner);
  await page.getByRole("button", { name: "Save the settings" }).first().click();
  await until(
    "the closure is kept",
    async () => (await ask(owner, "/api/shop")).settings,
    (s) =>
      s.floor.replan_tolerance_days === 2 &&
      s.stations.at(-1).roster?.absences?.at(-1)?.hours?.to === "10:00",
  );
}

/** A job that is still estimated, and a task of it that people work on. @param {Person} owner */
async function draft(owner) {
  const { items } = await ask(owner, "/api/jobs");
  const { id } = items.find((/** @type {any} */ j) => j.state === "enquiry");
  const job = await ask(owner, `/api/jobs/${id}`);
  const task = job.tasks.find((/** @type {any} */ t) => t.kind === "work" && t.skill && !t.follows);
  return { id, task };
}

/** @param {Story} story */
async function taskNeedsMany({ owner }) {
  const { page } = owner;
  const { id, task } = await draft(owner);
  const skills = (await ask(owner, "/api/shop/price-book")).labour.map((/** @type {any} */ l) => l.skill);
  const others = skills.filter((/** @type {string} */ s) => s !== task.skill);
  const stored = async () =>
    (await ask(owner, `/api/jobs/${id}`)).tasks.find((/** @type {any} */ t) => t.id === task.id);
  await open(owner, `/shop/jobs/${id}/estimate`);
  await page.locator(`#open-${task.id}`).click();
  const sheet = page.locator("dialog[open]");
  await sheet.locator("summary", { hasText: "On the floor" }).click();
  await sheet.getByLabel("Longest break over closed hours").fill("0");
  await sheet.getByLabel("Helpers 1, skill").selectOption(others[0]);
  await sheet.getByLabel("Helpers 1, people").fill("12");
  await sheet.getByLabel("Helpers 2, skill").selectOption(others[1]);
  await stands(owner, "dialog[open]");
  await sheet.getByRole("button", { name: "Save the task" }).click();
  await sheet.waitFor({ state: "detached" });
  const helpers = [
    { skill: others[0], count: 12 },
    { skill: others[1], count: 1 },
  ];
  assert.deepEqual((await stored()).floor, { longest_break_hours: "0.00", helpers });
  const warning = page.locator("#warnings", { hasText: `${task.code} ${task.name}` });
  await warning.waitFor();
  assert.match(await warning.innerText(), /needs 12 people with the skill/);
  await stands(owner);
  // Hours typed into the list say nothing of the floor: it stays.
  await page.locator(`#high-${task.id}`).fill("90.00");
  await page.locator(`#high-${task.id}`).blur();
  await until("the hours are stored", stored, (t) => t.hours.high === "90.00");
  assert.deepEqual((await stored()).floor?.helpers, helpers);
  // Taken back, the warning goes.
  await page.locator(`#open-${task.id}`).click();
  await sheet.locator("summary", { hasText: "On the floor: set" }).click();
  for (const row of ["1", "2"]) await sheet.getByLabel(`Helpers ${row}, skill`).selectOption("");
  await sheet.getByLabel("Longest break over closed hours").fill("");
  await sheet.getByRole("button", { name: "Save the task" }).click();
  await sheet.waitFor({ state: "detached" });
  assert.equal((await stored()).floor, undefined);
  await warning.waitFor({ state: "detached" });
}

/** @param {Story} story */
async function jobWeighsMore({ owner }) {
  const { page } = owner;
  const { id } = await draft(owner);
  await open(owner, `/shop/jobs/${id}/estimate`);
  await page.locator("#change-job").click();
  const sheet = page.locator("dialog[open]");
  await sheet.getByLabel("Weight on the floor").fill("9");
  await stands(owner, "dialog[open]");
  await sheet.locator("button", { hasText: /^Save/ }).first().click();
  await sheet.waitFor({ state: "detached" });
  assert.equal((await ask(owner, `/api/jobs/${id}`)).job.weight, 9);
}

/** What comes late holds up the task that needs it. @param {Story} story */
async function deliveryIsLate({ owner }) {
  const { page } = owner;
  const { id, job, line } = await materialAhead(owner);
  const task = (/** @type {any} */ p) => p.tasks.find((/** @type {any} */ t) => t.id === line.task_id);
  const late = ahead(400);
  await open(owner, `/shop/jobs/${id}/money`);
  await page.locator(`#supply-${line.id}`).click();
  const sheet = page.locator("dialog[open]");
  await sheet.getByLabel("What became of it").selectOption("ordered");
  await sheet.getByLabel("Expected on").fill(late);
  await stands(owner, "dialog[open]");
  await sheet.getByRole("button", { name: "Note it" }).click();
  await sheet.waitFor({ state: "detached" });
  const held = await ask(owner, `/api/jobs/${id}`);
  assert.ok(
    task(held).times.start.slice(0, 10) >= late,
    `${task(held).times.start} is not before it comes, ${late}`,
  );
  await stands(owner);
  await page.locator(`#supply-${line.id}`).click();
  await sheet.getByLabel("What became of it").selectOption("fitted");
  await sheet.getByRole("button", { name: "Note it" }).click();
  await sheet.waitFor({ state: "detached" });
  const free = await ask(owner, `/api/jobs/${id}`);
  assert.equal(
    task(free).times.start.slice(0, 10),
    task(job).times.start.slice(0, 10),
    "here, it holds nothing",
  );
}

/** @param {Story} story */
async function readsOwnHours({ technician }) {
  const { page } = technician;
  await open(technician, "/bench");
  const own = page.locator("#own-hours");
  await own.locator("summary").click();
  assert.match(await own.innerText(), /Training/);
  assert.equal(await own.locator("input, button").count(), 0, "it is there to read");
  await stands(technician);
}

/** @param {Story} story */
export async function worksTheFloor(story) {
  const { told } = story;
  await told.step("the owner notes that somebody is away", () => personIsAway(story));
  await told.step("a station is closed for two hours", () => stationIsClosed(story));
  await told.step("a task needs more people than there are: said by name, not refused", () =>
    taskNeedsMany(story),
  );
  await told.step("a late day of a job matters more", () => jobWeighsMore(story));
  await told.step("what comes late holds up the task that needs it", () => deliveryIsLate(story));
  await told.step("the technician reads the own hours and absences", () => readsOwnHours(story));
}

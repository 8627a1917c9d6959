// The schedule of a job as its owner reads it: how far to trust the dates, how far they moved from what was
// agreed, and "not later than" between two tasks: refused where it cannot hold, kept where it can, shown as a
// clash when the shop opens for shorter, and gone with the limit. By keyboard. What the screen says is held
// against what the server answers.

import assert from "node:assert/strict";
import { desk, expecting, open, phone, settled } from "./people.mjs";
import { ask, dayIn, dayWords, until } from "./read.mjs";
import { findings, sideways, unfold } from "./screens.mjs";

/** @import { Story } from "./story.mjs" */

/** @param {Story} story @param {string} state */
async function jobIn({ owner }, state) {
  const { items } = await ask(owner, "/api/jobs");
  const job = items.findLast((/** @type {any} */ each) => each.state === state);
  assert.ok(job, `a job that is ${state}`);
  return job.id;
}

/** @param {Story} story @param {string} job */
const jobPage = ({ owner }, job) => ask(owner, `/api/jobs/${job}`);

/** @param {Story} story @param {string} job */
const lookedOver = ({ owner }, job) => ask(owner, `/api/jobs/${job}/schedule/health`);

/** @param {any} page @param {string} id */
function nameOf(page, id) {
  const task = page.tasks.find((/** @type {any} */ each) => each.id === id);
  return `${task.code} ${task.name}`;
}

/** @param {Story} story @param {string} job */
async function schedule({ owner }, job) {
  await open(owner, `/shop/jobs/${job}/schedule`);
  await owner.page.locator("#health").waitFor();
  await owner.page.locator("#moved").waitFor();
  await unfold(owner);
}

/** @param {Story} story @param {string} state */
async function saysWhatIsFound(story, state) {
  const job = await jobIn(story, state);
  const page = await jobPage(story, job);
  const health = await lookedOver(story, job);
  await schedule(story, job);
  const box = story.owner.page.locator("#health");
  assert.equal(await box.locator("[data-finding]").count(), health.findings.length, "each finding once");
  assert.equal(
    await box.locator("#health-checks li").count(),
    health.looked_at.length,
    "all that was looked at",
  );
  for (const found of health.findings) {
    const note = box.locator(`[data-finding="${found.code}"]`);
    assert.ok((await note.innerText()).includes(found.do), `${found.code}: what to do`);
    const names = await note.locator("[data-pick-task]").allInnerTexts();
    assert.deepEqual(
      names,
      found.tasks.map((/** @type {string} */ id) => nameOf(page, id)),
    );
    const ways = await note.locator("[data-link], a, [data-pick-task]").count();
    assert.ok(ways > 0 || found.code === "lag_overrun", `${found.code}: a way to where it is put right`);
  }
  await movesAsSaid(story, page, health.moved);
}

/** @param {Story} story @param {any} page @param {any} moved */
async function movesAsSaid({ owner, zone }, page, moved) {
  const box = owner.page.locator("#moved");
  const rows = box.locator("tbody tr");
  if (!moved) return assert.equal(await rows.count(), 0, "nothing to compare with");
  assert.equal(await rows.count(), moved.tasks.length, "each task that moved once");
  assert.ok((await box.innerText()).includes(moved.quote), "the quote that it is held against");
  for (const [index, task] of moved.tasks.slice(0, 10).entries()) {
    const text = (await rows.nth(index).innerText()).replace(/\s+/g, " ");
    const size = Math.abs(Number(task.days));
    const way = task.working_minutes > 0 ? "later" : "earlier";
    const far = size === 0 ? "under 0.1 days" : `${size} ${size === 1 ? "day" : "days"}`;
    for (const part of [nameOf(page, task.task_id), `${far} ${way}`, noWeekday(dayIn(task.finish, zone))])
      assert.ok(text.includes(part), `${part} is in: ${text}`);
  }
}

/** @param {string} day */
const noWeekday = (day) => dayWords(day).replace(/^\w+, /, "");

/** From a finding to its task's times, and on to its sheet. @param {Story} story */
async function leads(story) {
  const { page } = story.owner;
  const job = await jobIn(story, "in_work");
  const { findings: found } = await lookedOver(story, job);
  const from = found.find((/** @type {any} */ each) => each.tasks.length > 0);
  assert.ok(from, "the demo's car in work has a finding with a task");
  const name = nameOf(await jobPage(story, job), from.tasks.at(-1));
  await schedule(story, job);
  const button = page.locator(`[data-finding="${from.code}"] [data-pick-task]`).last();
  await button.press("Enter");
  const title = page.getByRole("heading", { name, exact: true });
  assert.ok(await title.evaluate((h) => h === document.activeElement), "the focus is on the task");
  await page.keyboard.press("Tab"); // its links
  await page.getByRole("button", { name: "Open the task" }).press("Enter");
  await page.getByRole("dialog", { name }).waitFor();
  await page.keyboard.press("Escape");
}

/** Three tasks in a row, the second with some hours: what a limit from the first to the third must leave room for. @param {any} page */
function inARow({ tasks, links }) {
  const plain = links.filter((/** @type {any} */ l) => l.type === "FS" && Number(l.lag_hours) === 0);
  for (const one of plain)
    for (const two of plain) {
      const middle = tasks.find((/** @type {any} */ t) => t.id === one.to_task_id);
      const joined = links.some(
        (/** @type {any} */ l) => l.from_task_id === one.from_task_id && l.to_task_id === two.to_task_id,
      );
      const hours = Number(middle.mean_hours);
      const ways = links.filter((/** @type {any} */ l) => l.from_task_id === one.from_task_id);
      if (
        two.from_task_id === middle.id &&
        !joined &&
        ways.length === 1 &&
        middle.crew === 1 &&
        hours > 2.2 &&
        hours < 3
      )
        return { first: one.from_task_id, middle, third: two.to_task_id };
    }
  throw new Error("no three tasks in a row");
}

/** Opens "Add a link" at a task by keyboard, and names where it comes from. @param {Story} story @param {string} task @param {string} from */
async function addsALink({ owner: { page } }, task, from) {
  const row = page.locator(`#row-${task}`);
  if ((await row.count()) === 0) await page.locator("#schedule-all").press("Enter");
  await row.press("Enter");
  await page.getByRole("button", { name: "Add a link" }).press("Enter");
  const form = page.getByRole("dialog", { name: "Add a link" });
  await form.getByLabel("From").selectOption(from);
  assert.equal(await form.getByLabel("To").inputValue(), task, "it leads to the task that was picked");
  return form;
}

/** @param {Story} story @param {string} job */
async function limits(story, job) {
  const { owner } = story;
  const page = await jobPage(story, job);
  const { first, middle, third } = inARow(page);
  await schedule(story, job);
  const form = await addsALink(story, third, first);
  await form.getByLabel("Counted in").selectOption("elapsed");
  await form.getByLabel("Not later than, hours after").fill("1");
  await expecting(owner, [/422/], async () => {
    await form.getByRole("button", { name: "Add the link" }).press("Enter");
    await form.getByText("These cannot all hold").first().waitFor();
  });
  const said = await form.innerText();
  for (const part of [first, middle.id, third].map((id) => nameOf(page, id)))
    assert.ok(said.includes(part), `${part} is named in: ${said}`);
  assert.match(said, new RegExp(`takes ${Number(middle.mean_hours)} working hours`), "and how long it takes");
  assert.equal((await jobPage(story, job)).links.length, page.links.length, "nothing was kept");
  assert.deepEqual(await findings(owner, "dialog"), []);
  // Its 2.2 to 3 hours and the shop's break fit into four by the clock.
  await form.getByLabel("Not later than, hours after").fill("4");
  await form.getByRole("button", { name: "Add the link" }).press("Enter");
  await form.waitFor({ state: "hidden" });
  const kept = (await jobPage(story, job)).links.find(
    (/** @type {any} */ l) => l.from_task_id === first && l.to_task_id === third,
  );
  assert.equal(Number(kept.max_lag_hours), 4);
  assert.equal(kept.lag_kind, "elapsed");
  const list = owner.page.locator("#task-links");
  await unfold(owner);
  await list.getByText("not later than 4 elapsed hours after").waitFor();
  return kept;
}

/** @param {Story} story @param {(settings: any) => any} change */
async function opensTheShop({ owner }, change) {
  const now = await owner.context.request.get("/api/shop/calendar");
  const body = change((await now.json()).settings);
  const status = await owner.page.evaluate(
    async ([content, version]) => {
      const headers = { "Content-Type": "application/json", "If-Match": version };
      const answer = await fetch("/api/shop/calendar", {
        method: "PUT",
        headers,
        body: JSON.stringify(content),
      });
      return answer.status;
    },
    /** @type {const} */ ([body, now.headers()["etag"] ?? ""]),
  );
  assert.equal(status, 200, "the calendar is changed");
}

/** @param {Story} story @param {string} job @param {any} kept */
async function clashes(story, job, kept) {
  const { owner } = story;
  const { settings } = await ask(owner, "/api/shop/calendar");
  const short = [{ from: "07:30", to: "09:30" }];
  const week = Object.fromEntries(Object.keys(settings.week).map((day) => [day, short]));
  await opensTheShop(story, (now) => ({ ...now, week }));
  try {
    const { clash } = await lookedOver(story, job);
    assert.ok(clash, "more than two hours of work do not end within four by the clock any more");
    await schedule(story, job);
    const note = owner.page.locator("#clash");
    assert.ok((await note.innerText()).includes(clash.detail), "what cannot hold, in words");
    /** @type {any[]} */
    const lags = clash.lags;
    assert.ok(
      lags.some((lag) => lag.at_most && lag.link_id === kept.id),
      "the limit is among them",
    );
    for (const lag of lags) assert.equal(await note.locator(`[data-link="${lag.link_id}"]`).count(), 1);
    await looksRight(story);
    await note.locator(`[data-link="${kept.id}"]`).press("Enter");
    const form = owner.page.getByRole("dialog", { name: "Link", exact: true });
    await form.getByLabel("Not later than, hours after").fill("");
    await form.getByRole("button", { name: "Save the link" }).press("Enter");
    await form.waitFor({ state: "hidden" });
    await until(
      "the clash is gone",
      () => note.count(),
      (n) => n === 0,
    );
    assert.equal((await lookedOver(story, job)).clash, undefined);
  } finally {
    await opensTheShop(story, () => settings);
  }
}

/** With axe, on a desk and on a phone in dark, in the system's own colours and without sideways. @param {Story} story */
async function looksRight({ owner }) {
  const { page } = owner;
  await unfold(owner);
  const seen = async () => [...(await findings(owner)), ...(await sideways(owner))];
  try {
    assert.deepEqual(await seen(), [], "on a desk");
    await page.setViewportSize(phone);
    await page.emulateMedia({ colorScheme: "dark" });
    assert.deepEqual(await seen(), [], "on a phone in dark");
    await page.emulateMedia({ colorScheme: "dark", forcedColors: "active" });
    const edge = (/** @type {string} */ place) =>
      page
        .locator(place)
        .first()
        .evaluate((each) => getComputedStyle(each).borderLeftStyle);
    assert.notEqual(await edge("#clash"), "none", "a note keeps its edge in the system's colours");
    // By definition CanvasText differs from Canvas: https://www.w3.org/TR/css-color-4/#css-system-colors
    const [line, sheet] = await page.evaluate(() => {
      const canvas = document.createElement("p");
      canvas.style.color = "Canvas";
      document.body.append(canvas);
      const behind = getComputedStyle(canvas).color;
      canvas.remove();
      const bar = document.querySelector("bf-schedule .mark-base");
      return [bar && getComputedStyle(bar).stroke, behind];
    });
    assert.ok(line && line !== "none", "the picture has a base line");
    assert.notEqual(line, sheet, "the picture is drawn in another colour than its ground");
  } finally {
    await page.setViewportSize(desk);
    await page.emulateMedia({ colorScheme: "light", forcedColors: "none" });
  }
}

/** Leaves the job as it was. @param {Story} story @param {string} job @param {any} kept */
async function takesOut(story, job, kept) {
  const { page } = story.owner;
  await open(story.owner, `/shop/jobs/${job}/schedule`);
  const row = page.locator(`#row-${kept.to_task_id}`);
  if ((await row.count()) === 0) await page.locator("#schedule-all").press("Enter");
  await row.press("Enter");
  await page.locator("#task-links summary").press("Enter");
  await page.locator(`#task-links [data-link="${kept.id}"]`).press("Enter");
  await page.getByRole("button", { name: "Remove the link" }).press("Enter");
  await until(
    "the link is gone",
    async () => (await jobPage(story, job)).links.some((/** @type {any} */ l) => l.id === kept.id),
    (there) => !there,
  );
  await settled(page);
}

/** @param {Story} story */
export async function looksOverTheSchedule(story) {
  const { told } = story;
  for (const state of ["in_work", "quoted", "enquiry"])
    await told.step(
      `the schedule of a car that is ${state.replace("_", " ")} says what the server found`,
      () => saysWhatIsFound(story, state),
    );
  await told.step("a finding leads to its task, and the task to its sheet", () => leads(story));
  const job = await jobIn(story, "enquiry");
  /** @type {any} */
  let kept;
  await told.step(
    "a limit that cannot hold is refused with what stands between; one that can is kept",
    async () => {
      kept = await limits(story, job);
    },
  );
  if (!kept) return;
  await told.step(
    "the shop opens for shorter: the clash is shown link by link, and goes with the limit",
    () => clashes(story, job, kept),
  );
  await told.step("the link is taken out again", () => takesOut(story, job, kept));
}

// The floor's screen: the owner plans all jobs together, sees which promise is at risk and what it waits for, tries a
// second stand and saves it, moves a task by keyboard and keeps it, and agrees to a plan that was made because
// something came late. What the screen says is held against what the server answers.

import assert from "node:assert/strict";
import { open, person, phone } from "./people.mjs";
import { ask, dayWords, materialAhead, send, until } from "./read.mjs";
import { findings, sideways, unfold } from "./screens.mjs";

/** @import { Story } from "./story.mjs" */
/** @import { Person } from "./people.mjs" */

/** @param {Person} who @param {string} [within] */
async function stands(who, within) {
  await unfold(who, within);
  assert.deepEqual([...(await findings(who, within)), ...(await sideways(who))], []);
}

/**
 * Asks until the floor is so; when it never is, says the little that matters of it.
 * @param {Person} owner @param {string} what @param {(floor: any) => boolean} wanted
 */
async function floorIs(owner, what, wanted) {
  /** @type {any} */
  let floor;
  await until(
    what,
    async () => {
      floor = await ask(owner, "/api/floor");
      const { plan, proposed, current, run } = floor;
      return { so: wanted(floor), plan: plan?.revision, proposed: proposed?.revision, current, run };
    },
    ({ so }) => so,
    60_000,
  );
  return floor;
}

/** Nothing is being made and nothing waits to be. @param {Person} owner */
const quiet = (owner) =>
  floorIs(
    owner,
    "the floor is planned",
    (f) => f.plan && !f.proposed && f.current && !["waiting", "running"].includes(f.run?.state),
  );

/** A day that far ahead. @param {number} days */
const ahead = (days) => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10);

/** The words of a move, made here anew. @param {number} days */
function movedWords(days) {
  if (days === 0) return "as it was";
  const many = Math.abs(days) === 1 ? "1 working day" : `${Math.abs(days)} working days`;
  return `${many} ${days > 0 ? "later" : "earlier"}`;
}

/** Every job of an answer stands on the screen with its days. @param {Person} owner @param {any[]} jobs @param {string} within */
async function besideEachOther({ page }, jobs, within) {
  const rows = page.locator(`${within} .floor-beside tbody tr`);
  assert.equal(await rows.count(), jobs.length, "every promise has its row");
  for (const job of jobs) {
    const row = rows.filter({ has: page.locator("th", { hasText: job.car }) }).first();
    const text = (await row.innerText()).replace(/\s+/g, " ");
    assert.ok(text.includes(movedWords(job.moved_days)), `job ${job.number}: ${text}`);
    assert.ok(text.includes(job.words), `job ${job.number}: ${text}`);
  }
}

/** Whatever waits is settled first: the steps before this one changed a good deal. @param {Story} story */
async function plans({ owner }) {
  const { page } = owner;
  await open(owner, "/floor");
  assert.equal(
    await page.locator("nav li a").first().innerText(),
    "Floor",
    "it is the first of the navigation",
  );
  const before = await ask(owner, "/api/floor");
  await page.getByRole("button", { name: "Plan again" }).click();
  const done = await floorIs(
    owner,
    "the plan is made",
    (f) => f.run.state === "done" && f.run.asked_at !== before.run?.asked_at,
  );
  if (done.proposed) {
    await page.getByText("A plan waits for your decision").waitFor();
    await page.getByRole("button", { name: "Agree to it" }).click();
  }
  const now = await quiet(owner);
  await page.getByText("holds, and nothing that it was made from has changed since").waitFor();
  assert.ok(now.plan.revision > (before.plan?.revision ?? 0), "a newer plan holds");
  await stands(owner);
}

/** @param {Story} story */
async function seesRiskAndWhy({ owner }) {
  const { page } = owner;
  const { plan } = await quiet(owner);
  await open(owner, "/floor");
  const rows = page.locator(".floor-promises tbody tr");
  assert.equal(await rows.count(), plan.jobs.length);
  const first = plan.jobs[0];
  assert.ok(first.at_risk, "the demo has a promise at risk");
  assert.ok(first.lost.length > 0, "and it waits for something");
  const text = (await rows.first().innerText()).replace(/\s+/g, " ");
  const longest = [...first.lost].sort((a, b) => b.minutes - a.minutes)[0];
  for (const part of [
    first.car,
    dayWords(first.promise),
    dayWords(first.finish_day),
    first.words,
    `${longest.days}: ${longest.name}`,
  ])
    assert.ok(text.includes(part), `${part} in: ${text}`);
  // What waits in a queue says for whom, since when, and how long.
  const soon = ahead(30);
  const bar = plan.bars.find((/** @type {any} */ b) => b.cause === "queue" && b.start.slice(0, 10) < soon);
  assert.ok(bar, "something waits in the next weeks");
  const shape = page.locator(`[data-bar="${bar.task_id}"]`).first();
  await shape.focus();
  await page.keyboard.press("Enter");
  const why = page.locator("#floor-why");
  await why.getByText(bar.why).waitFor();
  assert.match(await why.innerText(), new RegExp(`${bar.code} `));
  assert.match(await why.innerText(), /Ready since/);
  assert.equal(await shape.getAttribute("aria-pressed"), "true");
  // The same in a table.
  await page.getByRole("button", { name: "As a table" }).click();
  await page
    .locator(".floor-table")
    .getByRole("button", { name: `${bar.code} ${bar.name}` })
    .first()
    .waitFor();
  await stands(owner, "#floor-drawn");
  await page.getByRole("button", { name: "As a table" }).click();
  for (const name of ["By technician", "By job", "2 weeks", "12 weeks"]) {
    await page.getByRole("button", { name, exact: true }).click();
    assert.ok((await page.locator(".floor-bar").count()) > 0, `bars: ${name}`);
  }
}

/**
 * What the client of the demo's car in work reads on the page that stays open: the days, and that all cars are counted.
 * @param {Person} reader @param {(text: string) => boolean} wanted
 */
async function clientReads(reader, wanted) {
  let text = "";
  await until(
    "the client's open page",
    async () => {
      text = (await reader.page.locator("main").innerText()).replace(/\s+/g, " ");
      return text;
    },
    wanted,
  );
  return text;
}

/** The second stand: tried, saved, shown again, made so; only then does the client's date move. @param {Story} story */
async function triesSecondStand({ owner, demo, browser }) {
  const { page } = owner;
  const before = await quiet(owner);
  const stand = before.stations[0];
  const reader = await person(browser, demo.base, "client of the car in work", { size: phone });
  await reader.page.goto(demo.client);
  await reader.page.locator(".sentence").waitFor();
  const [{ id, number }] = (await ask(reader, "/api/client/jobs")).items;
  const planned = (/** @type {any} */ plan) =>
    plan.jobs.find((/** @type {any} */ j) => j.job_id === id).finish_day;
  const was = planned(before.plan);
  await clientReads(reader, (t) => t.includes(dayWords(was)) && t.includes("count all cars in the shop"));
  await open(owner, "/floor");
  await page.getByLabel("What would be different").selectOption("add_capacity");
  await page.locator("#if-form [name=station]:visible").selectOption(stand.key);
  await page.getByRole("button", { name: "Try it", exact: true }).click();
  const tried = page.locator("#floor-tried");
  await tried.locator(".floor-beside").waitFor();
  await stands(owner);
  const name = "A second stand";
  await tried.getByLabel("Save it under the name").fill(name);
  await tried.getByRole("button", { name: "Save" }).click();
  await page.locator("#floor-saved").getByText(name).first().waitFor();
  const { items } = await ask(owner, "/api/floor/trials");
  const saved = items.find((/** @type {any} */ t) => t.name === name);
  assert.deepEqual(saved.changes, [{ kind: "add_capacity", station: stand.key, by: 1 }]);
  await page.locator(`#show-${saved.id}`).click();
  await besideEachOther(owner, saved.jobs, "#floor-tried");
  assert.equal((await ask(owner, "/api/floor")).plan.id, before.plan.id, "trying changed nothing");
  assert.equal((await ask(reader, `/api/client/jobs/${id}`)).finish, was, "nor the client's date");
  await tried.getByRole("button", { name: "Make it so" }).click();
  const after = await floorIs(
    owner,
    "there are two stands",
    (f) => f.plan.id !== before.plan.id && f.current,
  );
  assert.equal(
    after.stations.find((/** @type {any} */ s) => s.key === stand.key).capacity,
    stand.capacity + 1,
  );
  const now = planned(after.plan);
  assert.ok(now < was, `job ${number}: with a second stand it finishes on ${now}, before ${was}`);
  // Nobody reloads the client's page.
  await clientReads(reader, (t) => t.includes(dayWords(now)) && !t.includes(dayWords(was)));
  await stands(reader);
  await reader.context.close();
}

/** Two changes together: the one on the list and the one in the fields. @param {Story} story */
async function triesTwoTogether({ owner }) {
  const { page } = owner;
  await quiet(owner);
  await open(owner, "/floor");
  const tried = page.locator("#floor-tried");
  await page.getByLabel("What would be different").selectOption("job_first");
  await page.getByRole("button", { name: "And something else" }).click();
  await page.locator("#if-list li").waitFor();
  await page.getByLabel("What would be different").selectOption("add_person");
  await page.getByRole("button", { name: "Try it", exact: true }).click();
  await tried.locator(".floor-changes li").nth(1).waitFor();
  assert.equal(
    await tried.getByRole("button", { name: "Make it so" }).count(),
    0,
    "nobody is hired from here",
  );
  await tried.getByRole("button", { name: "Put back" }).click();
  await tried.waitFor({ state: "hidden" });
  assert.equal((await ask(owner, "/api/floor/trials")).items.length, 0, "only what was saved stays");
}

/** A day's closure typed the wrong way round is refused at its field. @param {Story} story */
async function isRefusedAtTheField({ owner }) {
  const { page } = owner;
  owner.expected.push(/(422|400)/);
  await page.getByLabel("What would be different").selectOption("close_station");
  const part = page.locator("[data-kind=close_station]");
  await part.getByLabel("First day").fill(ahead(20));
  await part.getByLabel("Last day").fill(ahead(10));
  await page.locator("#if-list [data-act=less]").first().click();
  await page.getByRole("button", { name: "Try it", exact: true }).click();
  await part.locator("[data-error-of=to]:not([hidden])").waitFor();
  await page.waitForTimeout(150);
  owner.expected.pop();
}

/** @param {Story} story */
async function movesByKeyboard({ owner }) {
  const { page } = owner;
  const before = await quiet(owner);
  await open(owner, "/floor");
  const soon = ahead(21);
  const bar = before.plan.bars.find(
    (/** @type {any} */ b) =>
      b.progress === "not_started" && b.kind === "work" && b.driving && b.start.slice(0, 10) < soon,
  );
  assert.ok(bar, "something of the next weeks drives a finish");
  const shape = page.locator(`[data-bar="${bar.task_id}"]`).first();
  await shape.focus();
  await page.keyboard.press("Enter");
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Shift+ArrowRight");
  await page.keyboard.press("Shift+ArrowLeft");
  await page.locator(".floor-hint").getByText("Moved to").waitFor();
  assert.ok(await page.locator(".floor-moved:not([hidden])").count(), "it is drawn where it would stand");
  await page.keyboard.press("Escape");
  assert.equal(await page.locator(".floor-moved:not([hidden])").count(), 0, "Escape puts it back");
  for (const key of ["ArrowRight", "ArrowRight", "Enter"]) await page.keyboard.press(key);
  const tried = page.locator("#floor-tried");
  await tried.getByRole("button", { name: "Make it so" }).waitFor();
  assert.equal(await tried.locator(".floor-beside tbody tr").count(), before.plan.jobs.length);
  assert.equal((await ask(owner, "/api/floor")).plan.id, before.plan.id, "nothing is kept yet");
  await stands(owner, "#floor-tried");
  await tried.getByRole("button", { name: "Make it so" }).click();
  const kept = await floorIs(owner, "the move is kept", (f) =>
    f.plan.bars.some((/** @type {any} */ b) => b.task_id === bar.task_id && b.pinned),
  );
  const moved = kept.plan.bars.find((/** @type {any} */ b) => b.task_id === bar.task_id);
  assert.ok(moved.start > bar.start, `${moved.start} is later than ${bar.start}`);
  await page.locator("#unpin").waitFor();
  await page.locator("#unpin").click();
  // The plan that comes of it holds by the shop's tolerance, or waits for the owner.
  const free = (/** @type {any} */ plan) => plan && !plan.bars.some((/** @type {any} */ b) => b.pinned);
  const again = await floorIs(
    owner,
    "the plan decides again",
    (f) => f.run.state === "done" && free(f.proposed ?? f.plan),
  );
  if (again.proposed) await page.getByRole("button", { name: "Agree to it" }).click();
  assert.ok(free((await quiet(owner)).plan), "nobody decides on a start any more");
}

/** The same with a mouse: what is dragged is tried, and put back. @param {Story} story */
async function movesByMouse({ owner }) {
  const { page } = owner;
  const { plan } = await quiet(owner);
  await open(owner, "/floor");
  const bar = plan.bars.find(
    (/** @type {any} */ b) =>
      b.progress === "not_started" &&
      b.kind === "work" &&
      b.start.slice(0, 10) < ahead(21) &&
      Date.parse(b.finish) - Date.parse(b.start) > 5 * 3_600_000,
  );
  assert.ok(bar, "something of the next weeks is long enough to be taken hold of");
  const shape = page.locator(`[data-bar="${bar.task_id}"]`).first();
  await shape.scrollIntoViewIfNeeded();
  const box = await shape.boundingBox();
  assert.ok(box);
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 120, y, { steps: 8 });
  await page.locator(".floor-hint").getByText("Moved to").waitFor();
  await page.mouse.up();
  const tried = page.locator("#floor-tried");
  await tried.getByText(`${bar.code} ${bar.name}`).first().waitFor();
  await tried.getByRole("button", { name: "Put back" }).click();
  await tried.waitFor({ state: "hidden" });
  assert.equal((await ask(owner, "/api/floor")).plan.id, plan.id, "nothing was kept");
}

/** What comes late moves a finish further than the shop lets pass by itself. @param {Story} story */
async function agrees({ owner }) {
  const { page } = owner;
  const { id, line } = await materialAhead(owner);
  const before = await quiet(owner);
  await open(owner, "/floor");
  const plain = { returnable: false, restocking_fee: "0.00", note: "" };
  const supply = (/** @type {unknown} */ body) =>
    send(owner, `/api/jobs/${id}/lines/${line.id}/supply`, body, {
      "Idempotency-Key": `floor-${Math.random()}`,
    });
  const { status, body } = await supply({ state: "ordered", expected_on: ahead(300), ...plain });
  assert.equal(status, 200, JSON.stringify(body));
  // Nobody reloads: the plan is made by itself and the page says so.
  await page.getByText("A plan waits for your decision").waitFor({ timeout: 60_000 });
  const { plan, proposed } = await ask(owner, "/api/floor");
  assert.equal(plan.id, before.plan.id, "until somebody agrees the plan is as it was");
  const late = proposed.jobs.find((/** @type {any} */ j) => j.job_id === id);
  assert.ok(late.moved_days > 100, `${late.moved_days} days later`);
  await besideEachOther(owner, proposed.jobs, "#floor-standing");
  await stands(owner, "#floor-standing");
  await page.getByRole("button", { name: "Agree to it" }).click();
  await page.getByText("holds, and nothing that it was made from has changed since").waitFor();
  assert.equal((await ask(owner, "/api/floor")).plan.id, proposed.id, "what was agreed to holds");
  await supply({ state: "fitted", ...plain });
  const seen = (/** @type {any} */ f) =>
    f.run.state === "done" && (f.proposed?.revision ?? f.plan.revision) > proposed.revision;
  if ((await floorIs(owner, "it is planned anew once it is there", seen)).proposed)
    await page.getByRole("button", { name: "Agree to it" }).click();
  const after = await quiet(owner);
  assert.ok(after.plan.jobs.find((/** @type {any} */ j) => j.job_id === id).finish < late.finish);
}

/** @param {Story} story */
async function asksForRelief({ owner }) {
  const { page } = owner;
  await open(owner, "/floor");
  await page.getByRole("button", { name: "Work it out" }).click();
  const place = page.locator("#floor-relief");
  await place.locator("table, p:not([role])").first().waitFor();
  const { items } = await ask(owner, "/api/floor/relief");
  const text = await place.innerText();
  for (const { name } of items) assert.ok(text.includes(name), `${name} in: ${text}`);
  await stands(owner, "#floor-relief");
}

/** A technician reads all of it and decides nothing. @param {Story} story */
async function technicianReads({ technician }) {
  const { page } = technician;
  await open(technician, "/bench");
  await page.getByRole("link", { name: "Floor" }).click();
  await page.locator(".floor-promises").waitFor();
  assert.equal(await page.getByRole("button", { name: "Plan again" }).count(), 0);
  const fold = page.locator(".floor-list").first();
  await fold.locator("summary").click();
  await fold.locator("[data-pick]").first().click();
  await page.locator("#floor-why .floor-facts").waitFor();
  assert.equal(await page.locator("main form").count(), 0, "it is there to read");
  await stands(technician);
}

/** @param {Story} story */
export async function levels(story) {
  const { told } = story;
  await told.step("the owner plans all jobs together", () => plans(story));
  await told.step("a promise at risk stands first, and a task says what it waits for", () =>
    seesRiskAndWhy(story),
  );
  await told.step("a second stand is tried, saved and made so; only then does the client's date move", () =>
    triesSecondStand(story),
  );
  await told.step("two changes together are tried and put back", () => triesTwoTogether(story));
  await told.step("a closure the wrong way round is refused at its field", () => isRefusedAtTheField(story));
  await told.step("a task is moved by keyboard, its effect seen, kept, and given back", () =>
    movesByKeyboard(story),
  );
  await told.step("a task is dragged by mouse, its effect seen, and put back", () => movesByMouse(story));
  await told.step("what comes late brings a proposal, and the owner agrees", () => agrees(story));
  await told.step("one more of each: what it would save", () => asksForRelief(story));
  await told.step("the technician reads the floor", () => technicianReads(story));
}

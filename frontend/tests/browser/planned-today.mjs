// The technician's day follows the agreed plan: its order, times and names; a phone that lies open changes when the
// owner keeps a move, and a clock that runs meanwhile runs on. The screen is held against the floor's own answer.

import assert from "node:assert/strict";
import { stopNow } from "./bench.mjs";
import { open, signIn } from "./people.mjs";
import { ask, send, until } from "./read.mjs";
import { findings, sideways, unfold } from "./screens.mjs";

/** @import { Story } from "./story.mjs" */
/** @import { Person } from "./people.mjs" */

/** What waits is agreed to until a plan holds of the floor as it is. @param {Person} owner @returns {Promise<any>} */
const agreed = (owner) =>
  until(
    "a plan holds",
    async () => {
      const floor = await ask(owner, "/api/floor");
      if (floor.proposed)
        await send(owner, `/api/floor/plans/${floor.proposed.id}/decision`, { agree: true });
      return floor;
    },
    (f) => f.plan && f.current && !f.proposed && !["waiting", "running"].includes(f.run?.state),
    90_000,
  );

/** "08:00" in the shop's zone. @param {string} instant @param {string} timeZone */
const clockOf = (instant, timeZone) =>
  new Intl.DateTimeFormat("en-GB", { timeZone, hour: "2-digit", minute: "2-digit" }).format(
    new Date(instant),
  );

/** "30 Nov" in the shop's zone. @param {string} instant @param {string} timeZone */
const dayOf = (instant, timeZone) =>
  new Intl.DateTimeFormat("en-GB", { timeZone, day: "numeric", month: "short" }).format(new Date(instant));

/** The screen's tasks from the top, as words. @param {Person} who */
const shown = async ({ page }) =>
  (await page.locator("ol.planned > li").allInnerTexts()).map((text) => text.replace(/\s+/g, " "));

/** @param {Story} story */
async function inOrder({ owner, technician, zone }) {
  const { plan } = await agreed(owner);
  await open(technician, "/bench");
  const [today, { person }] = [await ask(technician, "/api/bench/today"), await ask(technician, "/api/me")];
  assert.equal(today.plan.revision, plan.revision);
  await technician.page.getByText(`By plan ${plan.revision} of all jobs`).waitFor();
  // What somebody was on today stays at the top until it is finished, whomever the plan names.
  const was = new Set(today.entries.map((/** @type {any} */ e) => e.task_id));
  const mine = plan.bars
    .filter((/** @type {any} */ b) =>
      b.progress === "in_progress" && was.has(b.task_id)
        ? true
        : b.people.includes(person.id) && b.progress !== "finished",
    )
    .sort((/** @type {any} */ a, /** @type {any} */ b) => a.progress.localeCompare(b.progress));
  assert.ok(mine.length > 0, "the plan gives the technician something");
  const words = await shown(technician);
  assert.ok(words.length > 0, "and the day shows it");
  for (const [i, text] of words.entries()) {
    const bar = mine[i];
    for (const part of [bar.name, clockOf(bar.start, zone), clockOf(bar.finish, zone), `job `])
      assert.ok(text.includes(part), `place ${i + 1}: ${part} in: ${text}`);
  }
  // What the plan gives to others can be had all the same.
  for (const card of today.plan.others) {
    assert.ok(!card.plan?.mine, `${card.name} is the technician's own`);
    assert.equal(await technician.page.locator(`#others #start-${card.task_id}`).count(), 1);
  }
  await unfold(technician);
  assert.deepEqual([...(await findings(technician)), ...(await sideways(technician))], []);
}

/** @param {Story} story */
async function changesOpen({ owner, technician, zone }) {
  const { page } = technician;
  await open(technician, "/bench");
  await page.locator("ol.planned > li button[data-act=start]:not([disabled]):visible").first().click();
  await page.getByRole("dialog").getByRole("button", { name: "Start the clock" }).click();
  await page.locator(".clock.runs").waitFor();
  const { clock } = await until(
    "the clock runs",
    () => ask(technician, "/api/bench/today"),
    (t) => t.clock,
  );
  await agreed(owner);
  const before = await ask(technician, "/api/bench/today");
  const card = before.next.find((/** @type {any} */ c) => c.state === "open" && c.plan?.mine);
  assert.ok(card, "something of the technician's was not begun");
  await open(technician, "/bench");
  await page.evaluate(() => {
    /** @type {any} */ (window).stayed = true;
  });
  // Two weeks later at the same hour: the owner keeps it, nobody touches the phone.
  const at = new Date(Date.parse(card.plan.start) + 14 * 86_400_000).toISOString();
  const tried = await send(owner, "/api/floor/trials", {
    changes: [{ kind: "pin_task", task: card.task_id, at }],
  });
  assert.equal(tried.status, 200, JSON.stringify(tried.body));
  const kept = await send(owner, `/api/floor/trials/${tried.body.id}/adoption`, undefined);
  assert.equal(kept.status, 200, JSON.stringify(kept.body));
  await page.getByText(`By plan ${kept.body.plan.revision} of all jobs`).waitFor();
  const after = await ask(technician, "/api/bench/today");
  const moved = after.next.find((/** @type {any} */ c) => c.task_id === card.task_id);
  const row = (await shown(technician)).find((text) => text.includes(card.name));
  assert.equal(row !== undefined, moved !== undefined, "it stands there when it is still among the next");
  if (moved && row) assert.ok(row.includes(dayOf(moved.plan.start, zone)), `${moved.plan.start} in: ${row}`);
  assert.ok(
    !moved || moved.plan.start >= at.slice(0, 19),
    `it begins ${moved?.plan.start}, not before ${at}`,
  );
  assert.equal(await page.evaluate(() => /** @type {any} */ (window).stayed), true, "nobody loaded it again");
  assert.equal(after.clock.id, clock.id, "the clock runs on");
  assert.equal(after.clock.started_at, clock.started_at);
  await page.locator(".clock.runs", { hasText: clock.task_name }).waitFor();
  await stopNow(technician);
  const same = (await ask(technician, "/api/bench/hours?limit=50")).items.filter(
    (/** @type {any} */ e) => e.id === clock.id,
  );
  assert.equal(same.length, 1, "and its hours are kept");
  const status = await owner.page.evaluate(
    async (path) => (await fetch(path, { method: "DELETE" })).status,
    `/api/floor/pins/${card.task_id}`,
  );
  assert.equal(status, 200, "the move is given back");
  const settled = await agreed(owner);
  await page.getByText(`By plan ${settled.plan.revision} of all jobs`).waitFor();
}

/** @param {Story} story */
export async function followsThePlan(story) {
  const { told, technician, demo } = story;
  await told.step("the technician's day has the order, times and names of the agreed plan", async () => {
    if ((await technician.context.request.get("/api/me")).status() !== 200)
      await signIn(technician, demo.technician, demo.password);
    await inOrder(story);
  });
  await told.step("the owner keeps a move: the open day changes by itself, and its clock runs on", () =>
    changesOpen(story),
  );
}

// A zone is graded anew on the survey: hours, quantities, price and date move with their reasons, as the
// server says; what was typed over stays.

import assert from "node:assert/strict";
import { open, settled } from "./people.mjs";
import { ask, dayIn, dayWords, money, until } from "./read.mjs";

/** @import { Story } from "./story.mjs" */

/** @param {Story} story @param {string} job @param {string} zone @param {string} condition */
async function grade({ owner }, job, zone, condition) {
  await open(owner, `/shop/jobs/${job}/survey`);
  // Picked in the drawing by keyboard.
  await owner.page.locator(`.frame-zone[data-zone="${zone}"]`).first().focus();
  await owner.page.keyboard.press("Enter");
  await owner.page.locator("#observe").click();
  const sheet = owner.page.getByRole("dialog");
  await sheet.getByLabel("Condition").selectOption(condition);
  await sheet.getByRole("button", { name: "Keep it" }).click();
  await sheet.waitFor({ state: "detached" });
}

/** Types hours over those of a task. @param {Story} story @param {string} job @param {any} task */
async function typeOver({ owner }, job, task) {
  const page = await ask(owner, `/api/jobs/${job}`);
  const { id, hours, ...rest } = page.tasks.find((/** @type {any} */ t) => t.id === task.task_id);
  const draft = Object.fromEntries(
    [
      "phase_id",
      "code",
      "name",
      "note",
      "kind",
      "elapsed_hours",
      "lead_days",
      "skill",
      "crew",
      "station",
      "zone",
      "cautions",
      "hold_point",
      "tax_class",
    ].map((k) => [k, rest[k]]),
  );
  const status = await owner.page.evaluate(
    async ([path, body, version]) =>
      (
        await fetch(path, {
          method: "PUT",
          headers: { "Content-Type": "application/json", "If-Match": version },
          body,
        })
      ).status,
    /** @type {const} */ ([
      `/api/jobs/${job}/tasks/${id}`,
      JSON.stringify({ ...draft, hours: { low: "7.00", likely: "7.50", high: "9.00" } }),
      `"v${page.job.version}"`,
    ]),
  );
  assert.equal(status, 200, `typing over ${task.code}`);
}

/** @param {Story} story */
export async function takesOff(story) {
  const { owner, told } = story;
  await told.step("a grade on the survey moves hours, materials, price and date, and says why", async () => {
    const { items } = await ask(owner, "/api/jobs");
    const job = items.findLast((/** @type {any} */ j) => j.state === "enquiry").id;
    const frame = await ask(owner, `/api/jobs/${job}/frame`);
    const zone = frame.zones.find((/** @type {any} */ z) => z.code === "left-rear-rail");
    await open(owner, `/shop/jobs/${job}/survey`);
    await grade(story, job, zone.id, "b");
    const before = await ask(owner, `/api/jobs/${job}/takeoff`);
    const typed = before.tasks.find((/** @type {any} */ t) => t.code === "C20");
    await typeOver(story, job, typed);
    await grade(story, job, zone.id, "perforated");
    const note = owner.page.locator("#moved");
    const text = await until(
      "what moved",
      () => note.innerText(),
      (t) => t.includes("grade B to perforated"),
    );
    const after = await ask(owner, `/api/jobs/${job}/takeoff`);
    const [move] = after.moves;
    assert.equal(move.cause, `${zone.name}: grade B to perforated`);
    assert.notEqual(move.net_before, move.net_after, "the price moved");
    for (const part of [
      money(move.net_before),
      money(move.net_after),
      dayWords(dayIn(move.finish_after, story.zone)),
    ])
      assert.ok(text.includes(part), `the note says ${part}: ${text}`);
    const welds = move.tasks.find((/** @type {any} */ t) => t.code === "C40");
    assert.ok(
      Number(welds.after.likely) > Number(welds.before.likely) && welds.by[0].words.includes(zone.name),
      JSON.stringify(welds),
    );
    const stays = after.tasks.find((/** @type {any} */ t) => t.code === "C20");
    assert.equal(stays.hours.likely, "7.50", "typed hours stay");
    assert.equal(stays.follows, false);
    await owner.page.getByRole("link", { name: "To the takeoff" }).click();
    await settled(owner.page);
    const row = owner.page.locator("tr", { hasText: "C40" }).first();
    await until(
      "the hours that follow",
      () => row.innerText(),
      (t) => t.includes(`${welds.after.likely} h`),
    );
    await owner.page.locator("#task-C40").click();
    const steps = await owner.page.getByRole("dialog").innerText();
    assert.ok(steps.includes(zone.name) && steps.includes("Source"), steps);
    await owner.page.getByRole("dialog").getByRole("button", { name: "Close" }).click();
    await owner.page
      .locator("tr", { hasText: "C20" })
      .first()
      .getByRole("button", { name: /Follow again/ })
      .click();
    await until(
      "C20 follows again",
      async () =>
        (await ask(owner, `/api/jobs/${job}/takeoff`)).tasks.find((/** @type {any} */ t) => t.code === "C20"),
      (t) => t.follows && t.hours.likely === t.asked.likely,
    );
  });
}

// Two people in one job; and one who has no mouse.

import assert from "node:assert/strict";
import { expecting, open, settled, signIn } from "./people.mjs";
import { ask } from "./read.mjs";

/** @import { Story } from "./story.mjs" */

/** @param {Story} story */
async function staleSave(story) {
  const { owner, second, demo } = story;
  await signIn(second, demo.owner, demo.password);
  const { items } = await ask(owner, "/api/jobs");
  const job = items.find((/** @type {any} */ j) => j.state === "enquiry").id;
  const { tasks } = await ask(owner, `/api/jobs/${job}`);
  const task = tasks.find((/** @type {any} */ t) => t.kind === "work");
  for (const who of [owner, second]) {
    await open(who, `/shop/jobs/${job}/estimate`);
    await who.page.locator(`#open-${task.id}`).click();
    await who.page.getByRole("dialog").waitFor();
  }
  const name = (/** @type {typeof owner} */ who) => who.page.getByRole("dialog").getByLabel("Name");
  await name(owner).fill("Name by the first");
  await name(second).fill("Name by the second");
  await owner.page.getByRole("button", { name: "Save the task" }).click();
  await owner.page.getByRole("dialog").waitFor({ state: "detached" });
  await expecting(second, [/412/], async () => {
    await second.page.getByRole("button", { name: "Save the task" }).click();
    await second.page.getByRole("heading", { name: /somebody else saved first/ }).waitFor();
  });
  const both = await second.page.getByRole("dialog").innerText();
  assert.ok(
    both.includes("Name by the first") && both.includes("Name by the second"),
    `both versions: ${both}`,
  );
  const stored = async () =>
    (await ask(owner, `/api/jobs/${job}`)).tasks.find((/** @type {any} */ t) => t.id === task.id).name;
  assert.equal(await stored(), "Name by the first", "the stale save changed nothing");
  await second.page.getByRole("button", { name: "Put mine on top" }).click();
  await second.page.getByRole("dialog").waitFor({ state: "detached" });
  assert.equal(await stored(), "Name by the second", "now it was chosen");
}

/** Tab until something that fits has the focus. @param {import("playwright-core").Page} page @param {string} selector */
async function tabTo(page, selector, most = 150) {
  for (let n = 0; n < most; n += 1) {
    await page.keyboard.press("Tab");
    if (await page.evaluate((s) => document.activeElement?.matches(s) ?? false, selector)) return;
  }
  throw new Error(`Tab does not reach ${selector}`);
}

/** @param {Story} story */
async function keyboard(story) {
  const { keys, demo } = story;
  const { page } = keys;
  await page.goto("/sign-in");
  await settled(page);
  await tabTo(page, '[name="email"]');
  await page.keyboard.type(demo.owner);
  await tabTo(page, '[name="password"]');
  await page.keyboard.type(demo.password);
  await page.keyboard.press("Enter");
  await page.waitForURL(/\/shop$/);
  await settled(page);
  const { items } = await ask(keys, "/api/jobs");
  const job = items.find((/** @type {any} */ j) => j.state === "enquiry").id;
  await tabTo(page, `a[href="/shop/jobs/${job}"]`);
  await page.keyboard.press("Enter");
  await page.waitForURL(new RegExp(job));
  await settled(page);
  await tabTo(page, 'input[data-hours="high"]');
  const cell = await page.evaluate(() => document.activeElement?.id ?? "");
  const high = await page.evaluate(() => /** @type {HTMLInputElement} */ (document.activeElement).value);
  const wanted = (Number(high) + 1.5).toFixed(2);
  await page.keyboard.press("Control+a");
  await page.keyboard.type(wanted);
  await page.keyboard.press("Enter");
  await page.locator(".toast", { hasText: "saved" }).waitFor();
  const task = (await ask(keys, `/api/jobs/${job}`)).tasks.find(
    (/** @type {any} */ t) => `high-${t.id}` === cell,
  );
  assert.equal(task.hours.high, wanted);
  // As F5 does: Tab begins at the top again.
  await page.reload();
  await settled(page);
  await tabTo(page, 'a[href$="/quotes"]');
  await page.keyboard.press("Enter");
  await page.waitForURL(/\/quotes$/);
  await settled(page);
  await tabTo(page, "#issue");
  await page.keyboard.press("Enter");
  await page.getByRole("dialog").waitFor();
  const inside = await page.evaluate(() => document.activeElement?.closest("dialog") !== null);
  assert.ok(inside, "focus is in the dialog");
  await page.keyboard.press("Escape");
  await page.getByRole("dialog").waitFor({ state: "detached" });
  assert.equal(await page.evaluate(() => document.activeElement?.id), "issue", "focus is back on the button");
}

/** @param {Story} story */
export async function together(story) {
  const { told } = story;
  await told.step("two owners edit one task: the stale save is refused and shows both versions", () =>
    staleSave(story),
  );
  await told.step(
    "by keyboard alone: sign in, open a job, change hours, open and leave the issue dialog",
    () => keyboard(story),
  );
}

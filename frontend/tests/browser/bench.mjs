// The technician on a phone: the clock, hours to go, a repeated request, a dropped answer, no network.

import assert from "node:assert/strict";
import { expecting, open, signIn } from "./people.mjs";
import { ask, send, until } from "./read.mjs";

/** @import { Story } from "./story.mjs" */

const netDown = [/ERR_INTERNET_DISCONNECTED/, /ERR_FAILED/, /Failed to load resource/];

/** The job's entries, newest first. @param {Story} story */
const entries = async (story) => (await ask(story.owner, `/api/jobs/${story.job}/hours?limit=200`)).items;

/** @param {Story} story */
const firstTask = async (story) =>
  (await ask(story.technician, "/api/bench/tasks")).items.find(
    (/** @type {any} */ c) => c.job_id === story.job && c.blocks.length === 0 && c.kind === "work",
  );

/** A stretch of some minutes in which this technician logged nothing. @param {Story} story @param {number} minutes */
async function freeStretch(story, minutes) {
  const { items } = await ask(story.technician, "/api/bench/hours?limit=200");
  const now = Math.floor(Date.now() / 60_000) * 60_000;
  for (let end = now - 5 * 60_000; ; end -= 5 * 60_000) {
    const start = end - minutes * 60_000;
    const taken = items.some(
      (/** @type {any} */ e) =>
        !e.void &&
        !e.corrected &&
        Date.parse(e.started_at) < end &&
        Date.parse(e.finished_at ?? new Date().toISOString()) > start,
    );
    const text = (/** @type {number} */ at) => new Date(at).toISOString().replace(".000Z", "Z");
    if (!taken) return { started_at: text(start), finished_at: text(end) };
  }
}

/** @param {Story} story */
async function clockRuns(story) {
  const { technician } = story;
  const card = await firstTask(story);
  assert.ok(card, "the accepted job has a task that is free to start");
  story.task = card.task_id;
  await open(technician, "/bench/tasks");
  for (const phase of await technician.page.locator("main details").all())
    await phase.evaluate((d) => d.setAttribute("open", ""));
  await technician.page.locator(`#start-${card.task_id}`).click();
  await technician.page.getByRole("dialog").getByRole("button", { name: "Start the clock" }).click();
  await technician.page.waitForURL(/\/bench$/);
  await technician.page.locator(".clock.runs", { hasText: card.name }).waitFor();
  const [entry] = await entries(story);
  assert.equal(entry.task_id, card.task_id);
  assert.equal(entry.finished_at, undefined);
}

/** Stops the clock at the server: the screen itself shows it stopped as soon as it was asked. @param {import("./people.mjs").Person} who */
export async function stopNow(who) {
  await who.page.locator("#stop").click();
  const sheet = who.page.getByRole("dialog");
  await sheet.getByRole("button", { name: "Stop the clock" }).click();
  await sheet.waitFor({ state: "detached" });
  await who.page.getByRole("heading", { name: "No clock runs" }).waitFor();
  const { clock } = await ask(who, "/api/bench/today");
  assert.equal(clock, undefined, "no clock runs at the server");
}

/** @param {Story} story @param {string} left */
async function stopWith(story, left) {
  const { page } = story.technician;
  await page.locator("#stop").click();
  const sheet = page.getByRole("dialog");
  await sheet.getByLabel("Hours to go").fill(left);
  await sheet.getByRole("button", { name: "Stop the clock" }).click();
  await sheet.waitFor({ state: "detached" });
}

/** @param {Story} story */
async function clockStops(story) {
  await stopWith(story, "1.25");
  await story.technician.page.getByRole("heading", { name: "No clock runs" }).waitFor();
  const task = (await ask(story.owner, `/api/jobs/${story.job}`)).tasks.find(
    (/** @type {any} */ t) => t.id === story.task,
  );
  assert.equal(task.to_go_hours, "1.25");
}

/** @param {Story} story */
async function sameKey(story) {
  const { technician } = story;
  const before = (await entries(story)).length;
  const body = {
    task_id: story.task,
    ...(await freeStretch(story, 30)),
    done: false,
    note: "sent twice",
    hours_to_go: "1.00",
  };
  const headers = { "Idempotency-Key": `story-${Date.now()}` };
  const first = await send(technician, "/api/bench/hours", body, headers);
  const again = await send(technician, "/api/bench/hours", body, headers);
  assert.equal(first.status, 201, JSON.stringify(first.body));
  assert.equal(again.status, first.status);
  assert.equal(again.body.id, first.body.id, "the same entry is answered");
  assert.equal((await entries(story)).length, before + 1, "it counts once");
  const refused = await expecting(technician, [/4(09|22)/], () =>
    send(technician, "/api/bench/hours", { ...body, note: "another body" }, headers),
  );
  assert.ok([409, 422].includes(refused.status), `the key with another body is refused: ${refused.status}`);
}

/** The server does it, the answer is lost, the queue sends it again. @param {Story} story */
async function droppedAnswer(story) {
  const { technician } = story;
  await clockRuns(story);
  const before = (await entries(story)).length;
  /** @type {string[]} */
  const keys = [];
  await technician.page.route("**/api/bench/clock/stop", async (route) => {
    keys.push((await route.request().allHeaders())["idempotency-key"] ?? "");
    const answer = await route.fetch();
    if (keys.length === 1) await route.abort("connectionreset");
    else await route.fulfill({ response: answer });
  });
  await expecting(technician, [/ERR_CONNECTION_RESET/], async () => {
    await stopWith(story, "0.75");
    await technician.page.getByText("One entry waits").waitFor();
    assert.equal((await entries(story))[0].finished_at !== undefined, true, "the server had done it already");
    await technician.page.evaluate(() => window.dispatchEvent(new Event("online")));
    await technician.page.getByText("One entry waits").waitFor({ state: "detached" });
  });
  await technician.page.unroute("**/api/bench/clock/stop");
  assert.equal(keys.length, 2, "it was sent twice");
  assert.equal(keys[0], keys[1], "under one key");
  const after = await entries(story);
  assert.equal(after.length, before, "stopping adds no entry");
  assert.equal(after.filter((/** @type {any} */ e) => e.hours_to_go === "0.75").length, 1, "it counts once");
}

/** @param {Story} story */
async function offline(story) {
  const { technician } = story;
  const before = (await entries(story)).length;
  const stretch = await freeStretch(story, 15);
  const zoned = (/** @type {string} */ instant) =>
    new Date(instant).toLocaleString("sv-SE", { timeZone: story.zone }).slice(0, 16).replace(" ", "T");
  await open(technician, "/bench");
  await technician.page.locator("#type").click();
  const sheet = technician.page.getByRole("dialog");
  await sheet.getByLabel("Task", { exact: true }).selectOption(story.task);
  await sheet.getByLabel("Start").fill(zoned(stretch.started_at));
  await sheet.getByLabel("Finish", { exact: true }).fill(zoned(stretch.finished_at));
  await sheet.getByLabel("Note", { exact: false }).fill("typed in the cellar");
  await expecting(technician, netDown, async () => {
    await technician.context.setOffline(true);
    await sheet.getByRole("button", { name: "Keep the entry" }).click();
    await technician.page.getByText("One entry waits").waitFor();
    assert.equal((await entries(story)).length, before, "nothing has gone up yet");
    await technician.context.setOffline(false);
    await technician.page.getByText("One entry waits").waitFor({ state: "detached", timeout: 60_000 });
  });
  // Long enough for a second sending, if there were one.
  await technician.page.evaluate(() => window.dispatchEvent(new Event("online")));
  await technician.page.waitForTimeout(1000);
  const mine = (await entries(story)).filter((/** @type {any} */ e) => e.note === "typed in the cellar");
  assert.equal(mine.length, 1, "it went up once");
  assert.equal(mine[0].started_at, stretch.started_at);
}

/** Two entries made without a network; the first stands over what was logged elsewhere. @param {Story} story */
async function refusedLater(story) {
  const { technician } = story;
  const { page } = technician;
  const zoned = (/** @type {string} */ instant) =>
    new Date(instant).toLocaleString("sv-SE", { timeZone: story.zone }).slice(0, 16).replace(" ", "T");
  /** @param {{ started_at: string, finished_at: string }} stretch @param {string} note */
  const type = async (stretch, note) => {
    const sheet = page.getByRole("dialog");
    await sheet.getByLabel("Task", { exact: true }).selectOption(story.task);
    await sheet.getByLabel("Start").fill(zoned(stretch.started_at));
    await sheet.getByLabel("Finish", { exact: true }).fill(zoned(stretch.finished_at));
    await sheet.getByLabel("Note", { exact: false }).fill(note);
    await sheet.getByRole("button", { name: "Keep the entry" }).click();
    await sheet.waitFor({ state: "detached" });
  };
  const [taken] = (await entries(story)).filter(
    (/** @type {any} */ e) => e.note === "sent twice" && !e.corrected,
  );
  await open(technician, "/bench");
  await expecting(technician, [...netDown, /409/], async () => {
    await technician.context.setOffline(true);
    for (const [stretch, note] of /** @type {const} */ ([
      [taken, "stands over another"],
      [await freeStretch(story, 10), "behind the refused one"],
    ])) {
      await page.locator("#type").click();
      await type(stretch, note);
    }
    await page.getByText("2 entries wait").waitFor();
    await technician.context.setOffline(false);
    await page.locator("section.queue").getByText("Refused: Hours on").waitFor({ timeout: 60_000 });
    await page.getByText("for the network").waitFor({ state: "detached", timeout: 60_000 });
  });
  const notes = async () => (await entries(story)).map((/** @type {any} */ e) => e.note);
  assert.ok((await notes()).includes("behind the refused one"), "the line went on");
  const panel = await page.locator("section.queue").innerText();
  assert.match(panel, /Nobody works on two tasks at once/, "it says why");
  assert.match(panel, /Type it in as it really was/, "and what to do");
  await page.reload();
  await page.locator("section.queue [data-act=again]").click();
  const note = page.getByRole("dialog").getByLabel("Note", { exact: false });
  assert.equal(await note.inputValue(), "stands over another", "what was typed is still there");
  await type(await freeStretch(story, 10), "typed in again");
  await page.locator("section.queue").waitFor({ state: "detached" });
  assert.ok((await notes()).includes("typed in again"), "put right and kept");
}

/** With the worker the bench opens and takes an entry with no network at all. @param {Story} story */
async function opensOffline(story) {
  const { cellar, demo } = story;
  await signIn(cellar, demo.technician, demo.password);
  await cellar.page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
  await cellar.page.reload();
  await cellar.page.getByRole("heading", { name: /^Today/ }).waitFor();
  await expecting(cellar, netDown, async () => {
    await cellar.context.setOffline(true);
    await cellar.page.reload();
    await cellar.page.getByText("No network. This is how it was").waitFor();
    await cellar.page.locator("button[data-act=start]:not([disabled]):visible").first().click();
    await cellar.page.getByRole("dialog").getByRole("button", { name: "Start the clock" }).click();
    await cellar.page.locator(".clock.runs").waitFor();
    assert.equal(
      (await ask(story.technician, "/api/bench/today")).clock,
      undefined,
      "nothing has gone up yet",
    );
    await cellar.context.setOffline(false);
    await cellar.page.getByText("One entry waits").waitFor({ state: "detached", timeout: 60_000 });
  });
  const { clock } = await until(
    "the clock runs at the server",
    () => ask(story.technician, "/api/bench/today"),
    (today) => today.clock !== undefined,
  );
  await stopNow(cellar);
  const same = (await ask(story.technician, "/api/bench/hours?limit=50")).items.filter(
    (/** @type {any} */ e) => e.started_at === clock.started_at,
  );
  assert.equal(same.length, 1, "one entry");
}

/** Owner and client look on; neither page is loaded again. @param {Story} story */
async function seenLive(story) {
  const { owner, client, technician } = story;
  await open(owner, `/shop/jobs/${story.job}/hours`);
  await open(client, `/client/jobs/${story.job}`);
  for (const who of [owner, client])
    await who.page.evaluate(() => {
      /** @type {any} */ (window).stayed = true;
    });
  const before = await ask(owner, `/api/jobs/${story.job}`);
  const drawn = await client.page.locator(".stands-svg").getAttribute("aria-label");
  const body = {
    task_id: story.task,
    ...(await freeStretch(story, 60)),
    done: true,
    note: "seen by all",
    hours_to_go: "0.00",
  };
  const sent = await send(technician, "/api/bench/hours", body, { "Idempotency-Key": `live-${Date.now()}` });
  assert.equal(sent.status, 201, JSON.stringify(sent.body));
  await owner.page.getByText("seen by all").waitFor();
  const after = await ask(owner, `/api/jobs/${story.job}`);
  assert.ok(Number(after.progress.worked_hours) > Number(before.progress.worked_hours));
  await until(
    "worked hours on the owner's page",
    () => owner.page.locator("main").innerText(),
    (text) => text.includes(`${after.progress.worked_hours} h worked`),
  );
  await until(
    "the client's drawing",
    () => client.page.locator(".stands-svg").getAttribute("aria-label"),
    (label) => label !== drawn,
  );
  for (const who of [owner, client])
    assert.equal(
      await who.page.evaluate(() => /** @type {any} */ (window).stayed),
      true,
      `${who.name}'s page was not loaded again`,
    );
}

/** @param {Story} story */
export async function technicianWorks(story) {
  const { told, technician, demo } = story;
  await told.step("the technician signs in on a phone and starts the clock on the accepted job", async () => {
    await signIn(technician, demo.technician, demo.password);
    await clockRuns(story);
  });
  await told.step("stops it and says the hours to go", () => clockStops(story));
  await told.step("one request sent twice with one key counts once; with another body it is refused", () =>
    sameKey(story),
  );
  await told.step("an answer that is lost: the queue sends again, it counts once", () =>
    droppedAnswer(story),
  );
  await told.step("an entry made without a network goes up once, by itself", () => offline(story));
  await told.step("an entry refused later is shown, holds up none behind it, and is put right", () =>
    refusedLater(story),
  );
  await told.step("owner and client see the progress without a reload", () => seenLive(story));
  await told.step("the bench opens with no network and its clock goes up once", () => opensOffline(story));
}

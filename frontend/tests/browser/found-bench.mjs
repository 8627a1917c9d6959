// The technician's reports when something goes wrong: an answer that is lost, no network, a refusal; what was
// seen without a finding; and what became of it.

import assert from "node:assert/strict";
import { expecting, open, signIn } from "./people.mjs";
import { ask, send, until } from "./read.mjs";

/** @import { Story } from "./story.mjs" */
/** @import { Person } from "./people.mjs" */

const netDown = [/ERR_INTERNET_DISCONNECTED/, /ERR_FAILED/, /Failed to load resource/];

/** A picture as a phone's camera makes it: larger than what is kept. @param {Person} who @param {string} name */
async function picture({ page }, name) {
  const text = await page.evaluate(async (ink) => {
    const canvas = Object.assign(document.createElement("canvas"), { width: 3200, height: 2400 });
    const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
    pen.fillStyle = "#6b5a48";
    pen.fillRect(0, 0, 3200, 2400);
    pen.font = "400px sans-serif";
    pen.fillStyle = "#2a1208";
    pen.fillText(ink, 300, 1300);
    return canvas.toDataURL("image/jpeg", 0.9).split(",")[1] ?? "";
  }, name);
  return { name: `${name}.jpg`, mimeType: "image/jpeg", buffer: Buffer.from(text, "base64") };
}

/** The job's findings with this note, as the owner reads them. @param {Story} story @param {string} note */
export const noted = async (story, note) =>
  (await ask(story.owner, `/api/jobs/${story.job}/findings`)).items.filter(
    (/** @type {any} */ f) => f.note === note,
  );

/** @param {Person} who @param {string} zone */
export async function pickByName({ page }, zone) {
  const other = page.locator("#other-zone");
  const search = page.locator("#zone-search");
  await other.or(search).first().waitFor();
  if (await other.isVisible()) await other.click();
  await search.fill(zone);
  await page.locator("[data-part=matches]").getByRole("button", { name: zone, exact: true }).click();
}

/** @param {Person} who @param {{ what?: string, condition?: string, size?: [string, string], note: string, photos: string[] }} report */
export async function fill(who, { what, condition, size, note, photos }) {
  const { page } = who;
  if (what) await page.locator("fieldset", { hasText: "What" }).getByLabel(what, { exact: true }).check();
  if (condition) await page.getByLabel(condition, { exact: true }).check();
  if (size) {
    await page.getByLabel("Length, mm").fill(size[0]);
    await page.getByLabel("Width, mm").fill(size[1]);
  }
  await page.getByLabel("Note").fill(note);
  const files = [];
  for (const name of photos) files.push(await picture(who, name));
  if (files.length > 0) {
    await page.locator("input[type=file][capture]").setInputFiles(files);
    await page
      .locator(".shots li")
      .nth(files.length - 1)
      .waitFor();
  }
}

/** @param {Person} who */
export async function targets({ page }) {
  const small = await page.evaluate(() =>
    [...document.querySelectorAll("main button, main a.button, main .tiles .check, main label.button")]
      .filter((e) => e.getClientRects().length > 0)
      .map(
        (e) =>
          /** @type {[string, number]} */ ([e.textContent?.trim() ?? "", e.getBoundingClientRect().height]),
      )
      .filter(([, height]) => height < 55.5),
  );
  assert.deepEqual(small, [], "a gloved thumb hits everything");
}

/** The answer to a photo is lost: it goes up again under its key. @param {Story} story */
async function lostAnswer(story) {
  const { technician } = story;
  const { page } = technician;
  const { zones } = await ask(story.owner, `/api/jobs/${story.job}/frame`);
  await open(technician, `/bench/report/${story.job}`);
  await pickByName(technician, zones[1].name);
  await fill(technician, { what: "Crack", note: "crack at the weld", photos: ["crack"] });
  /** @type {string[]} */
  const keys = [];
  await page.route("**/photos", async (route) => {
    keys.push((await route.request().allHeaders())["idempotency-key"] ?? "");
    const answer = await route.fetch();
    if (keys.length === 1) await route.abort("connectionreset");
    else await route.fulfill({ response: answer });
  });
  await expecting(technician, [/ERR_CONNECTION_RESET/], async () => {
    await page.getByRole("button", { name: "Report it" }).click();
    await page.getByText("It is kept on this device.").waitFor();
    await until(
      "the photo went up",
      async () => keys.length,
      (n) => n > 0,
    );
    assert.equal((await noted(story, "crack at the weld")).length, 0, "the finding waits for its photo");
    await page.evaluate(() => window.dispatchEvent(new Event("online")));
    await page.getByText("It is up; the owner has it.").waitFor({ timeout: 60_000 });
  });
  await page.unroute("**/photos");
  assert.equal(keys.length, 2, "sent twice");
  assert.equal(keys[0], keys[1], "under one key");
  const found = await noted(story, "crack at the weld");
  assert.deepEqual(
    found.map((/** @type {any} */ f) => f.photos.length),
    [1],
    "kept once, with its photo once",
  );
}

/** @param {Story} story */
async function inTheCellar(story) {
  const { cellar, demo } = story;
  const { page } = cellar;
  if (!(await page.context().cookies()).length) await signIn(cellar, demo.technician, demo.password);
  await open(cellar, `/bench/report/${story.job}`);
  await page.locator("#zone-search").or(page.locator("#other-zone")).first().waitFor();
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
  const { zones } = await ask(story.owner, `/api/jobs/${story.job}/frame`);
  await expecting(cellar, netDown, async () => {
    await cellar.context.setOffline(true);
    await page.goto(`/bench/report/${story.job}`);
    await pickByName(cellar, zones[2].name);
    await fill(cellar, { what: "Broken bolt", note: "sheared in the cellar", photos: ["one", "two"] });
    await page.getByRole("button", { name: "Report it" }).click();
    await page.getByText("It is kept on this device.").waitFor();
    await page.goto("/bench/found");
    await page.getByText("Broken bolt", { exact: false }).first().waitFor();
    assert.match(await page.locator("section.queue").innerText(), /One entry waits[\s\S]*with 2 photos/);
    assert.equal((await noted(story, "sheared in the cellar")).length, 0, "nothing has gone up yet");
    await cellar.context.setOffline(false);
    await page.locator("section.queue").waitFor({ state: "detached", timeout: 60_000 });
  });
  await page.evaluate(() => window.dispatchEvent(new Event("online")));
  await page.waitForTimeout(1000);
  const found = await noted(story, "sheared in the cellar");
  assert.deepEqual(
    found.map((/** @type {any} */ f) => f.photos.length),
    [2],
    "once, with each photo once",
  );
}

/** Refused: shown with what to change, put right, gone. @param {Story} story */
async function putRight(story) {
  const { technician } = story;
  const { page } = technician;
  const { zones } = await ask(story.owner, `/api/jobs/${story.job}/frame`);
  await open(technician, `/bench/report/${story.job}`);
  await pickByName(technician, zones[3].name);
  // The repair list refuses the size too, as it is typed.
  await expecting(technician, [/422/], async () => {
    await fill(technician, {
      what: "Bent",
      size: ["99999", "60"],
      note: "bent, measured wrongly",
      photos: ["bent"],
    });
    await page.getByRole("button", { name: "Report it" }).click();
    await page.getByText("Refused: Bent").waitFor();
    await page.getByRole("link", { name: "Change it" }).click();
    await page.locator("#other-zone").waitFor();
    assert.equal(await page.getByLabel("Length, mm").inputValue(), "99999", "what was typed is still there");
    assert.equal(await page.locator(".shots li").count(), 1, "and its photo");
    await page.locator("[data-part=repairs] bf-problem").waitFor();
  });
  await page.getByLabel("Length, mm").fill("999");
  await page.getByRole("button", { name: "Report it" }).click();
  await page.getByText("It is up; the owner has it.").waitFor();
  const found = await noted(story, "bent, measured wrongly");
  assert.deepEqual(
    found.map((/** @type {any} */ f) => [f.length_mm, f.photos.length]),
    [[999, 1]],
  );
  await open(technician, "/bench");
  assert.equal(await page.locator("section.queue").count(), 0, "nothing is left over");
}

/** @param {Story} story */
async function seenAfterStripping(story) {
  const { technician } = story;
  const { zones } = await ask(story.owner, `/api/jobs/${story.job}/frame`);
  await open(technician, `/bench/report/${story.job}?as=seen`);
  await pickByName(technician, zones[0].name);
  await fill(technician, { condition: "pitted", note: "pitted under the bracket", photos: ["pits"] });
  await technician.page.getByRole("button", { name: "Keep it" }).click();
  await technician.page.getByText("It is up; the owner has it.").waitFor();
  const { observations } = await ask(story.owner, `/api/jobs/${story.job}/frame`);
  const [seen] = observations.filter((/** @type {any} */ o) => o.note === "pitted under the bracket");
  assert.deepEqual(
    [seen.zone_id, seen.moment, seen.condition, seen.photos.length],
    [zones[0].id, "stripped", "pitted", 1],
  );
}

/** The owner answers; the list says so without a reload. @param {Story} story */
async function becameOf(story) {
  const { technician, owner } = story;
  await open(technician, "/bench/found");
  const [bent] = await noted(story, "bent, measured wrongly");
  const row = technician.page.locator(`#finding-${bent.id}`);
  await row.getByText("Waits for the owner").waitFor();
  const reason = "Within what the maker allows.";
  const headers = { "Idempotency-Key": `dismiss-${Date.now()}` };
  const answer = await send(owner, `/api/findings/${bent.id}/dismiss`, { reason }, headers);
  assert.equal(answer.status, 200, JSON.stringify(answer.body));
  await row.getByText("Nothing to do").waitFor();
  assert.match(await row.innerText(), new RegExp(reason));
}

/** @param {Story} story */
export async function reports(story) {
  const { told } = story;
  await told.step("a photo's answer is lost: it and its finding are kept once", () => lostAnswer(story));
  await told.step("a finding with photos and no network waits on the phone and goes up once", () =>
    inTheCellar(story),
  );
  await told.step("a refused finding says what to change, is put right and leaves nothing behind", () =>
    putRight(story),
  );
  await told.step("what was seen after stripping is kept on the frame", () => seenAfterStripping(story));
  await told.step("what became of a finding is seen without a reload", () => becameOf(story));
}

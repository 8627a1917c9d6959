// The plan in calendars: the owner makes an address for a job, a station and a technician, reads each as a calendar
// does, without any cookie, makes one anew and stops one; the technician makes their own on the phone, by keyboard.

import assert from "node:assert/strict";
import { open, signIn } from "./people.mjs";
import { ask, send, until } from "./read.mjs";
import { findings, sideways } from "./screens.mjs";

/** @import { Story } from "./story.mjs" */
/** @import { Person } from "./people.mjs" */

/** As a calendar reads: nothing of the browser goes along. @param {string} address @param {Record<string, string>} [headers] */
async function reads(address, headers = {}) {
  const answer = await fetch(address, { headers });
  return { status: answer.status, tag: answer.headers.get("etag") ?? "", text: await answer.text() };
}

/** @param {string} address */
async function events(address) {
  const { status, text } = await reads(address);
  assert.equal(status, 200);
  assert.match(text, /^BEGIN:VCALENDAR\r\n/);
  return text.replaceAll("\r\n ", "").split("BEGIN:VEVENT").slice(1);
}

/** The box that makes, shows and stops, in a place of the page. @param {Person} who @param {string} within */
const box = ({ page }, within) => page.locator(`${within} calendar-link`);

/** @param {Person} who @param {string} within @param {string} button @returns {Promise<string>} */
async function makes(who, within, button) {
  const place = box(who, within);
  const shown = place.getByRole("textbox", { name: "Address" });
  const before = (await shown.count()) > 0 ? await shown.inputValue() : "";
  await place.getByRole("button", { name: button }).click();
  if (button === "Make anew") await place.getByRole("button", { name: "Make another" }).click();
  const address = await until(
    "another address is shown",
    () => shown.inputValue(),
    (now) => now !== before,
  );
  assert.match(address, /\/calendar\/[\w-]{20,}\.ics$/);
  return address;
}

/** Whatever was made here before is stopped. @param {Story} story */
async function planned({ owner }) {
  await until(
    "there is a plan",
    () => ask(owner, "/api/floor"),
    (f) => Boolean(f.plan),
    60_000,
  );
  const floor = await ask(owner, "/api/floor");
  return floor.plan.jobs[0];
}

/** @param {Story} story */
async function jobInCalendar(story) {
  const { owner } = story;
  const { page } = owner;
  const job = await planned(story);
  await open(owner, `/shop/jobs/${job.job_id}/schedule`);
  const first = await makes(owner, "main", "Make an address");
  const all = await events(first);
  assert.ok(all.length > 1, "a job in work has events");
  assert.ok(
    all.some((e) => e.includes(`SUMMARY:Promised: job ${job.number}`)),
    "its promise is one",
  );
  assert.deepEqual([...(await findings(owner, "calendar-link")), ...(await sideways(owner))], []);
  const { tag } = await reads(first);
  assert.equal((await reads(first, { "If-None-Match": tag })).status, 304);
  const second = await makes(owner, "main", "Make anew");
  assert.notEqual(second, first);
  assert.equal((await reads(first)).status, 404, "the old address leads nowhere");
  assert.equal((await events(second)).length, all.length);
  await page.reload();
  await box(owner, "main").getByText("Last read").waitFor();
  assert.equal(
    await box(owner, "main").getByRole("textbox", { name: "Address" }).count(),
    0,
    "it is shown only once",
  );
  await box(owner, "main").getByRole("button", { name: "Stop" }).click();
  await box(owner, "main").getByRole("button", { name: "Leave it" }).click();
  assert.equal((await reads(second)).status, 200);
  await box(owner, "main").getByRole("button", { name: "Stop" }).click();
  await box(owner, "main").getByRole("button", { name: "Stop it" }).click();
  await box(owner, "main").getByText("No calendar reads").waitFor();
  assert.equal((await reads(second)).status, 404);
}

/** @param {Story} story */
async function fromTheFloor({ owner }) {
  const { page } = owner;
  await open(owner, "/floor");
  await page.getByText("In calendars").click();
  const floor = await ask(owner, "/api/floor");
  const busy = floor.plan.bars.find((/** @type {any} */ b) => b.people.length > 0 && b.stations.length > 0);
  const station = floor.stations.find((/** @type {any} */ s) => s.key === busy.stations[0]);
  await page.locator(`[data-calendar-kind=station][data-calendar-of=${station.key}]`).click();
  const address = await makes(owner, "dialog[open]", "Make an address");
  assert.deepEqual(await findings(owner, "dialog[open]"), []);
  const name = station.name.replaceAll(",", "\\,");
  for (const event of await events(address)) assert.ok(event.includes(`LOCATION:${name}`), event);
  await page.keyboard.press("Escape");
  const row = page.locator("#floor-calendars tr", { hasText: station.name });
  await row.getByText("last read").waitFor();
  assert.deepEqual(await findings(owner, "#floor-calendars"), []);
  await open(owner, "/shop/people");
  const person = floor.people.find((/** @type {any} */ p) => p.id === busy.people[0]);
  await page.getByRole("button", { name: `Calendar of ${person.name}` }).click();
  const theirs = await events(await makes(owner, "dialog[open]", "Make an address"));
  assert.ok(theirs.length > 0);
  for (const event of theirs) assert.ok(event.includes(person.name), event);
  await page.keyboard.press("Escape");
  await open(owner, "/shop/settings");
  await page.getByRole("button", { name: `Calendar of ${station.name}` }).click();
  await box(owner, "dialog[open]").getByText("Last read").waitFor();
  assert.deepEqual(await findings(owner, "dialog[open]"), []);
  await page.keyboard.press("Escape");
}

/** @param {Story} story */
async function technicianByKeyboard({ technician, demo }) {
  const { page } = technician;
  const signedIn = await technician.context.request.get("/api/me");
  if (!signedIn.ok()) await signIn(technician, demo.technician, demo.password);
  await open(technician, "/floor");
  await page.getByRole("link", { name: "My work in my calendar" }).click();
  const place = box(technician, "main");
  await place.getByRole("button").first().waitFor();
  const again = await place.getByRole("button", { name: "Make anew" }).count();
  await place.getByRole("button").first().focus();
  await page.keyboard.press("Enter");
  if (again > 0) await page.keyboard.press("Enter"); // asked once more, with the keyboard on the answer
  const address = await place.getByRole("textbox", { name: "Address" }).inputValue();
  assert.equal(
    await page.evaluate(() => document.activeElement?.textContent),
    "Copy the address",
    "the keyboard goes on at the copy",
  );
  await events(address);
  await page.keyboard.press("Enter");
  await page.getByText(/^(Copied\.|Selected; copy it with your keyboard\.)$/).waitFor();
  assert.deepEqual([...(await findings(technician, "calendar-link")), ...(await sideways(technician))], []);
  const { items } = await ask(technician, "/api/calendar-links");
  assert.equal(items.length, 1, "a technician sees their own only");
  const jobs = await send(technician, "/api/calendar-links", { kind: "station", of: "x" });
  assert.equal(jobs.status, 403);
  technician.complaints.length = 0;
}

/** @param {Story} story */
export async function subscribes(story) {
  const { told } = story;
  await told.step("a job's plan is read by a calendar, made anew and stopped", () => jobInCalendar(story));
  await told.step("a station's and a technician's plan get their addresses", () => fromTheFloor(story));
  await told.step("the technician makes an address by keyboard", () => technicianByKeyboard(story));
}

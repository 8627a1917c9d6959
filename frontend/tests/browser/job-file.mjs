// A job leaves as a file and as a spreadsheet, and the file becomes a new job at the same price; a file that
// was damaged is refused, and one with a skill of another name is read once somebody chose.

import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import { open, settled } from "./people.mjs";
import { ask, money, until } from "./read.mjs";

/** @import { Story } from "./story.mjs" */

/** @param {Story} story @param {string} name of the link */
async function taken({ owner }, name) {
  const [download] = await Promise.all([
    owner.page.waitForEvent("download"),
    owner.page.getByRole("link", { name, exact: true }).click(),
  ]);
  return { name: download.suggestedFilename(), content: await readFile(await download.path()) };
}

/** With sorted names and no blanks, as the sum of a file is made (RFC 8785; names are ASCII here). @param {any} v @returns {string} */
function canonical(v) {
  if (Array.isArray(v)) return `[${v.map(canonical).join(",")}]`;
  if (v === null || typeof v !== "object") return JSON.stringify(v);
  const names = Object.keys(v).sort();
  return `{${names.map((name) => `${JSON.stringify(name)}:${canonical(v[name])}`).join(",")}}`;
}

/** @param {Story} story @param {Buffer} content @param {string} client */
async function give(story, content, client) {
  const { owner } = story;
  await open(owner, "/shop");
  await owner.page.getByRole("button", { name: "Read a job file" }).click();
  const sheet = owner.page.getByRole("dialog");
  await sheet
    .getByLabel("The file, as another shop took it out")
    .setInputFiles({ name: "job.json", mimeType: "application/json", buffer: content });
  await sheet.getByLabel("Whose car it is").selectOption({ label: client });
  return sheet;
}

/** @param {Story} story @param {import("playwright-core").Locator} sheet @param {any} before */
async function made(story, sheet, before) {
  const { owner } = story;
  await until(
    "what the file holds",
    () => sheet.innerText(),
    (text) => text.includes(`Here it comes to ${money(before.price.total, before.job.currency)}`),
  );
  await sheet.getByRole("button", { name: "Make the job" }).click();
  await owner.page.waitForURL(/\/shop\/jobs\/[0-9a-f-]{36}/);
  await settled(owner.page);
  const id = /jobs\/([0-9a-f-]{36})/.exec(owner.page.url())?.[1] ?? "";
  assert.notEqual(id, before.job.id);
  const after = await ask(owner, `/api/jobs/${id}`);
  assert.equal(after.price.total, before.price.total, "the price");
  assert.equal(after.schedule.finish, before.schedule.finish, "the finish");
  assert.equal(after.tasks.length, before.tasks.length);
  return after;
}

/** @param {Story} story */
export async function jobFiles(story) {
  const { told, owner } = story;
  const { items } = await ask(owner, "/api/jobs");
  const job = items.find((/** @type {any} */ j) => j.state === "enquiry");
  const before = await ask(owner, `/api/jobs/${job.id}`);
  let file = { name: "", content: Buffer.alloc(0) };
  await told.step("the owner takes out the estimate as a spreadsheet and the job as a file", async () => {
    await open(owner, `/shop/jobs/${job.id}/estimate`);
    const sheet = await taken(story, "As a spreadsheet");
    assert.equal(sheet.name, `estimate-${job.number}-owner.xlsx`);
    assert.equal(sheet.content.subarray(0, 2).toString(), "PK");
    file = await taken(story, "Job file");
    assert.equal(file.name, `job-${job.number}.json`);
    assert.ok(!file.content.toString().includes(job.client.name), "the client stays here");
  });
  await told.step("the file becomes a new job at the same price", async () => {
    await made(story, await give(story, file.content, job.client.name), before);
  });
  await told.step("a damaged file is refused and makes nothing", async () => {
    const count = (await ask(owner, "/api/jobs")).items.length;
    owner.expected.push(/422/);
    const damaged = Buffer.from(file.content.toString().replace('"title": "', '"title": "Not '));
    const sheet = await give(story, damaged, job.client.name);
    await until(
      "the refusal",
      () => sheet.innerText(),
      (text) => text.includes("damaged or edited"),
    );
    assert.ok(await sheet.getByRole("button", { name: "Make the job" }).isDisabled());
    await sheet.getByRole("button", { name: "Leave it" }).click();
    assert.equal((await ask(owner, "/api/jobs")).items.length, count);
    owner.expected.pop();
  });
  await told.step("a skill of another name is chosen before the file is read", async () => {
    const other = JSON.parse(file.content.toString().replaceAll('"skill": "fitter"', '"skill": "mechanic"'));
    other.sha256 = createHash("sha256").update(canonical(other.content)).digest("hex");
    const sheet = await give(story, Buffer.from(JSON.stringify(other)), job.client.name);
    await until(
      "what must be chosen",
      () => sheet.innerText(),
      (text) => text.includes("Choose for each skill"),
    );
    await sheet.getByLabel(/Skill mechanic/).selectOption("fitter");
    await made(story, sheet, before);
  });
}

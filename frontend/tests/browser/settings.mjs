// The shop's own words and currencies: the owner writes a text with a variable and sees how it reads, lists a
// currency, makes a job in it and issues; the client reads the words filled in, and when each draw falls due.

import assert from "node:assert/strict";
import { expecting, open, settled } from "./people.mjs";
import { ask, money, send, until } from "./read.mjs";

/** @import { Story } from "./story.mjs" */

/** @param {Story} story */
async function writes({ owner }) {
  const { page } = owner;
  await open(owner, "/shop/settings/texts");
  const opening = page.locator("[data-text=quote_opening]");
  const place = opening.getByRole("textbox");
  const reads = () => opening.locator("[data-preview]").innerText();
  await expecting(owner, [/422/], async () => {
    await place.fill("Dear ~clint~, <b>here</b> it is.");
    await until("what is wrong", reads, (text) => text.includes("no variable ~clint~"));
  });
  await place.fill("Here it is, <b>as asked</b>: ");
  await opening.getByRole("button", { name: /~vehicle~/ }).click();
  await until("the preview", reads, (text) => /^Here it is, <b>as asked<\/b>: \d{4} /.test(text));
  await page.getByRole("button", { name: "Save the texts" }).first().click();
  await page.getByText("Texts saved.").waitFor();
  const { settings } = await ask(owner, "/api/shop");
  assert.deepEqual(
    settings.texts,
    [{ key: "quote_opening", text: "Here it is, <b>as asked</b>: ~vehicle~" }],
    "only what the shop worded itself is kept",
  );
}

/** @param {Story} story */
async function lists({ owner }) {
  const { page } = owner;
  await open(owner, "/shop/settings/currencies");
  await page.getByRole("button", { name: "Add a currency" }).click();
  await page.getByLabel("Code of new currency").fill("JPY");
  await page.getByLabel("Rate of new currency", { exact: true }).fill("0");
  await expecting(owner, [/422/], async () => {
    await page.getByRole("button", { name: "Save the currencies" }).first().click();
    await page.getByText("A rate is more than nothing").first().waitFor();
  });
  await page.getByLabel("Rate of new currency", { exact: true }).fill("163.25");
  await page.getByRole("button", { name: "Save the currencies" }).first().click();
  await page.getByText("Currencies saved.").waitFor();
  assert.equal((await ask(owner, "/api/shop")).settings.currencies[0].rate, "163.25");
}

/** @param {Story} story @returns {Promise<{ job: string, quote: string }>} */
async function issues({ owner, job: first }) {
  const { page } = owner;
  const { job } = await ask(owner, `/api/jobs/${first}`);
  await open(owner, "/shop/jobs/new");
  await page.getByLabel("Make", { exact: true }).fill("Velmarch");
  await page.getByLabel("Model").fill("Lark drophead");
  await page.getByLabel("Year").fill("1964");
  await page.getByLabel("Client", { exact: true }).selectOption(job.client.id);
  await page.getByLabel("Quoted and paid in").selectOption("JPY");
  await page.getByRole("button", { name: "Make the job" }).click();
  await page.waitForURL(/\/shop\/jobs\/[0-9a-f-]{36}/);
  await settled(page);
  const id = /jobs\/([0-9a-f-]{36})/.exec(page.url())?.[1] ?? "";
  const made = await ask(owner, `/api/jobs/${id}`);
  assert.equal(made.job.exchange_rate, "163.25");
  const text = await page.locator("main").innerText();
  assert.ok(text.includes("at 163.25 for one of the shop's own"), "the head says the rate");
  assert.ok(text.includes(money(made.price.total, "JPY")), "the price is in yen");
  const body = { valid_days: 30, note: "" };
  const answer = await send(owner, `/api/jobs/${id}/quotes`, body, {
    "If-Match": `"v${made.job.version}"`,
    "Idempotency-Key": crypto.randomUUID(),
  });
  assert.equal(answer.status, 201, JSON.stringify(answer.body));
  return { job: id, quote: answer.body.summary.id };
}

/** @param {Story} story @param {{ job: string, quote: string }} made */
async function reads(story, { job, quote }) {
  const { owner, client } = story;
  const { job: head } = await ask(owner, `/api/jobs/${job}`);
  const link = await send(owner, `/api/people/${head.client.id}/links`, { job_id: job, valid_days: 7 });
  assert.equal(link.status, 201, JSON.stringify(link.body));
  const other = await client.context.browser()?.newContext({ baseURL: story.demo.base });
  assert.ok(other);
  try {
    const page = await other.newPage();
    await page.goto(link.body.path);
    await page.waitForURL(/\/client\//);
    await page.goto(`/client/quotes/${quote}`);
    await settled(page);
    const text = await page.locator("main").innerText();
    assert.ok(text.includes("Here it is, <b>as asked</b>: 1964 Velmarch Lark drophead"), text.slice(0, 400));
    assert.ok(text.includes("This quote holds until"), "until when it holds");
    assert.match(text, /At the end of Removal, expected on \d+ \w+ \d{4}; to be paid within 14 days\./);
    assert.match(text, /When the inspection after stripping is released, expected on/);
    const paper = await (await other.request.get(`/api/client/quotes/${quote}/document`)).text();
    assert.ok(paper.includes("Here it is, &lt;b&gt;as asked&lt;/b&gt;: 1964 Velmarch Lark drophead"));
    assert.ok(paper.includes("At the end of Removal, expected on"));
  } finally {
    await other.close();
  }
}

/** @param {Story} story */
export async function settings(story) {
  const { told } = story;
  await told.step("the owner words a text and sees how it reads", () => writes(story));
  await told.step("a currency is listed with its rate; none at nothing", () => lists(story));
  const made = { job: "", quote: "" };
  await told.step("a job is made and quoted in yen", async () => {
    Object.assign(made, await issues(story));
  });
  await told.step("its client reads the shop's words and when each draw falls due", () => reads(story, made));
}

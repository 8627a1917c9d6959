// The client on a phone: opens the private link, reads, accepts; another declines with a reason.

import assert from "node:assert/strict";
import { settled } from "./people.mjs";
import { ask, money, until } from "./read.mjs";

/** @import { Story } from "./story.mjs" */
/** @import { Person } from "./people.mjs" */

/** @param {Person} who @param {string} link */
async function openLink(who, link) {
  await who.page.goto(link);
  await who.page.waitForURL(/\/client\/jobs\//);
  await settled(who.page);
  assert.ok(!who.page.url().includes("#"), "the token has left the address");
}

/** @param {Story} story */
async function reads(story) {
  const { client } = story;
  await openLink(client, story.link);
  await client.page.getByRole("link", { name: "Read and decide" }).click();
  await client.page.waitForURL(/\/client\/quotes\//);
  await settled(client.page);
  const quote = await ask(client, `/api/client/quotes/${story.quote}`);
  const text = await client.page.locator("main").innerText();
  assert.ok(text.includes(money(quote.total, quote.currency)), "the total");
  assert.ok(text.includes("not yet computed"), "the confidence is said not to be computed yet");
  for (const phase of quote.phases) assert.ok(text.includes(phase.name), phase.name);
  const seen = JSON.stringify(quote) + JSON.stringify(await ask(client, `/api/client/jobs/${story.job}`));
  assert.ok(
    !/"(cost|margin|margin_percent|unit_cost|markup_percent)"/.test(seen),
    "no cost and no margin reach a client",
  );
  const paper = await client.context.request.get(`/api/client/quotes/${story.quote}/document`);
  assert.ok(paper.ok());
  assert.ok((await paper.text()).includes(quote.number), "the document is this quote");
  const foreign = await client.context.request.get(`/api/jobs/${story.job}`);
  assert.ok(
    [403, 404].includes(foreign.status()),
    `the owner's page is not for a client: ${foreign.status()}`,
  );
}

/** Cents of a sum. @param {string} amount */
const cents = (amount) => Math.round(Number(amount) * 100);

/**
 * A choice is reckoned by the server: total, date and draws of the page follow, and say what they were.
 * @param {Story} story
 */
async function chooses({ decliner, demo }) {
  const { page } = decliner;
  await openLink(decliner, demo.deciding);
  await page.getByRole("link", { name: "Read and decide" }).click();
  await page.waitForURL(/\/client\/quotes\//);
  await settled(page);
  const quote = await ask(decliner, `/api/client/quotes/${page.url().split("/").at(-1)}`);
  const floor = quote.options.find((/** @type {any} */ o) => !o.group && o.days !== 0);
  assert.ok(floor && !floor.taken, "an extra that moves the date");
  // By the keyboard: the box is reached and pressed, and keeps the focus.
  const box = page.getByLabel(new RegExp(floor.name));
  await box.focus();
  await page.keyboard.press("Space");
  const says = page.locator("#comes-to");
  await says.filter({ hasText: "With what you chose" }).waitFor();
  assert.equal(await box.evaluate((each) => each === document.activeElement), true, "the focus stays");
  const total = (cents(quote.total) + cents(floor.difference)) / 100;
  const text = await page.locator("main").innerText();
  assert.ok(text.includes(money(total.toFixed(2), quote.currency)), "the total with the extra");
  assert.match(await says.innerText(), /working days? later/);
  assert.ok(!(await says.innerText()).includes(money(quote.total, quote.currency)), "not the total before");
  assert.match(await page.getByRole("button", { name: /^Accept for/ }).innerText(), /\d/);
  assert.ok(
    (await page.getByRole("button", { name: /^Accept for/ }).innerText()).includes(
      money(total.toFixed(2), quote.currency),
    ),
    "the button says what is agreed to",
  );
  // And back: what the shop advises.
  await page.keyboard.press("Space");
  await until(
    "the total as advised",
    () => says.innerText(),
    (now) => now.includes(money(quote.total, quote.currency)),
  );
}

/** @param {Story} story */
async function accepts(story) {
  const { client, owner } = story;
  // An extra of the shop's is taken: the total follows, and it is what will be authorised.
  const before = await ask(client, `/api/client/quotes/${story.quote}`);
  const extra = before.options.find((/** @type {any} */ o) => o.name === "Stainless clips");
  assert.ok(extra && !extra.taken, "the extra is offered and not advised");
  await client.page.getByLabel(/Stainless clips/).check();
  const agreed = ((cents(before.total) + cents(extra.difference)) / 100).toFixed(2);
  await client.page
    .locator("#comes-to")
    .filter({ hasText: money(agreed, before.currency) })
    .waitFor();
  // The owner looks at the quotes meanwhile, and touches nothing.
  await owner.page.evaluate(() => {
    /** @type {any} */ (window).stayed = true;
  });
  const form = client.page.locator("#accept");
  await form.getByLabel("Your name", { exact: true }).fill("Sorei Vantesse");
  await form.getByLabel(/signature/).fill("Sorei Vantesse");
  await form.getByRole("button", { name: /^Accept for/ }).click();
  await client.page.locator("main .note.good").waitFor();
  assert.match(await client.page.locator("main .note.good").innerText(), /Accepted by Sorei Vantesse/);
  const row = owner.page.locator("tr", { hasText: "revision 1" });
  await row.getByText("Accepted", { exact: true }).waitFor();
  assert.equal(
    await owner.page.evaluate(() => /** @type {any} */ (window).stayed),
    true,
    "the owner's page was not loaded again",
  );
  const { job, quotes } = await ask(owner, `/api/jobs/${story.job}`);
  assert.equal(job.authorised_amount, quotes[0].total, "the authorised amount is the quote's total");
  assert.equal(job.authorised_amount, agreed, "and the total with the extra, as it was read");
  assert.equal(quotes[0].decision.how, "portal");
  await until(
    "authorised amount in the title block",
    () => owner.page.locator(".title-block").innerText(),
    (text) => text.includes(money(job.authorised_amount, job.currency)),
  );
}

/** @param {Story} story */
async function declines(story) {
  const { decliner, demo, owner } = story;
  await openLink(decliner, demo.deciding);
  await decliner.page.getByRole("link", { name: "Read and decide" }).click();
  await decliner.page.waitForURL(/\/client\/quotes\//);
  await settled(decliner.page);
  const id = decliner.page.url().split("/").at(-1);
  await decliner.page.getByText("Decline instead").click();
  const form = decliner.page.locator("#decline");
  await form.getByLabel("Your name").fill("Sorei Vantesse");
  await form.getByLabel(/Why/).fill("We wait until the garage is built.");
  await form.getByRole("button", { name: "Decline the quote" }).click();
  await decliner.page.getByText("Reason: We wait until the garage is built.").waitFor();
  const quote = await ask(decliner, `/api/client/quotes/${id}`);
  assert.equal(quote.state, "declined");
  assert.equal(await decliner.page.locator("#accept").count(), 0, "what is declined cannot be accepted");
  const { quotes } = await ask(owner, `/api/jobs/${quote.job_id}`);
  assert.equal(quotes[0].decision.reason, "We wait until the garage is built.");
}

/** @param {Story} story */
export async function clientAccepts(story) {
  const { told } = story;
  await told.step("the client opens the link on a phone and reads the quote; no cost, no margin", () =>
    reads(story),
  );
  await told.step("accepts by name and typed signature; the owner's open page says so without a reload", () =>
    accepts(story),
  );
}

/** @param {Story} story */
export async function clientDeclines(story) {
  await story.told.step("another client combines options and sees total and date follow", () =>
    chooses(story),
  );
  await story.told.step("another client declines the demo's waiting quote with a reason", () =>
    declines(story),
  );
}

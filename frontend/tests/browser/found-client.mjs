// The client decides: reads what was found, chooses, asks, approves when the figures moved, declines, and sees
// what became of it; on a phone, without reloading.

import assert from "node:assert/strict";
import { sendsBigger, sendsSmall, write } from "./found-arranged.mjs";
import { expecting, open } from "./people.mjs";
import { ask, cents, dayWords, money, until } from "./read.mjs";

/** @import { Story } from "./story.mjs" */
/** @import { Chain } from "./chain.mjs" */
/** @import { Person } from "./people.mjs" */

/** The rail otherwise than advised, the nuts, and the opening left. @param {Chain} chain */
function wanted({ rail, opening, nuts }) {
  const other = rail.options.find((/** @type {any} */ o) => !o.advised);
  return {
    other,
    choices: [
      { item_key: rail.key, option_key: other.key },
      { item_key: opening.key },
      { item_key: nuts.key, option_key: nuts.options[0].key },
    ],
  };
}

const effectOf = (/** @type {Person} */ who, /** @type {string} */ order, /** @type {object[]} */ choices) =>
  write(who, "POST", `/api/client/orders/${order}/effect`, { choices });

const text = (/** @type {Person} */ who) => who.page.locator("main").innerText();
const approve = (/** @type {Person} */ who) => who.page.locator("#approve button");

/** The page "where it stands" says it, the list has it in front. @param {Story} story @param {string} order */
async function isTold({ client, job }, order) {
  await open(client, `/client/jobs/${job}`);
  assert.match(await text(client), /2 change orders wait for your decision/);
  await client.page.getByRole("link", { name: /Read and decide/ }).click();
  await client.page.waitForURL(/\/decisions$/);
  await client.page.getByRole("heading", { name: "Decisions", exact: true }).waitFor();
  await client.page.locator(".decide").first().waitFor();
  assert.equal(await client.page.locator(".decide").count(), 2);
  assert.match(await text(client), /Holds until .+, in 1[34] days/);
  await client.page.locator(`a[href="/client/orders/${order}"]`).click();
  await client.page.waitForURL(/\/client\/orders\//);
  await client.page.locator("#approve button:enabled").waitFor();
}

/** What is shown is what the server computes, for the advice and for another choice. @param {Story} story @param {Chain} chain */
async function chooses({ client }, chain) {
  const { page } = client;
  const { order, rail, opening } = chain;
  const seen = await ask(client, `/api/client/orders/${order}`);
  assert.ok(!/"(cost|margin|margin_percent|unit_cost|markup_percent|hours)"/.test(JSON.stringify(seen)));
  const said = await text(client);
  for (const words of [seen.reason, opening.if_not, "620 mm", "rot ahead of the wheel", "not yet computed"])
    assert.ok(said.includes(words), words);
  const advised = await effectOf(client, order, seen.effect.choices);
  assert.equal(await approve(client).innerText(), `Approve for ${money(advised.amount)}`);
  const { other, choices } = wanted(chain);
  await page.locator(`#choice-${rail.key}-${other.key}`).check();
  await page.locator(`#choice-${opening.key}-`).check();
  const mine = await effectOf(client, order, choices);
  assert.notEqual(mine.amount, advised.amount);
  await until(
    "the figures of the choice",
    () => approve(client).innerText(),
    (words) => words === `Approve for ${money(mine.amount)}`,
  );
  assert.equal(cents(mine.authorised_after) - cents(mine.authorised_before), cents(mine.amount));
  const now = await page.locator('[aria-labelledby="effect-h"]').innerText();
  for (const figure of [
    mine.amount,
    mine.authorised_before,
    mine.authorised_after,
    mine.with_others.authorised_after,
  ])
    assert.ok(now.includes(money(figure)), `${figure} in: ${now}`);
  assert.ok(mine.dates.words && now.includes(mine.dates.words), `${mine.dates.words} in: ${now}`);
  assert.ok(!("floor" in mine), "nothing of other cars is sent to the client");
  for (const { promise_before, promise_after } of [mine.dates, mine.with_others.dates])
    for (const day of [promise_before, promise_after])
      assert.ok(now.includes(dayWords(day)), `${day} in: ${now}`);
  const paper = await client.context.request.get(`/api/client/orders/${order}/document`);
  assert.ok((await paper.text()).includes(opening.if_not), "the document as sent");
}

/** A tap shows a photo large; the drawing marks this order's findings. @param {Story} story */
async function looks({ client }) {
  const { page } = client;
  await page.locator(".photos a").first().click();
  const large = page.locator("dialog img");
  await large.waitFor();
  await until(
    "the large photo",
    () => large.evaluate((img) => /** @type {HTMLImageElement} */ (img).naturalWidth),
    (width) => width === 2560,
  );
  await page.keyboard.press("Escape");
  await page.locator("bf-frame .frame-svg").waitFor();
  assert.equal(await page.locator("bf-frame .frame-zone.marked").count(), 3);
}

/** The owner's answer comes while a name is being typed, which stays. @param {Story} story @param {Chain} chain */
async function asks({ client, owner, job }, chain) {
  const { page } = client;
  const question = "Could the nuts wait until next winter?";
  await page.getByLabel("Ask the shop before you decide").fill(question);
  await page.getByRole("button", { name: "Send the question" }).click();
  await page.getByText("Your question is with the shop; deciding can wait").waitFor();
  await page.locator("#approve-name").fill("Sorei Van");
  await page.locator("#approve-name").focus();
  await open(owner, `/shop/jobs/${job}/changes`);
  await owner.page.locator(`tr[data-row="${chain.order}"]`, { hasText: "The client asks" }).waitFor();
  await owner.page.locator(`a[href$="/orders/${chain.order}"]`).first().click();
  await owner.page.getByText(question).waitFor();
  await owner.page.getByLabel("Answer the client").fill("No, the body comes down on them.");
  await owner.page.getByRole("button", { name: "Send the answer" }).click();
  await page.getByText("No, the body comes down on them.").waitFor();
  assert.equal(await page.locator("#approve-name").inputValue(), "Sorei Van", "what was typed stays");
  const { other } = wanted(chain);
  assert.ok(await page.locator(`#choice-${chain.rail.key}-${other.key}`).isChecked(), "so does the choice");
  assert.equal(await page.evaluate(() => document.activeElement?.id), "approve-name");
}

/** Figures that moved behind the client's back refuse the decision, and show both. @param {Story} story @param {Chain} chain @param {string} bigger */
async function approves({ client, owner, job }, chain, bigger) {
  const { page } = client;
  const { order } = chain;
  const { choices } = wanted(chain);
  await page.locator("#approve-name").fill("Sorei Vantesse");
  await page.locator("#approve-signature").fill("Sorei Vantesse");
  const before = await effectOf(client, order, choices);
  // The phone is where the network is slow: it does not hear of what changes meanwhile.
  await page.route("**/effect", () => undefined);
  const other = await ask(client, `/api/client/orders/${bigger}`);
  await write(client, "POST", `/api/client/orders/${bigger}/decision`, {
    outcome: "approved",
    name: "Sorei Vantesse",
    signature: "Sorei Vantesse",
    document_hash: other.document_hash,
    choices: other.effect.choices,
    amount: other.effect.amount,
    promise_after: other.effect.dates.promise_after,
    reason: "",
  });
  await expecting(client, [/409/], async () => {
    await approve(client).click();
    await page.getByText(/Price or date have moved since you read them/).waitFor();
  });
  const moved = await page.locator("#moved").innerText();
  assert.ok(moved.includes(dayWords(before.dates.promise_after)), `the old date in: ${moved}`);
  assert.equal(
    (await ask(client, `/api/client/orders/${order}`)).summary.state,
    "sent",
    "nothing was decided",
  );
  assert.equal(await page.locator("#approve-signature").inputValue(), "Sorei Vantesse");
  await approve(client).click();
  await page.locator(".note.good").waitFor();
  assert.match(await page.locator(".note.good").innerText(), /Approved by Sorei Vantesse, on this page/);
  assert.equal(await page.locator("#approve:visible").count(), 0, "what is decided is not decided again");
  const decided = await ask(client, `/api/client/orders/${order}`);
  assert.ok(moved.includes(dayWords(decided.effect.dates.promise_after)), `the new date in: ${moved}`);
  const { job: now } = await ask(owner, `/api/jobs/${job}`);
  assert.equal(now.authorised_amount, decided.effect.authorised_after);
  assert.equal(now.promise, decided.effect.dates.promise_after);
  const paper = await client.context.request.get(`/api/client/orders/${order}/document`);
  assert.ok((await paper.text()).includes("Sorei Vantesse"), "the document as decided");
  await open(client, `/client/jobs/${job}`);
  await page.unroute("**/effect");
}

/** @param {Story} story @param {string} order */
async function declines({ client }, order) {
  const { page } = client;
  await open(client, `/client/orders/${order}`);
  await page.locator("#choice-i1-").check();
  await page.getByText("You leave everything in this order").waitFor();
  await page.locator("#decline-name").fill("Sorei Vantesse");
  await page.locator("#decline-reason").fill("Not this year.");
  await page.getByRole("button", { name: "Decline the change order" }).click();
  await page.getByText("Reason: Not this year.").waitFor();
}

/** Taken back while the client reads it. @param {Story} story @param {string} order */
async function withdrawn({ client, owner }, order) {
  const { page } = client;
  await open(client, `/client/orders/${order}`);
  await page.locator("#approve button:enabled").waitFor();
  const { version } = await ask(owner, `/api/orders/${order}`);
  await write(owner, "POST", `/api/orders/${order}/withdraw`, { reason: "The old ones are sound." }, version);
  await page.getByText("Withdrawn by the shop.").waitFor();
  assert.ok((await text(client)).includes("The old ones are sound."));
  assert.equal(await page.locator("#approve:visible, #ask-text:visible").count(), 0);
}

/** The list of decisions and the money tell the same. @param {Story} story @param {Chain} chain */
async function tells({ client, job }, chain) {
  const { page } = client;
  await open(client, `/client/jobs/${job}/decisions`);
  await page.getByText("Decided before").waitFor();
  const trace = await text(client);
  const { rail, opening } = chain;
  const advised = rail.options.find((/** @type {any} */ o) => o.advised);
  for (const words of [
    `Advised: ${advised.name}. Agreed: ${wanted(chain).other.name}.`,
    `Left. What it means: ${opening.if_not}`,
    "Nothing waits for your decision",
  ])
    assert.ok(trace.includes(words), `${words} in: ${trace}`);
  await page.getByRole("link", { name: "The frame", exact: true }).click();
  await page.locator("bf-frame-pair .frame-svg").nth(1).waitFor();
  assert.match(await text(client), /Worse than thought/);
  await page.getByRole("link", { name: "Money", exact: true }).click();
  await page.getByRole("heading", { name: "What was agreed" }).waitFor();
  const ledger = await ask(client, `/api/client/jobs/${job}/money`);
  const sum = ledger.agreed.reduce(
    (/** @type {number} */ all, /** @type {any} */ a) => all + cents(a.amount),
    0,
  );
  assert.equal(sum, cents(ledger.authorised), "quote and approved orders add up");
  const orders = (await ask(client, `/api/client/jobs/${job}/orders`)).items;
  const approved = orders.filter((/** @type {any} */ o) => o.state === "approved").length;
  assert.ok(approved >= 2);
  assert.equal(ledger.agreed.length, 1 + approved, "the quote and each approved order");
  const said = await text(client);
  for (const each of [...ledger.agreed, { amount: ledger.authorised }])
    assert.ok(said.includes(money(each.amount)), `${each.amount} in: ${said}`);
}

/** A letter that comes while the page is open. @param {Story} story */
async function letters({ client, owner, job }) {
  await open(client, `/client/jobs/${job}/letters`);
  const letter = { subject: "The frame stands", text: "Dear Sorei,\n\nthe frame is free of scale." };
  await write(owner, "POST", `/api/jobs/${job}/letters`, letter);
  await client.page.getByRole("heading", { name: letter.subject }).waitFor();
  assert.ok((await text(client)).includes("the frame is free of scale."));
}

/** @param {Story} story @param {Chain} chain sent @returns {Promise<string>} another order, approved meanwhile */
export async function decidesOrders(story, chain) {
  const { told } = story;
  let bigger = "";
  await told.step("the client's page says that two orders wait, and leads there", async () => {
    bigger = await sendsBigger(story);
    await isTold(story, chain.order);
  });
  await told.step(
    "the client chooses otherwise than advised and leaves one: figures as the server computes them",
    () => chooses(story, chain),
  );
  await told.step("photos open large, and the frame marks what was found", () => looks(story));
  await told.step(
    "the client asks; the owner's answer appears while a name is being typed, which stays",
    () => asks(story, chain),
  );
  await told.step("a date that moved refuses the approval and shows both; then it is approved", () =>
    approves(story, chain, bigger),
  );
  await told.step("leaving everything is declining, with a reason", async () =>
    declines(story, await sendsSmall(story, "Stainless brake lines", "180.00")),
  );
  await told.step("an order taken back while it is read says so at once", async () =>
    withdrawn(story, await sendsSmall(story, "New mount bushes", "95.00")),
  );
  await told.step("decisions and money tell the same story", () => tells(story, chain));
  await told.step("a letter of the shop appears while the page is open", () => letters(story));
  return bigger;
}

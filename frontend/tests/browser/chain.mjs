// One chain through all faces: three findings that the technician reports on a phone, the order that the owner
// makes of them at the strip gate, and, once the client has decided, what became of each: on the technician's
// list, in the money and on the frame. Clicked and typed throughout; the interface is asked for figures only.

import assert from "node:assert/strict";
import { stopNow } from "./bench.mjs";
import { fill, noted, pickByName, targets } from "./found-bench.mjs";
import { expecting, open } from "./people.mjs";
import { ask, cents, dayWords, money, send, until } from "./read.mjs";

/** @import { Story } from "./story.mjs" */

/**
 * The three, by what becomes of them, and what was agreed before any of it.
 * @typedef {object} Chain
 * @property {string} order
 * @property {string} before authorised
 * @property {any} rail to be approved, in one of two ways
 * @property {any} opening to be left
 * @property {any} nuts to be asked about, then approved
 */

const notes = { rail: "rot ahead of the wheel", opening: "the hole is gone", nuts: "both nuts turn" };

/** @param {Story} story @param {string} code */
async function zoneOf(story, code) {
  const { zones } = await ask(story.owner, `/api/jobs/${story.job}/frame`);
  const zone = zones.find((/** @type {any} */ z) => z.code === code);
  assert.ok(zone, `the frame has a zone ${code}`);
  return zone;
}

/** From the task's card: the zone on the drawing, size, two photos, two ways to repair it. @param {Story} story */
async function fromTheCard(story) {
  const { technician } = story;
  const { page } = technician;
  const [card] = (await ask(technician, "/api/bench/tasks")).items.filter(
    (/** @type {any} */ c) => c.job_id === story.job,
  );
  const zone = await zoneOf(story, "left-rail-ahead-of-rear-wheel");
  await open(technician, "/bench/tasks");
  const began = Date.now();
  const link = page.locator(`.task-card a[href*="task=${card.task_id}"]`);
  await page.locator("main details", { has: link }).locator("summary").first().click();
  await link.click();
  await page.locator("#other-zone").or(page.locator("#zone-search")).first().waitFor();
  if (await page.locator("#other-zone").isVisible()) await page.locator("#other-zone").click();
  await page.locator(`.frame-zone[data-zone="${zone.id}"]`).focus();
  await page.keyboard.press("Enter");
  await page.locator("[data-part=zone]", { hasText: zone.name }).waitFor();
  await targets(technician);
  await fill(technician, {
    what: "Rusted through",
    size: ["620", "110"],
    note: notes.rail,
    photos: ["near", "far"],
  });
  assert.ok(
    await page.getByLabel("perforated", { exact: true }).isChecked(),
    "rusted through says how the steel is",
  );
  const codes = ["let-in-patch", "cut-out-and-fabricate"];
  for (const code of codes) await page.locator(`[name=repairs][value=${code}]`).check();
  assert.match(await page.locator("[data-part=repairs]").innerText(), /About [\d.]+ h/, "with its hours");
  await page.locator(".repair summary").first().click();
  assert.match(
    await page.locator(".repair").first().innerText(),
    /Local codes/,
    "with its cautions in words",
  );
  await page.getByRole("button", { name: "Report it" }).click();
  await page.getByText("It is up; the owner has it.").waitFor();
  assert.ok(Date.now() - began < 60_000, "in under a minute");
  await page.getByText("What happens next").waitFor();
  const [finding, ...more] = await noted(story, notes.rail);
  assert.equal(more.length, 0);
  assert.deepEqual(
    [finding.zone_id, finding.task_id, finding.what, finding.condition, finding.length_mm, finding.width_mm],
    [zone.id, card.task_id, "perforation", "perforated", 620, 110],
  );
  assert.deepEqual([...finding.repairs].sort(), [...codes].sort());
  assert.equal(finding.photos.length, 2);
  for (const photo of finding.photos) assert.ok(Math.max(photo.width, photo.height) <= 2560, "made smaller");
}

/** @param {Story} story @param {string} zone code @param {string} what @param {string} note @param {string} repair */
async function another(story, zone, what, note, repair) {
  const { technician } = story;
  const { page } = technician;
  await open(technician, `/bench/report/${story.job}`);
  await pickByName(technician, (await zoneOf(story, zone)).name);
  await fill(technician, { what, note, photos: [what] });
  await page.locator(`[name=repairs][value=${repair}]`).check();
  await page.getByRole("button", { name: "Report it" }).click();
  await page.getByText("It is up; the owner has it.").waitFor();
}

/** What stands before the gate is signed off; the gate itself is not while findings wait. @param {Story} story */
async function signsOff(story) {
  const { owner } = story;
  const { tasks } = await ask(owner, `/api/jobs/${story.job}`);
  const gate = tasks.findIndex((/** @type {any} */ t) => t.strip_gate);
  const holds = tasks.slice(0, gate).filter((/** @type {any} */ t) => t.kind === "hold" && !t.released);
  await open(owner, `/shop/jobs/${story.job}/hours`);
  const sheet = owner.page.getByRole("dialog");
  const release = async (/** @type {string} */ id) => {
    await owner.page.locator(`#release-${id}`).click();
    await sheet.getByLabel("What was inspected or decided").fill("Gone through with the bench.");
    await sheet.getByRole("button", { name: "Release the hold" }).click();
  };
  for (const hold of holds) {
    await release(hold.id);
    await sheet.waitFor({ state: "detached" });
  }
  await expecting(owner, [/409/], async () => {
    await release(tasks[gate].id);
    await sheet.locator(".problem").waitFor();
  });
  assert.match(await sheet.locator(".problem").innerText(), /finding \d+ waits/);
  await owner.page.keyboard.press("Escape");
  await sheet.waitFor({ state: "detached" });
}

/** @param {Story} story @param {string} order */
const read = (story, order) => ask(story.owner, `/api/orders/${order}`);

/** @param {Story} story @param {Chain} chain */
async function gathers(story, chain) {
  const { owner } = story;
  await open(owner, `/shop/jobs/${story.job}/changes`);
  await owner.page.getByText("3 findings wait to be put before the client.").waitFor();
  chain.before = (await ask(owner, `/api/jobs/${story.job}/money`)).authorised;
  await owner.page.locator("#gather").click();
  await owner.page.waitForURL(/\/orders\//);
  await owner.page.locator("#send").waitFor();
  chain.order = /orders\/([0-9a-f-]{36})/.exec(owner.page.url())?.[1] ?? "";
  const { draft } = await read(story, chain.order);
  assert.deepEqual(
    draft.items.map((/** @type {any} */ i) => [i.finding_ids.length, i.options.length]),
    [
      [1, 2],
      [1, 1],
      [1, 1],
    ],
    "an item each, the rail in two ways",
  );
  for (const [i, name] of /** @type {const} */ (["rail", "opening", "nuts"]).entries()) {
    const [finding] = await noted(story, notes[name]);
    chain[name] = { ...draft.items[i], finding };
    assert.deepEqual(draft.items[i].finding_ids, [finding.id]);
  }
}

/** Points are typed for both ways. @param {Story} story @param {Chain} chain */
async function saysPoints({ owner }, { rail }) {
  const { page } = owner;
  const sheet = page.getByRole("dialog");
  for (const [option, name, points] of [
    ["let-in-patch", "Originality points gained", "−1,5"],
    ["cut-out-and-fabricate", "Condition points gained", "2"],
  ]) {
    await page.locator(`#option-${rail.key}-${option}-`).click();
    await sheet.getByLabel(name ?? "").fill(points ?? "");
    await sheet.getByRole("button", { name: "Save in the draft" }).click();
    await sheet.waitFor({ state: "detached" });
  }
}

/** The owner knows better than the list how long the larger way takes. @param {Story} story @param {Chain} chain */
async function saysHours({ owner }, { order, rail }) {
  const sheet = owner.page.getByRole("dialog");
  await owner.page.locator(`#task-${rail.key}-cut-out-and-fabricate-0`).click();
  for (const [name, hours] of [
    ["low", "60"],
    ["likely", "80"],
    ["high", "112"],
  ])
    await sheet.locator(`[name="hours/${name}"]`).fill(hours ?? "");
  await sheet.getByRole("button", { name: "Save in the draft" }).click();
  await sheet.waitFor({ state: "detached" });
  const { effect } = await ask(owner, `/api/orders/${order}`);
  const alone = effect.options.find(
    (/** @type {any} */ o) => o.item_key === rail.key && o.option_key === "cut-out-and-fabricate",
  );
  // PERT mean by hand: (60 + 4 * 80 + 112) / 6 = 82.
  assert.equal(Number(alone.hours), 82);
}

/** The panel says what the server says of the same choice. @param {Story} story @param {any} effect */
async function shows({ owner }, effect) {
  const table = owner.page.locator(".order-effect table.effect");
  await until(
    "the total of this choice",
    () => table.innerText(),
    (text) => text.includes(money(effect.authorised_after)),
  );
  const row = (/** @type {string} */ name) =>
    table.locator("tr", { has: owner.page.getByRole("rowheader", { name, exact: true }) }).innerText();
  const points = (/** @type {string} */ p) =>
    p.startsWith("-") ? p.replace("-", "−") : `${Number(p) ? "+" : ""}${p}`;
  for (const [name, ...figures] of [
    ["Authorised amount", money(effect.authorised_before), money(effect.authorised_after)],
    ["This change", money(effect.amount)],
    ["Promise", dayWords(effect.dates.promise_before), dayWords(effect.dates.promise_after)],
    ["Originality points", points(effect.points_originality)],
    ["Condition points", points(effect.points_condition)],
  ]) {
    const said = await row(name ?? "");
    for (const figure of figures) assert.ok(said.includes(figure), `${name}: ${figure} in: ${said}`);
  }
  assert.equal(
    cents(effect.authorised_after) - cents(effect.authorised_before),
    cents(effect.amount),
    "before and this change are the total after",
  );
}

/** Price, date and points move with the choice. @param {Story} story @param {Chain} chain */
async function looks(story, chain) {
  const { owner } = story;
  const { order, before, rail, opening, nuts } = chain;
  await saysPoints(story, chain);
  await saysHours(story, chain);
  const choose = async (/** @type {string} */ way) => {
    const choices = [
      { item_key: rail.key, ...(way && { option_key: way }) },
      ...[opening, nuts].map((i) => ({ item_key: i.key, option_key: i.options[0].key })),
    ];
    await owner.page.locator("[data-try]").getByLabel(rail.title).selectOption(way);
    const { status, body } = await send(owner, `/api/orders/${order}/effect`, { choices });
    assert.equal(status, 200, JSON.stringify(body));
    await shows(story, body);
    return body;
  };
  const patch = await choose("let-in-patch");
  const fabricate = await choose("cut-out-and-fabricate");
  const left = await choose("");
  assert.equal(patch.authorised_before, before);
  assert.ok(
    cents(left.amount) < cents(patch.amount) && cents(patch.amount) < cents(fabricate.amount),
    `prices differ: ${left.amount}, ${patch.amount}, ${fabricate.amount}`,
  );
  // Behind other cars, hours may fit into a wait and move no date; earlier no repair makes it.
  assert.ok(
    left.dates.promise_after <= patch.dates.promise_after &&
      patch.dates.promise_after <= fabricate.dates.promise_after,
    `the larger repair ends no earlier: ${[left, patch, fabricate].map((e) => e.dates.promise_after)}`,
  );
  // As typed; the opening brings its own points in either case.
  const by = (/** @type {any} */ effect, /** @type {string} */ which) =>
    (Number(effect[which]) - Number(left[which])).toFixed(2);
  assert.deepEqual(
    [patch, fabricate].map((e) => [by(e, "points_originality"), by(e, "points_condition")]),
    [
      ["-1.50", "0.00"],
      ["0.00", "2.00"],
    ],
  );
}

/** @param {Story} story @param {Chain} chain */
async function sends(story, { order }) {
  const { owner } = story;
  const sheet = owner.page.getByRole("dialog");
  await owner.page.locator("#send").click();
  await sheet.getByRole("button", { name: "Send to client" }).click();
  await sheet.waitFor({ state: "detached" });
  await owner.page.locator("#decide").waitFor();
  assert.equal((await read(story, order)).summary.state, "sent");
  await open(story.technician, "/bench/found");
  for (const note of Object.values(notes)) {
    const [{ id }] = await noted(story, note);
    await story.technician.page.locator(`#finding-${id}`, { hasText: "With the client" }).waitFor();
  }
}

/** What was approved is on the technician's list and takes the clock; what was left is not. @param {Story} story @param {Chain} chain */
async function onTheBench(story, { order, rail, opening, nuts }) {
  const { technician } = story;
  const { page } = technician;
  const { summary, decision } = await read(story, order);
  await open(technician, "/bench/found");
  for (const [{ finding }, words] of /** @type {const} */ ([
    [rail, "Approved"],
    [nuts, "Approved"],
    [opening, "Declined"],
  ]))
    await page.locator(`#finding-${finding.id}`, { hasText: words }).waitFor();
  await page.getByRole("link", { name: "All tasks" }).click();
  await page.getByRole("heading", { name: "All tasks" }).waitFor();
  for (const phase of await page.locator("main details > summary").all()) await phase.click();
  const added = page.locator(".task-card", { hasText: `From change order ${summary.number}` });
  assert.equal(await added.count(), 2, "a task for each that was agreed");
  /** @type {string[]} */
  const agreed = [];
  for (const item of [rail, opening, nuts]) {
    const { option_key } = decision.choices.find((/** @type {any} */ c) => c.item_key === item.key) ?? {};
    for (const { key, tasks } of item.options) {
      const taken = key === option_key;
      if (taken) agreed.push(tasks[0].name);
      const count = await page.locator(".task-card h3", { hasText: tasks[0].name }).count();
      assert.equal(count, taken ? 1 : 0, tasks[0].name);
    }
  }
  const [repair = ""] = agreed;
  const card = added.filter({ has: page.locator("h3", { hasText: repair }) });
  await card.getByRole("button", { name: /^Start/ }).click();
  await page.getByRole("dialog").getByRole("button", { name: "Start the clock" }).click();
  await page.waitForURL(/\/bench$/);
  await page.locator(".clock.runs", { hasText: repair }).waitFor();
  const { clock_task } = await until(
    "the clock at the server",
    () => ask(technician, "/api/bench/today"),
    (today) => today.clock !== undefined,
  );
  assert.equal(clock_task.order_number, summary.number, "it runs on the order's task");
  await stopNow(technician);
}

/** Before and what was approved are the authorised amount, for the owner and the client. @param {Story} story @param {Chain} chain @param {string} bigger */
async function inTheLedger(story, { order, before }, bigger) {
  const { owner, client, job } = story;
  const [mine, other] = [await read(story, order), await read(story, bigger)];
  const sum = cents(before) + cents(mine.decision.amount) + cents(other.decision.amount);
  const all = money((sum / 100).toFixed(2));
  assert.equal(cents((await ask(owner, `/api/jobs/${job}/money`)).authorised), sum);
  assert.equal(cents((await ask(client, `/api/client/jobs/${job}/money`)).authorised), sum);
  await open(owner, `/shop/jobs/${job}/money`);
  await open(client, `/client/jobs/${job}/money`);
  for (const [who, place] of /** @type {const} */ ([
    [owner, ".shop-section"],
    [client, "main"],
  ])) {
    const said = await who.page.locator(place).innerText();
    for (const figure of [all, money(before), money(mine.decision.amount)])
      assert.ok(said.includes(figure), `${who.name} reads ${figure} in: ${said}`);
  }
}

/** The zones tell the same of the three, to both. @param {Story} story @param {Chain} chain */
async function onTheFrame(story, { rail, opening, nuts }) {
  const { owner, client, job } = story;
  await open(owner, `/shop/jobs/${job}/survey`);
  await open(client, `/client/jobs/${job}/frame`);
  for (const [{ finding: f }, shop, private_] of /** @type {const} */ ([
    [rail, "Approved", "Its repair is agreed."],
    [nuts, "Approved", "Its repair is agreed."],
    [opening, "Declined", "You left it as it is."],
  ])) {
    await owner.page.locator(`.frame-zone[data-zone="${f.zone_id}"]`).first().focus();
    await owner.page.keyboard.press("Enter");
    const here = owner.page.locator(".survey section", {
      has: owner.page.getByRole("heading", { name: f.zone, exact: true }),
    });
    const line = here.locator("li", { hasText: `F${f.number} ` }).first();
    await line.waitFor();
    assert.ok((await line.innerText()).includes(shop), `${f.zone}: ${await line.innerText()}`);
    const told = await client.page.locator(`#found-${f.id}`).innerText();
    assert.ok(told.includes(private_) && told.includes(f.zone), `${private_} in: ${told}`);
    for (const who of [owner, client])
      assert.ok(
        (await who.page.locator(".frame-svg").last().innerHTML()).includes(`F${f.number}`),
        `${who.name}'s drawing marks F${f.number}`,
      );
  }
}

/** From the bench to the client's door. @param {Story} story @returns {Promise<Chain>} */
export async function chainBegins(story) {
  const { told } = story;
  /** @type {Chain} */
  const chain = { order: "", before: "", rail: undefined, opening: undefined, nuts: undefined };
  await told.step(
    "the technician reports rot from a task's card, with photos and two ways, in under a minute",
    () => fromTheCard(story),
  );
  await told.step("and a lost opening, and nuts that turn", async () => {
    await another(story, "fuel-pipe-opening", "Opening closed or gone", notes.opening, "restore-opening");
    await another(story, "mount-2-right", "Captive nut that turns", notes.nuts, "captive-nut");
  });
  await told.step(
    "the owner signs off what comes before the gate; findings that wait keep the gate shut",
    () => signsOff(story),
  );
  await told.step("gathers the three into one order, an item each", () => gathers(story, chain));
  await told.step("price, date and points move with the choice, as the server computed them", () =>
    looks(story, chain),
  );
  await told.step("sends it; the technician sees that it is with the client", () => sends(story, chain));
  return chain;
}

/** What became of it. @param {Story} story @param {Chain} chain @param {string} bigger an order approved meanwhile */
export async function chainEnds(story, chain, bigger) {
  const { told } = story;
  await told.step(
    "the agreed work is on the technician's list and takes the clock; what was left is not",
    () => onTheBench(story, chain),
  );
  await told.step("before and what was approved are the authorised amount, for owner and client", () =>
    inTheLedger(story, chain, bigger),
  );
  await told.step("the frame tells owner and client the same of the three", () => onTheFrame(story, chain));
}

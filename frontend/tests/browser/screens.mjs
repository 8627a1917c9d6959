// Every screen and main dialog of the three faces, looked at by axe, on a desk in light and on a phone in
// dark: WCAG 2.0, 2.1 and 2.2 at levels A and AA; and the page never scrolls sideways.

import { AxeBuilder } from "@axe-core/playwright";
import { stopNow } from "./bench.mjs";
import { open, settled, signIn } from "./people.mjs";
import { ask, send } from "./read.mjs";

/** @import { Story } from "./story.mjs" */
/** @import { Person } from "./people.mjs" */

const rules = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];

/** @param {Person} who @param {string} [within] */
export async function findings({ page }, within) {
  // Legacy mode: in the page itself. There are no frames, and a second page for each look costs seconds.
  const builder = new AxeBuilder({ page }).withTags(rules).setLegacyMode(true);
  if (within) builder.include(within);
  const { violations, passes } = await builder.analyze();
  if (passes.length === 0) throw new Error("axe looked at nothing");
  return violations
    .flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.target.join(" ")} (${v.help})`))
    .slice(0, 6);
}

/** @param {Person} who */
export async function sideways({ page }) {
  const over = await page.evaluate(
    () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
  );
  return over > 0 ? [`scrolls sideways by ${over} px`] : [];
}

/**
 * What a screen's buttons open: a name and what to press.
 * @typedef {{ path: string, dialogs?: Record<string, string[]>, name: string }} Screen
 */

/** @param {Story} story @returns {Promise<Screen[]>} */
async function shop(story) {
  const { items } = await ask(story.owner, "/api/jobs");
  const at = (/** @type {string} */ state) => items.find((/** @type {any} */ j) => j.state === state)?.id;
  const works = items.findLast((/** @type {any} */ j) => j.state === "in_work").id;
  const draft = at("enquiry");
  const page = await ask(story.owner, `/api/jobs/${draft}`);
  const task = page.tasks.find((/** @type {any} */ t) => t.kind === "work").id;
  const link = `#open-${task}`;
  const [sheet] = (await ask(story.owner, "/api/sheets")).items;
  const [order] = (await ask(story.owner, `/api/jobs/${story.job}/orders`)).items;
  const { items: templates } = await ask(story.owner, "/api/templates");
  const [retired] = (await ask(story.owner, "/api/templates?retired=true")).items;
  return [
    {
      name: "floor",
      path: "/floor",
      dialogs: { "in a calendar": ["[data-calendar-kind=person]"] },
    },
    { name: "jobs", path: "/shop", dialogs: { "read a job file": ["#read-job-file"] } },
    { name: "new job", path: "/shop/jobs/new", dialogs: { "add a client": ["#add-client"] } },
    {
      name: "estimate",
      path: `/shop/jobs/${draft}/estimate`,
      dialogs: {
        "change the job": ["#change-job"],
        "move the job": ["[data-move]"],
        task: [link],
        "add a link": [link, "[data-next=link]"],
        "remove a task": [link, "[data-next=remove]"],
        "add a task": ["[data-add-task]"],
        "add a line": ["[data-add-line]"],
        line: ["[data-line]"],
        phase: ["[data-phase]"],
        "add a phase": ["#add-phase"],
        "prices that have moved": ["#moved-prices"],
        "add an option": ["#add-option"],
        "how a price was computed": ["[data-explain]"],
        "how a sum was computed": ["#sum-total"],
      },
    },
    {
      name: "estimate of a sold job",
      path: `/shop/jobs/${works}/estimate`,
      dialogs: { "sold task": ["[data-task]"] },
    },
    { name: "points", path: `/shop/jobs/${at("quoted")}/points` },
    { name: "points of a car in work", path: `/shop/jobs/${works}/points` },
    { name: "schedule", path: `/shop/jobs/${works}/schedule` },
    {
      name: "quotes",
      path: `/shop/jobs/${draft}/quotes`,
      dialogs: { issue: ["#issue"], "private link": ["[data-make-link]"] },
    },
    { name: "quotes of a sold job", path: `/shop/jobs/${works}/quotes` },
    { name: "hours", path: `/shop/jobs/${works}/hours`, dialogs: { "release a hold": ["[data-release]"] } },
    {
      name: "survey",
      path: `/shop/jobs/${works}/survey`,
      dialogs: {
        "what was seen": [".frame-zone", "#observe"],
        "report a finding": ["#report"],
        zone: ["#change-zone"],
        "add a zone": ["#add-zone"],
      },
    },
    {
      name: "takeoff",
      path: `/shop/jobs/${draft}/takeoff`,
      dialogs: {
        "how hours are worked out": ["[data-open=task]"],
        "how a material is worked out": ["[data-open=material]"],
        "quantities of a zone": ["[data-open=zone]"],
        "what other jobs leave over": ["#remainders"],
      },
    },
    { name: "takeoff of a sold job", path: `/shop/jobs/${works}/takeoff` },
    { name: "survey of an enquiry", path: `/shop/jobs/${draft}/survey` },
    {
      name: "changes",
      path: `/shop/jobs/${story.job}/changes`,
      dialogs: { "draft an order": ["#draft-order"], "who may authorise": ["#name-authoriser"] },
    },
    ...(order
      ? [{ name: `change order, ${order.state}`, path: `/shop/jobs/${story.job}/orders/${order.id}` }]
      : []),
    {
      name: "money",
      path: `/shop/jobs/${works}/money`,
      dialogs: { override: ["#override"], payment: ["#pay"], supply: ["[data-act=supply]"] },
    },
    { name: "letters", path: `/shop/jobs/${works}/letters` },
    { name: "trail", path: `/shop/jobs/${works}/trail` },
    {
      name: "people",
      path: "/shop/people",
      dialogs: {
        "add a person": ["[data-add]"],
        person: ["[data-edit]"],
        "in a calendar": ["[data-calendar-of]"],
      },
    },
    { name: "calendar", path: "/shop/calendar" },
    {
      name: "price book",
      path: "/shop/price-book",
      dialogs: {
        "new material": ["[data-add=material]"],
        "new price": ["[data-price]"],
        "read a list": ["[data-read-list]"],
      },
    },
    {
      name: "templates",
      path: "/shop/templates",
      dialogs: { "copy a template": ["[data-make]:not([data-make=''])"] },
    },
    {
      name: "template",
      path: `/shop/templates/${templates[0].id}`,
      dialogs: {
        "name and frame": ["#open-head"],
        "vehicle option": ["#v0"],
        task: ["#t0-open"],
        "what a task follows": ["#t1-open", "[data-add-row=links]"],
        line: ["[data-do=line]"],
        "add a line": ["[data-do=add-line]"],
        "add an option": ["[data-do=option]"],
        caution: ["[data-do=caution]"],
        rule: ["#rules-said > summary", "[data-do=rule]"],
        "add a rule": ["#add-rule"],
        retire: ["[data-do=retire]"],
      },
    },
    { name: "retired template", path: `/shop/templates/${retired.id}` },
    { name: "mail", path: "/shop/mail" },
    {
      name: "settings",
      path: "/shop/settings",
      dialogs: { "a station in a calendar": ["[data-calendar-of]"] },
    },
    { name: "texts", path: "/shop/settings/texts" },
    { name: "currencies", path: "/shop/settings/currencies" },
    { name: "consent and stopping", path: "/shop/settings/consent" },
    { name: "judging sheets", path: "/shop/settings/points", dialogs: { "add a sheet": ["#add-sheet"] } },
    { name: "a judging sheet", path: `/shop/settings/points/${sheet.id}` },
    { name: "account", path: "/account" },
    { name: "no such page", path: "/shop/nowhere" },
  ];
}

/** @type {Screen[]} */
const bench = [
  {
    name: "today",
    path: "/bench",
    dialogs: { start: ["[data-act=start]:not([disabled])"], wait: ["#wait"], "type hours": ["#type"] },
  },
  { name: "all tasks", path: "/bench/tasks" },
  { name: "found", path: "/bench/found" },
  { name: "found something", path: "/bench/report" },
  { name: "seen on the frame", path: "/bench/report?as=seen" },
  { name: "floor", path: "/floor" },
  { name: "my hours", path: "/bench/hours", dialogs: { correct: ["[data-act=correct]"] } },
  { name: "account", path: "/account" },
];

/** @param {Person} who @returns {Promise<Screen[]>} */
async function client(who) {
  const { items } = await ask(who, "/api/client/jobs");
  const at = `/client/jobs/${items[0].id}`;
  const job = await ask(who, `/api${at}`);
  const orders = (await ask(who, `/api${at}/orders`)).items;
  return [
    { name: "where it stands", path: at },
    ...["decisions", "frame", "money", "letters"].map((name) => ({ name, path: `${at}/${name}` })),
    // One in each state that there is.
    ...orders
      .filter((/** @type {any} */ o, /** @type {number} */ i) => {
        const first = orders.findIndex((/** @type {any} */ each) => each.state === o.state);
        return first === i;
      })
      .map((/** @type {any} */ o) => ({ name: `change order, ${o.state}`, path: `/client/orders/${o.id}` })),
    ...job.quotes
      .slice(0, 1)
      .map((/** @type {any} */ q) => ({ name: `quote, ${q.state}`, path: `/client/quotes/${q.id}` })),
    { name: "account", path: "/account" },
  ];
}

/** Opens everything that is folded. @param {Person} who @param {string} [within] */
export const unfold = ({ page }, within = "main") =>
  page.evaluate((place) => {
    for (const d of document.querySelectorAll(`${place} details`)) d.setAttribute("open", "");
  }, within);

/** @param {Person} who @param {Screen} screen @returns {Promise<string[]>} */
async function look(who, screen) {
  await open(who, screen.path);
  await unfold(who);
  await who.page.waitForTimeout(150);
  const found = [...(await findings(who)), ...(await sideways(who))].map((f) => `${screen.name}: ${f}`);
  for (const [name, presses] of Object.entries(screen.dialogs ?? {})) {
    for (const press of presses) {
      const at = who.page.locator(press).locator("visible=true").first();
      const opened =
        press.endsWith("summary") && (await at.evaluate((s) => s.parentElement?.hasAttribute("open")));
      if (!opened) await at.click();
    }
    await who.page.locator("dialog[open]").waitFor();
    await unfold(who, "dialog[open]");
    await who.page.waitForTimeout(100);
    found.push(
      ...(await findings(who, "dialog[open]")).map((f) => `${screen.name}, ${name}: ${f}`),
      ...(await sideways(who)).map((f) => `${screen.name}, ${name}: ${f}`),
    );
    await who.page.keyboard.press("Escape");
    await who.page.locator("dialog[open]").waitFor({ state: "detached" });
  }
  return found;
}

/** A step for each screen with its dialogs. @param {Story} story @param {Person} who @param {string} device @param {Screen[]} screens */
async function lookAtAll({ told }, who, device, screens) {
  for (const screen of screens) {
    const count = Object.keys(screen.dialogs ?? {}).length;
    const dialogs = count > 0 ? ` and ${count} of its dialogs` : "";
    await told.step(`axe, ${device}: ${screen.name}${dialogs}`, async () => {
      const found = await look(who, screen);
      if (found.length > 0) throw new Error(found.join("\n    "));
    });
  }
}

/** Nobody is signed in. @param {Person} who */
async function access(who) {
  const found = [];
  for (const path of ["/sign-in", "/invitation", "/invitation#not-a-token", "/c", "/set-up"]) {
    await who.page.goto("about:blank");
    await who.page.goto(path);
    await settled(who.page);
    found.push(
      ...(await findings(who)).map((f) => `${path}: ${f}`),
      ...(await sideways(who)).map((f) => `${path}: ${f}`),
    );
  }
  if (found.length > 0) throw new Error(found.join("\n    "));
}

/**
 * @param {Story} story
 * @param {string} device
 * @param {(name: string) => Promise<Person>} somebody with this device
 */
export async function everyScreen(story, device, somebody) {
  const { told, demo } = story;
  await told.step(`axe, ${device}: the ways in`, async () => access(await somebody(`stranger ${device}`)));
  const owner = await somebody(`owner ${device}`);
  await signIn(owner, demo.owner, demo.password);
  await lookAtAll(story, owner, device, await shop(story));

  const technician = await somebody(`technician ${device}`);
  await signIn(technician, demo.technician, demo.password);
  await lookAtAll(story, technician, device, bench);
  await withClock(story, technician, device, () =>
    lookAtAll(story, technician, device, [
      {
        name: "today while the clock runs",
        path: "/bench",
        dialogs: { switch: ["[data-act=start]:not([disabled])"], stop: ["#stop"] },
      },
    ]),
  );

  for (const link of [demo.client, demo.deciding, story.link]) {
    const who = await somebody(`client ${device}`);
    await who.page.goto(link);
    await who.page.waitForURL(/\/client\/jobs\//);
    await lookAtAll(story, who, device, await client(who));
  }
}

/**
 * With a clock that this step started, whatever the steps before it left behind.
 * @param {Story} story
 * @param {Person} who
 * @param {string} device
 * @param {() => Promise<void>} act
 */
async function withClock({ told }, who, device, act) {
  await told.step(`${device}: the clock starts`, async () => {
    if ((await ask(who, "/api/bench/today")).clock) {
      const key = { "Idempotency-Key": `clear-${Date.now()}` };
      const { status, body } = await send(who, "/api/bench/clock/stop", { done: false }, key);
      if (status !== 201) throw new Error(`the clock left running does not stop: ${JSON.stringify(body)}`);
    }
    await open(who, "/bench");
    await who.page.locator("[data-act=start]:not([disabled]):visible").first().click();
    const sheet = who.page.getByRole("dialog");
    await sheet.getByRole("button", { name: "Start the clock" }).click();
    await sheet.waitFor({ state: "detached" });
    await who.page.locator(".clock.runs").waitFor();
  });
  await act();
  await told.step(`${device}: the clock stops`, () => stopNow(who));
}

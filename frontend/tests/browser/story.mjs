// The whole story in a real browser, on the real program with its demo: npm run story.
//   BAREFRAME_BIN   the program; without it bin/bareframe, which make build makes
//   CHROMIUM        the browser; without it /usr/bin/chromium
// Ends with "story: N passed, N failed"; pictures of a failure go to TMPDIR.

import { technicianWorks } from "./bench.mjs";
import { subscribes } from "./calendar.mjs";
import { chainBegins, chainEnds } from "./chain.mjs";
import { clientAccepts, clientDeclines } from "./client.mjs";
import { firstStart } from "./first-start.mjs";
import { worksTheFloor } from "./floor.mjs";
import { gathers, records, surveys } from "./found.mjs";
import { reports } from "./found-bench.mjs";
import { decidesOrders } from "./found-client.mjs";
import { jobFiles } from "./job-file.mjs";
import { wantsLater } from "./later.mjs";
import { levels } from "./levelled.mjs";
import { ownerQuotes } from "./owner.mjs";
import { desk, openBrowser, person, phone } from "./people.mjs";
import { followsThePlan } from "./planned-today.mjs";
import { judges } from "./points.mjs";
import { prices } from "./prices.mjs";
import { looksOverTheSchedule } from "./schedule.mjs";
import { everyScreen } from "./screens.mjs";
import { startServer } from "./server.mjs";
import { settings } from "./settings.mjs";
import { takesOff } from "./takeoff.mjs";
import { editsTemplates } from "./templates.mjs";
import { together } from "./together.mjs";
import { Told } from "./told.mjs";
import { weighs } from "./weight.mjs";

/** @import { Person } from "./people.mjs" */

/**
 * Who takes part, and what the steps leave for the steps after them.
 * @typedef {object} Story
 * @property {Told} told
 * @property {import("./server.mjs").Demo} demo
 * @property {import("playwright-core").Browser} browser
 * @property {Person} owner
 * @property {Person} second the same owner at another desk
 * @property {Person} keys an owner without a mouse
 * @property {Person} client
 * @property {Person} decliner
 * @property {Person} technician
 * @property {Person} cellar the technician's other phone, with the worker that opens it offline
 * @property {string} zone of the shop
 * @property {string} job made here
 * @property {string} quote issued here
 * @property {string} link the client's, made here
 * @property {string} task worked on here
 */

/** @type {Person[]} */
const everybody = [];
const told = new Told(() => everybody);
const server = await startServer();
const browser = await openBrowser().catch(async (error) => {
  await server.stop();
  throw error;
});

/** @param {string} name @param {Parameters<typeof person>[3]} [device] */
async function comes(name, device) {
  const who = await person(browser, server.demo.base, name, device);
  everybody.push(who);
  return who;
}

/** @param {Person[]} people */
async function leave(people) {
  for (const who of people) {
    await who.context.close();
    everybody.splice(everybody.indexOf(who), 1);
  }
}

try {
  const { demo } = server;
  console.log(`${demo.base}, chromium ${browser.version()}`);
  /** @type {Story} */
  const story = {
    told,
    demo,
    browser,
    owner: await comes("owner"),
    second: await comes("second owner"),
    keys: await comes("keyboard owner"),
    client: await comes("client", { size: phone }),
    decliner: await comes("other client", { size: phone }),
    technician: await comes("technician", { size: phone }),
    cellar: await comes("technician in the cellar", { size: phone, worker: true }),
    zone: "UTC",
    job: "",
    quote: "",
    link: "",
    task: "",
  };
  await weighs(story);
  await ownerQuotes(story);
  await clientAccepts(story);
  await technicianWorks(story);
  await together(story);
  await editsTemplates(story);
  await prices(story);
  await settings(story);
  await looksOverTheSchedule(story);
  await worksTheFloor(story);
  await levels(story);
  await followsThePlan(story);
  await subscribes(story);
  await jobFiles(story);
  await judges(story);
  await takesOff(story);
  await surveys(story);
  const chain = await chainBegins(story);
  await chainEnds(story, chain, await decidesOrders(story, chain));
  await gathers(story);
  await records(story);
  await reports(story);
  await wantsLater(story);
  // While the demo's own quote still waits for its client.
  const devices = /** @type {const} */ ([
    ["desk, light", { size: desk }],
    ["phone, dark", { size: phone, dark: true }],
  ]);
  for (const [name, device] of devices) {
    const before = everybody.length;
    await everyScreen(story, name, (who) => comes(who, device));
    await leave(everybody.slice(before));
  }
  await clientDeclines(story);
  await firstStart(told, browser, (who) => everybody.push(who));
} finally {
  await browser.close();
  await server.stop();
}
process.exitCode = told.end();

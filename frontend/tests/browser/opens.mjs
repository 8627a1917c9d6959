// How long the screens with the demo's sixty photographs of one frame take to open: npm run opens.
// Each run has a browser that was never here (cold), then loads the page again (warm). Counted from the start
// of the navigation until everything the server says of it is shown, and until every photo that stands in the
// window is seen; the jobs, a screen without photos, are measured beside it. Figures are medians; no budget
// fails here, the machines are shared.
//   RUNS   of each screen; without it 5

import { desk, openBrowser, person, phone, signIn } from "./people.mjs";
import { ask } from "./read.mjs";
import { startServer } from "./server.mjs";

/** @import { Person } from "./people.mjs" */

/**
 * A screen, and what stands on it when all is shown.
 * @typedef {object} Screen
 * @property {string} name
 * @property {string} path
 * @property {[selector: string, count: number][]} shows
 * @property {string} [pick] a zone in the drawing, whose photos are looked at then
 */

const runs = Number(process.env["RUNS"] || 5);

/** Milliseconds until so many of these stand there and every image in the window is drawn. @param {import("playwright-core").Page} page @param {Screen["shows"]} shows @param {number} since */
function stands(page, shows, since) {
  return page.evaluate(
    ([wanted, from]) =>
      new Promise((done) => {
        let data = 0;
        const look = () => {
          const all = wanted.every(([selector, n]) => document.querySelectorAll(selector).length >= n);
          if (all && !data) data = performance.now() - from;
          const seen = [...document.querySelectorAll("main img")].filter((image) => {
            const { top, bottom } = image.getBoundingClientRect();
            return bottom > 0 && top < innerHeight;
          });
          const drawn = seen.every((i) => i instanceof HTMLImageElement && i.complete && i.naturalWidth > 0);
          if (data && drawn) done({ data, photos: performance.now() - from, seen: seen.length });
          else requestAnimationFrame(look);
        };
        look();
      }),
    /** @type {const} */ ([shows, since]),
  );
}

/** The first photos stand below the window: how long they take once they come into it. @param {import("playwright-core").Page} page */
async function scrolled(page) {
  const since = await page.evaluate(() => {
    document.querySelector("main .photos")?.scrollIntoView();
    return performance.now();
  });
  const { photos, seen } = /** @type {any} */ (await stands(page, [["main .photos img", 1]], since));
  return { photos, seen, below: true };
}

/** @typedef {{ data: number, photos: number, seen: number, below?: boolean }} Opened */

/** @param {Person} who @param {Screen} screen @returns {Promise<Opened>} */
async function opened({ page }, { path, shows, pick }) {
  await page.goto(path, { waitUntil: "commit" });
  const open = /** @type {any} */ (await stands(page, shows, 0));
  if (!pick && (open.seen > 0 || !shows.some(([selector]) => selector.endsWith("img")))) return open;
  if (!pick) return { ...open, ...(await scrolled(page)) };
  await page.locator(`.frame-zone[data-zone="${pick}"]`).first().focus();
  const since = await page.evaluate(() => performance.now());
  await page.keyboard.press("Enter");
  return { ...open, photos: (await stands(page, [["main .photos img", 4]], since)).photos };
}

const median = (/** @type {number[]} */ all) => all.sort((a, b) => a - b)[all.length >> 1] ?? Number.NaN;

/** @param {import("playwright-core").Browser} browser @param {string} base @param {Person} known signed in @param {typeof desk} size @param {Screen} screen */
async function measure(browser, base, known, size, screen) {
  const cookies = await known.context.cookies();
  /** @type {Record<"cold" | "warm", Opened[]>} */
  const found = { cold: [], warm: [] };
  for (let run = 0; run < runs; run += 1) {
    const who = await person(browser, base, "opener", { size });
    await who.context.addCookies(cookies);
    for (const when of /** @type {const} */ (["cold", "warm"])) found[when].push(await opened(who, screen));
    await who.context.close();
  }
  for (const [when, all] of Object.entries(found)) {
    const of = (/** @type {"data" | "photos"} */ what) => median(all.map((each) => each[what])).toFixed(0);
    const photos = screen.pick
      ? `a zone picked, its photos in ${of("photos")} ms`
      : all[0]?.below
        ? `its first ${all[0].seen} photos ${of("photos")} ms after they are scrolled to`
        : `${all[0]?.seen ?? 0} photos in the window at ${of("photos")} ms`;
    console.log(`${screen.name}, ${size.width} px, ${when}: all data at ${of("data")} ms, ${photos}`);
  }
}

const server = await startServer();
const browser = await openBrowser();
try {
  const { base, owner, password, client } = server.demo;
  const [shop, private_] = [await person(browser, base, "owner"), await person(browser, base, "client")];
  await signIn(shop, owner, password);
  await private_.page.goto(client);
  await private_.page.waitForURL(/\/client\/jobs\//);
  const photos = (/** @type {any[]} */ list) => list.flatMap((each) => each.photos).length;
  const jobs = (await ask(shop, "/api/jobs")).items;
  const frames = await Promise.all(
    jobs.map(async (/** @type {any} */ job) => ({
      job,
      zones: (await ask(shop, `/api/jobs/${job.id}/frame`)).zones,
      observations: (await ask(shop, `/api/jobs/${job.id}/frame`)).observations,
      findings: (await ask(shop, `/api/jobs/${job.id}/findings`)).items,
    })),
  );
  const count = (/** @type {any} */ { observations, findings }) => photos(observations) + photos(findings);
  const [frame] = frames.sort((a, b) => count(b) - count(a));
  const { job, zones, observations, findings } = frame;
  const seen = (/** @type {any} */ { id }) =>
    photos(observations.filter((/** @type {any} */ o) => o.zone_id === id));
  const most = zones.toSorted((/** @type {any} */ a, /** @type {any} */ b) => seen(b) - seen(a))[0];
  const told = (await ask(private_, `/api/client/jobs/${job.id}/frame`)).findings;
  console.log(`${count(frame)} photos of one frame, ${runs} runs, chromium ${browser.version()}`);
  const jobsPage = {
    name: "jobs, without a photo",
    path: "/shop",
    shows: [["main a[href^='/shop/jobs/']", 4]],
  };
  const survey = {
    name: "survey",
    path: `/shop/jobs/${job.id}/survey`,
    shows: [["bf-frame .frame-svg .frame-zone", zones.length]],
    pick: most.id,
  };
  const changes = {
    name: "findings to be gathered",
    path: `/shop/jobs/${job.id}/changes`,
    shows: [["main .photos img", photos(findings)]],
  };
  const frameOf = {
    name: "the client's frame",
    path: `/client/jobs/${job.id}/frame`,
    shows: [["main .photos img", photos(told)]],
  };
  for (const [who, size, screen] of /** @type {[Person, typeof desk, Screen][]} */ ([
    [shop, desk, jobsPage],
    [shop, desk, survey],
    [shop, desk, changes],
    [shop, phone, changes],
    [private_, phone, frameOf],
  ]))
    await measure(browser, base, who, size, screen);
} finally {
  await browser.close();
  await server.stop();
}

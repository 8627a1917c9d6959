// @ts-check
// A job: its head, and one of its sections in the order of the work.

import "../../components/bf-title-block.js";
import { vehicleName } from "../../components/shop-words.js";
import { get } from "../../lib/call.js";
import { attr, html, make, render } from "../../lib/html.js";
import { jobState } from "../../lib/words.js";
import { JobDesk } from "./job-desk.js";
import { jobHead } from "./job-head.js";

/** @import { View } from "../../lib/router.js" */

/** @typedef {(own: boolean) => void} Redraw */
/** @typedef {(root: HTMLElement, desk: JobDesk) => Redraw | Promise<Redraw>} Section */

/** @type {Record<string, { name: string, load: () => Promise<Section> }>} */
const sections = {
  survey: { name: "Survey", load: async () => (await import("./job-survey.js")).survey },
  takeoff: { name: "Takeoff", load: async () => (await import("./job-takeoff.js")).takeoff },
  estimate: { name: "Estimate", load: async () => (await import("./job-estimate.js")).estimate },
  points: { name: "Points", load: async () => (await import("./job-points.js")).points },
  schedule: { name: "Schedule", load: async () => (await import("./job-schedule.js")).schedule },
  quotes: { name: "Quotes", load: async () => (await import("./job-quotes.js")).quotes },
  changes: { name: "Changes", load: async () => (await import("./job-changes.js")).changes },
  hours: { name: "Hours", load: async () => (await import("./job-hours.js")).hours },
  money: { name: "Money", load: async () => (await import("./job-money.js")).money },
  letters: { name: "Letters", load: async () => (await import("./job-letters.js")).letters },
  trail: { name: "Trail", load: async () => (await import("./job-trail.js")).trail },
};

/** @type {View} */
export default async function view(root, params, context) {
  const { signal } = context;
  const job = params["job"] ?? "";
  const tab = params["tab"] && params["tab"] in sections ? params["tab"] : "estimate";
  const section = /** @type {{ name: string, load: () => Promise<Section> }} */ (sections[tab]);
  const [page, book, shop, mount] = await Promise.all([
    get("/api/jobs/{job}", { path: { job }, signal }),
    get("/api/shop/price-book", { query: { job }, signal }),
    get("/api/shop", { signal }),
    section.load(),
  ]);
  const desk = new JobDesk({ page, book, shop, context });
  const top = document.createElement("div");
  const body = make("section", { className: "shop-section" });
  render(
    root,
    html`${top}<nav aria-label="This job"><ul class="tabs">${Object.entries(sections).map(
      ([key, { name }]) =>
        html`<li><a href="/shop/jobs/${job}/${key}" ${attr("aria-current", key === tab && "page")}>${name}</a></li>`,
    )}</ul></nav>${body}`,
  );
  const drawHead = jobHead(top, desk);
  const drawBody = await mount(body, desk);
  desk.watch((own) => {
    drawHead();
    drawBody(own);
  });
  follow(desk);
  return {
    title: `Job ${page.job.number}, ${vehicleName(page.job.vehicle)}, ${section.name} (${jobState[page.job.state]})`,
  };
}

/** Changes by others: one fetch for a burst of events. @param {JobDesk} desk */
function follow(desk) {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let soon;
  desk.context.changed(({ job }) => {
    if (job && job !== desk.id) return;
    clearTimeout(soon);
    soon = setTimeout(() => {
      // When it fails the page is as it was; the next event tries again.
      desk.refresh().catch(() => undefined);
    }, 250);
  });
  desk.signal.addEventListener("abort", () => clearTimeout(soon));
}

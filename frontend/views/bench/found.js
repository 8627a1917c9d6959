// @ts-check
// What was found and what became of it; and what still waits on this device.

import { showProblem } from "../../components/bf-problem.js";
import { photos } from "../../components/photos.js";
import { benchQueue } from "../../lib/bench.js";
import { get, NetworkProblem } from "../../lib/call.js";
import { html, on, render } from "../../lib/html.js";
import { keep, kept } from "../../lib/shelf.js";
import { findingWhat, word } from "../../lib/words.js";
import { waitingPanel } from "./cards.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { Write } from "../../lib/queue.js" */

/** @typedef {{ job: Schemas["BenchJob"], findings: Schemas["Finding"][] }} OfJob */

/** @type {import("../../lib/router.js").View} */
export default async function view(root, _params, context) {
  const { signal, formats, changed, me } = context;
  const name = `found ${me.person.id}`;
  const queue = benchQueue(me);
  /** @type {OfJob[]} */
  let all = [];
  /** @type {Write[]} */
  let writes = [];
  let old = false;

  const draw = () =>
    render(
      root,
      html`<h1>Found</h1>
      ${old ? html`<p class="note watch">No network. This is what was known when there was one last.</p>` : ""}
      ${waitingPanel(writes.filter(isReport), formats)}
      <div class="row"><a class="button big act" href="/bench/report">Found something</a><a class="button big" href="/bench/report?as=seen">Seen on the frame</a></div>
      ${list("What you found", mine(all, me.person.name, true), formats)}
      ${list("What others found", mine(all, me.person.name, false), formats)}`,
    );
  const load = async () => {
    writes = await queue.mine();
    try {
      const { jobs } = await get("/api/bench/today", { signal });
      all = await Promise.all(
        jobs.map(async (job) => {
          const { items } = await get("/api/jobs/{job}/findings", { path: { job: job.id }, signal });
          return { job, findings: items };
        }),
      );
      old = false;
      keep(name, all).catch(() => {});
    } catch (error) {
      if (!(error instanceof NetworkProblem)) throw error;
      all = /** @type {OfJob[]} */ ((await kept(name)) ?? all);
      old = true;
    }
    draw();
  };
  const again = () =>
    void load().catch((error) => {
      if (!signal.aborted) showProblem(root, error);
    });

  await load();
  changed(({ what }) => {
    if (!what || ["finding", "order", "reconnected"].includes(what)) again();
  });
  let before = writes.length;
  queue.watch((now) => {
    writes = now;
    draw();
    if (now.length < before) again();
    before = now.length;
  }, signal);
  on(root, "click", "[data-act=drop]", (button) => void queue.drop(button.dataset["key"] ?? ""), signal);
}

/** @param {Write} write */
const isReport = ({ path }) => path.startsWith("/api/jobs/");

/** Mine or the others', newest first. @param {OfJob[]} all @param {string} name @param {boolean} own */
function mine(all, name, own) {
  return all
    .flatMap(({ job, findings }) => findings.map((f) => ({ job, f })))
    .filter(({ f }) => (f.by === name) === own)
    .sort((a, b) => b.f.at.localeCompare(a.f.at));
}

/** @param {string} title @param {ReturnType<typeof mine>} found @param {Formats} formats */
function list(title, found, formats) {
  const own = title === "What you found";
  if (found.length === 0) {
    return own
      ? html`<section class="sheet"><h2>${title}</h2><p class="empty">Nothing yet. Report what comes to light under coating, mounts and patches as you meet it; what becomes of it stands here.</p></section>`
      : "";
  }
  return html`<section class="sheet"><h2>${title}</h2><ul class="rows">${found.map(({ job, f }) => row(job, f, formats, own))}</ul></section>`;
}

/** @param {Schemas["BenchJob"]} job @param {Schemas["Finding"]} f @param {Formats} formats @param {boolean} own */
function row(job, f, formats, own) {
  const { tone, words } = became(f);
  const size = [f.length_mm, f.width_mm].filter(Boolean).join(" × ");
  const about = [f.count > 1 && `${f.count} of them`, size && `${size} mm`, f.note]
    .filter(Boolean)
    .join(" · ");
  return html`<li id="finding-${f.id}"><div class="row between"><strong>F${f.number} ${word(findingWhat, f.what)}</strong><span class="state ${tone}">${words}</span></div>
    <p class="small">${f.zone} · job ${job.number}, ${job.vehicle} · ${formats.instant(f.at)}${own ? "" : `, ${f.by}`}</p>
    ${about ? html`<p>${about}</p>` : ""}${f.state_reason ? html`<p>${f.state === "dismissed" ? "The owner says: " : ""}${f.state_reason}</p>` : ""}
    ${photos(f.photos, `finding ${f.number}`)}</li>`;
}

/** What became of it, for who found it. @param {Schemas["Finding"]} finding @returns {{ tone: string, words: string }} */
function became({ state, order }) {
  const by = order ? ` in change order ${order.number}` : "";
  switch (state) {
    case "reported":
      return { tone: "watch", words: "Waits for the owner" };
    case "gathered":
      return { tone: "watch", words: "The owner is drafting it" };
    case "sent":
      return { tone: "watch", words: `With the client${by}` };
    case "approved":
      return { tone: "good", words: `Approved${by}` };
    case "declined":
      return { tone: "stop", words: `Declined${by}` };
    default:
      return { tone: "", words: "Nothing to do" };
  }
}

// @ts-check
// All tasks of the jobs in work, by job and phase; those that wait say for what.

import { showProblem } from "../../components/bf-problem.js";
import { get } from "../../lib/call.js";
import { html, on, render } from "../../lib/html.js";
import { startTask } from "./acts.js";
import { taskCard } from "./cards.js";

/** @import { TaskCard, Today } from "../../lib/contract.js" */

/** @type {import("../../lib/router.js").View} */
export default async function view(root, _params, context) {
  const { signal, formats, changed, navigate } = context;
  /** @type {TaskCard[]} */
  let cards = [];
  /** @type {Today} */
  let today;

  const load = async () => {
    const [list, now] = await Promise.all([
      get("/api/bench/tasks", { signal }),
      get("/api/bench/today", { signal }),
    ]);
    // What is finished needs nobody; hours that were forgotten on it are typed on Today.
    cards = list.items.filter((card) => card.state !== "finished");
    today = now;
    draw();
  };
  const draw = () =>
    render(
      root,
      html`<h1>All tasks</h1>
      ${cards.length === 0 ? html`<p class="empty">No job is in work. When the owner has a quote accepted, its tasks stand here.</p>` : ""}
      ${groups(cards).map(
        ([job, phases]) => html`<section><h2>${job}</h2>
          ${phases.map(
            (
              [phase, list],
              index,
            ) => html`<details id="phase-${list[0]?.job_id ?? ""}-${index}"><summary><strong>${phase}</strong> <span class="small">${left(list)}</span></summary>
            <p><a class="button no-print" href="/api/jobs/${list[0]?.job_id ?? ""}/phases/${list[0]?.phase_id ?? ""}/job-card?as=pdf" target="_blank" rel="noopener">Job card to print (PDF, new tab)</a></p>
            <ul class="cards">${list.map((c) => taskCard(c, today.clock !== undefined, formats))}</ul></details>`,
          )}
        </section>`,
      )}`,
    );
  const again = () =>
    void load().catch((error) => {
      if (!signal.aborted) showProblem(root, error);
    });

  await load();
  changed(again);
  on(
    root,
    "click",
    "[data-act=start]",
    async (button) => {
      const card = cards.find((c) => c.task_id === button.dataset["task"]);
      if (card && (await startTask(context, today, card))) navigate("/bench");
    },
    signal,
  );
}

/** "7 left, 5 may not start yet". @param {TaskCard[]} cards */
function left(cards) {
  const shut = cards.filter((card) => card.blocks.length > 0).length;
  return `${cards.length} left${shut > 0 ? `, ${shut === cards.length ? "none" : shut} may ${shut === cards.length ? "" : "not "}start yet` : ""}`;
}

/** @param {TaskCard[]} cards @returns {[string, [string, TaskCard[]][]][]} */
function groups(cards) {
  /** @type {Map<string, Map<string, TaskCard[]>>} */
  const jobs = new Map();
  for (const card of cards) {
    const job = `Job ${card.job_number}, ${card.vehicle}`;
    const phases = jobs.get(job) ?? new Map();
    jobs.set(job, phases);
    phases.set(card.phase, [...(phases.get(card.phase) ?? []), card]);
  }
  return [...jobs].map(([job, phases]) => [job, [...phases]]);
}

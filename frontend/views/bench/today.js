// @ts-check
// Today: the clock, what is next and why, what I logged. Works without a network from what was kept.

import { showProblem } from "../../components/bf-problem.js";
import { benchQueue, instantNow, offered, project, toType } from "../../lib/bench.js";
import { ApiProblem, get, NetworkProblem } from "../../lib/call.js";
import { html, on, render } from "../../lib/html.js";
import { keepToday, keptToday } from "../../lib/shelf.js";
import { correct, elapsed, startTask, startWaiting, stopClock, typeHours } from "./acts.js";
import { clockPanel, entryRow, nextPanel, ownHours, waitingPanel } from "./cards.js";

/** @import { TaskCard, Today } from "../../lib/contract.js" */
/** @import { Context } from "../../lib/router.js" */
/** @import { Write } from "../../lib/queue.js" */

/** @type {import("../../lib/router.js").View} */
export default async function view(root, _params, context) {
  const screen = new Screen(root, context);
  await screen.read();
  screen.follow();
}

class Screen {
  /** @param {HTMLElement} root @param {Context} context */
  constructor(root, context) {
    this.root = root;
    this.context = context;
    this.queue = benchQueue(context.me);
    /** @type {Today | undefined} */
    this.server = undefined;
    /** When what is shown was read, if not just now. */
    this.keptAt = "";
    /** @type {Write[]} */
    this.writes = [];
  }

  async read() {
    const { me, signal } = this.context;
    this.writes = await this.queue.mine();
    try {
      this.server = await get("/api/bench/today", { signal });
      this.keptAt = "";
      keepToday(me.person.id, this.server, instantNow()).catch(() => {});
    } catch (error) {
      const down = error instanceof NetworkProblem || (error instanceof ApiProblem && error.status >= 500);
      const kept = down ? await keptToday(me.person.id) : undefined;
      if (!kept) throw error;
      this.server = this.server ?? kept.today;
      this.keptAt ||= kept.at;
    }
    this.draw();
  }

  /** Reads again; what goes wrong is shown above what is there. */
  async refresh() {
    try {
      await this.read();
    } catch (error) {
      if (!this.context.signal.aborted) showProblem(this.root, error);
    }
  }

  get today() {
    return project(/** @type {Today} */ (this.server), this.writes);
  }

  draw() {
    const { formats } = this.context;
    const { today } = this;
    render(
      this.root,
      html`<h1>Today, ${formats.day(today.day)}</h1>
      ${this.keptAt ? html`<p class="note watch">No network. This is how it was at ${formats.instant(this.keptAt)}, with what you did since.</p>` : ""}
      ${waitingPanel(this.writes, formats)}
      ${clockPanel(today, formats)}
      ${nextPanel(today, formats)}
      <section class="bench-more">
        <a class="button big" id="found" href="/bench/report">Found something</a>
        <div class="row"><a class="button big" href="/bench/report?as=seen">Seen on the frame</a></div>
        <div class="row"><button type="button" class="big" id="wait" data-act="wait">Waiting</button><button type="button" class="big" id="type" data-act="type">Type hours</button></div>
        <details id="mine"><summary>Logged today: ${formats.minutes(today.minutes_today)}</summary>
          ${today.entries.length > 0 ? html`<ul class="rows">${today.entries.map((e) => entryRow(e, formats))}</ul>` : html`<p class="empty">Nothing yet. Your entries of today stand here and can be corrected.</p>`}
        </details>
        ${ownHours(today.roster, formats)}
      </section>`,
    );
  }

  /** What happens on the screen and elsewhere from now on. */
  follow() {
    const { signal, changed, formats } = this.context;
    on(this.root, "click", "[data-act]", (button) => void this.act(button), signal);
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    let soon;
    changed(({ what }) => {
      if (what !== "floor") return void this.refresh();
      // A plan in the making reports every second.
      soon ??= setTimeout(() => {
        soon = undefined;
        void this.refresh();
      }, 1500);
    });
    let before = this.writes.length;
    this.queue.watch((writes) => {
      this.writes = writes;
      this.draw();
      // Something went up: the server knows more now.
      if (writes.length < before) void this.refresh();
      before = writes.length;
    }, signal);
    const timer = setInterval(() => {
      const { clock } = this.today;
      const place = this.root.querySelector(".elapsed");
      if (clock && place) place.textContent = formats.minutes(elapsed(clock));
    }, 5000);
    // After the screen stands: the frames, so that a zone can be picked without a network.
    const later = setTimeout(() => void this.keepFrames().catch(() => {}), 4000);
    signal.addEventListener("abort", () => {
      clearInterval(timer);
      clearTimeout(later);
      clearTimeout(soon);
    });
  }

  async keepFrames() {
    const { keepFrames } = await import("../../lib/frames.js");
    if (!this.keptAt) await keepFrames(this.today, this.context.signal);
  }

  /** @param {HTMLElement} button */
  async act(button) {
    const { context, today } = this;
    const { act, task, entry, key } = button.dataset;
    const card = offered(today).find((c) => c.task_id === task);
    const logged = today.entries.find((e) => e.id === entry);
    if (act === "start" && card) await startTask(context, today, card);
    if (act === "stop") await stopClock(context, today);
    if (act === "wait") await startWaiting(context, today);
    if (act === "correct" && logged) await correct(context, logged);
    if (act === "type") await typeHours(context, await this.cards());
    if (act === "again" && key) await this.typeAgain(key);
    if (act === "drop" && key) await this.queue.drop(key);
    if (!context.signal.aborted) await this.refresh();
  }

  /** A refused write typed in as hours; kept, it takes the refused one's place. @param {string} key */
  async typeAgain(key) {
    const known = this.writes.filter((w) => w.key === key).map(toType)[0];
    if (known && (await typeHours(this.context, await this.cards(), known))) await this.queue.drop(key);
  }

  /** All tasks to log against; without a network those of Today. @returns {Promise<TaskCard[]>} */
  async cards() {
    try {
      return (await get("/api/bench/tasks", { signal: this.context.signal })).items;
    } catch {
      const { today } = this;
      return [...(today.clock_task ? [today.clock_task] : []), ...offered(today)];
    }
  }
}

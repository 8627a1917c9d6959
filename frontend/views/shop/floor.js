// @ts-check
// The floor: all jobs as one picture of the next weeks. Where the plan stands, promises at risk first, the
// picture, why a task stands where it stands, what would be if, and what one more would save. Owners decide;
// technicians read. Each part is drawn again only when what it shows has changed.

import { calendarDialog } from "../../components/calendar-link.js";
import "../../components/floor/bf-floor.js";
import { calendarList, calendarRows } from "../../components/floor/calendars.js";
import { promiseTable } from "../../components/floor/promises.js";
import { skeleton, standingPart } from "../../components/floor/standing.js";
import { answer, savedList } from "../../components/floor/tried.js";
import { changeList, showKind, whatIfForm } from "../../components/floor/what-if.js";
import { whyHere } from "../../components/floor/why.js";
import { live } from "../../components/live.js";
import { renderKeeping } from "../../components/shop-keep.js";
import { get } from "../../lib/call.js";
import { html, make, on, render } from "../../lib/html.js";
import { listenFloor } from "./floor-acts.js";

/** @import { BfFloor } from "../../components/floor/bf-floor.js" */
/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Context } from "../../lib/router.js" */

/** @typedef {Schemas["ShopFloor"]} Floor */
/** @typedef {Schemas["Trial"]} Trial */
/** @typedef {Schemas["CalendarLink"]} Link */
/** @typedef {{ floor: Floor, saved: Trial[], calendars: Link[] }} Read */

/** @type {import("../../lib/router.js").View} */
export default async function view(root, _params, context) {
  await new FloorDesk(root, context).begin();
}

/** What is known of the floor, and its parts on the page. */
export class FloorDesk {
  /** @type {Floor | undefined} */
  floor;
  /** @type {Trial[]} */
  saved = [];
  /** @type {Link[]} */
  calendars = [];
  /** @type {Trial | undefined} */
  trial;
  /** What is tried next, several together. @type {Schemas["FloorChange"][]} */
  changes = [];
  picked = "";
  /** Listens to forms that were drawn anew; set where acts are. */
  hear = () => {};
  /** What each part last showed. @type {Map<Element, string>} */
  #shown = new Map();
  /** @type {Awaited<ReturnType<typeof live<Read>>> | undefined} */
  #live;

  /** @param {HTMLElement} root @param {Context} context */
  constructor(root, context) {
    this.root = root;
    this.context = context;
    this.formats = context.formats;
    this.owner = context.me.person.role === "owner";
    this.picture = /** @type {BfFloor} */ (make("bf-floor", { formats: this.formats, moves: this.owner }));
    render(root, skeleton(this.picture, this.owner));
  }

  async begin() {
    const { signal } = this.context;
    this.#live = await live({
      job: "",
      context: this.context,
      place: this.part("standing"),
      read: async () => {
        const [floor, trials, calendars] = await Promise.all([
          get("/api/floor", { signal }),
          this.owner ? get("/api/floor/trials", { signal }) : { items: [] },
          this.owner ? get("/api/calendar-links", { signal }) : { items: [] },
        ]);
        return { floor, saved: trials.items, calendars: calendars.items };
      },
      draw: (data) => this.take(data),
    });
    this.picture.addEventListener("pick", (e) => this.pick(/** @type {CustomEvent<string>} */ (e).detail), {
      signal,
    });
    if (!this.owner) return;
    listenFloor(this);
    on(this.root, "click", "[data-calendar-kind]", (button) => void this.#calendar(button), signal);
  }

  /** The address of a calendar, and the list as it is after it. @param {HTMLElement} button */
  async #calendar({ dataset }) {
    if (!this.floor) return;
    const rows = calendarRows(this.floor).flatMap(([, each]) => each);
    const row = rows.find((r) => r.kind === dataset["calendarKind"] && r.of === dataset["calendarOf"]);
    if (!row) return;
    const { formats } = this;
    await calendarDialog({ ...row, formats, signal: this.context.signal });
    await this.again();
  }

  /** @param {string} name */
  part(name) {
    return /** @type {HTMLElement} */ (this.root.querySelector(`#floor-${name}`));
  }

  /** @param {Read} data */
  take({ floor, saved, calendars }) {
    this.floor = floor;
    this.saved = saved;
    this.calendars = calendars;
    this.draw();
  }

  /** The server's answer to an own act. @param {Floor} floor */
  answered(floor) {
    const { saved, calendars } = this;
    if (this.#live) this.#live.take({ floor, saved, calendars });
    else this.take({ floor, saved, calendars });
  }

  draw() {
    const { floor, formats, owner } = this;
    if (!floor) return;
    const { plan, proposed, current, overtaken, run } = floor;
    this.#show("standing", [plan?.id, proposed, current, overtaken, run], () =>
      standingPart(floor, formats, owner),
    );
    this.#show("promises", plan && [plan.jobs, plan.unplaced], () =>
      plan ? promiseTable({ jobs: plan.jobs, unplaced: plan.unplaced, owner, formats }) : html``,
    );
    const bare = !plan || plan.jobs.length === 0;
    this.part("drawn").hidden = bare;
    this.root.querySelector(".floor-ask")?.toggleAttribute("data-bare", bare);
    const again = this.root.querySelector("#plan-again");
    if (again) again.textContent = plan ? "Plan again" : "Plan the floor";
    const { now: _, run: __, ...drawn } = floor;
    if (this.#moved(this.picture, drawn)) this.picture.floor = floor;
    this.why();
    if (!owner) return;
    this.#show("saved", this.saved, () => savedList(this.saved, formats));
    const called = calendarRows(floor);
    this.#show("calendars", [this.calendars, called], () => calendarList(floor, this.calendars, formats));
    this.part("tried").hidden = !this.trial;
    this.#show("tried", this.trial, () => answer({ trial: this.trial, formats }));
    const asks = [floor.people, floor.skills, floor.stations, plan?.jobs.map((j) => j.job_id), plan?.id];
    if (this.#moved(this.part("if"), asks)) this.#form(floor);
  }

  why() {
    const { floor, formats, owner, picked } = this;
    if (!floor) return;
    const bar = floor.plan?.bars.find((b) => b.task_id === picked);
    this.#show("why", [bar, floor.people, floor.stations], () => whyHere({ floor, bar, formats, owner }));
  }

  /** @param {string} name @param {unknown} from @param {() => import("../../lib/html.js").Markup} draw */
  #show(name, from, draw) {
    const place = this.part(name);
    if (!this.#moved(place, from)) return;
    render(place, draw());
    this.hear();
  }

  /** @param {Element} place @param {unknown} from */
  #moved(place, from) {
    const now = JSON.stringify(from) ?? "";
    if (this.#shown.get(place) === now) return false;
    this.#shown.set(place, now);
    return true;
  }

  /** What is being typed stays where the choices are still there. @param {Floor} floor */
  #form(floor) {
    const place = this.part("if");
    renderKeeping(place, whatIfForm(floor, this.formats.dayOf(floor.now)), { own: false });
    const form = place.querySelector("form");
    if (form) showKind(form);
    this.list();
  }

  list() {
    const place = this.root.querySelector("#if-list");
    if (place && this.floor) render(place, changeList(this.changes, this.floor, this.formats));
  }

  /** @param {string} task */
  pick(task) {
    this.picked = task;
    this.why();
    // Where the picture is a list, what was picked is far above.
    if (task && !this.picture.querySelector("svg.floor-svg"))
      this.part("why").scrollIntoView({ block: "nearest" });
  }

  /** The fields are free, and what was moved stands where the plan has it. */
  clear() {
    const form = this.root.querySelector("#if-form");
    if (form instanceof HTMLFormElement) {
      form.reset();
      showKind(form);
    }
    this.list();
    this.picture.putBack();
  }

  async again() {
    await this.#live?.again();
  }
}

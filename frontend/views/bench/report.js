// @ts-check
// Found something: zone, what, condition, size, photos, work; and in a smaller form what was seen on the
// frame at a moment. Kept on the device first, so it takes a minute with a network or without.
//
//   /bench/report/JOB?task=ID&zone=WORDS    from a task      ?as=seen    an observation
//   ?again=KEY    a refused one, as it was typed

import { clearProblem, showProblem } from "../../components/bf-problem.js";
import "../../components/frame/bf-frame.js";
import { badgesOf, conditionsAt } from "../../components/frame/seen.js";
import { benchQueue, instantNow, withPhotos } from "../../lib/bench.js";
import { ApiProblem, get, NetworkProblem, post } from "../../lib/call.js";
import { onSubmit, showErrors } from "../../lib/form.js";
import { frameOf, meant } from "../../lib/frames.js";
import { html, make, on, render } from "../../lib/html.js";
import { smaller } from "../../lib/photos.js";
import { keepToday, keptToday } from "../../lib/shelf.js";
import { findingWhat, word } from "../../lib/words.js";
import { draftOf, outcome, photoList, questions, suggestions, zoneMatches } from "./report-parts.js";

/** @import { Schemas, Today } from "../../lib/contract.js" */
/** @import { Context } from "../../lib/router.js" */
/** @import { Write } from "../../lib/queue.js" */

/** A photo here, or one that a refused report had sent up already. @typedef {{ url: string, blob?: Blob, id?: string }} Shot */

/** @type {import("../../lib/router.js").View} */
export default async function view(root, params, context) {
  const screen = new Report(root, context);
  await screen.begin(params["job"] ?? "");
}

class Report {
  /** @param {HTMLElement} root @param {Context} context */
  constructor(root, context) {
    this.root = root;
    this.context = context;
    this.queue = benchQueue(context.me);
    this.seen = context.query.get("as") === "seen";
    this.again = context.query.get("again") ?? "";
    /** @type {Schemas["BenchJob"][]} */
    this.jobs = [];
    this.job = "";
    /** @type {Schemas["Frame"] | undefined} */
    this.frame = undefined;
    this.zone = "";
    /** @type {Shot[]} */
    this.shots = [];
    /** @type {Set<string>} */
    this.repairs = new Set();
    this.asked = 0;
    /** Nobody came from a job's task: the job is a question. */
    this.asksJob = false;
  }

  get zones() {
    return this.frame?.zones ?? [];
  }

  /** @param {string} job */
  async begin(job) {
    const { me, signal } = this.context;
    const today = await todayOf(me.person.id, signal);
    this.jobs = today.jobs;
    this.asksJob = job === "";
    this.job = job || (today.clock?.job_id ?? today.next[0]?.job_id ?? today.jobs[0]?.id ?? "");
    const old = (await this.queue.mine()).find((w) => w.key === this.again);
    this.draw(old);
    this.follow();
    await this.readFrame(old);
  }

  /** The form, once; its parts are drawn by themselves so that nothing typed is lost. @param {Write | undefined} old */
  draw(old) {
    const { seen, jobs, job } = this;
    const known = /** @type {Partial<Schemas["FindingDraft"] & Schemas["ObservationDraft"]>} */ (
      old && !old.feeds ? old.body : {}
    );
    this.shots = (known.photo_ids ?? []).map((id) => ({ id, url: `/api/photos/${id}/thumb` }));
    this.repairs = new Set(known.repairs);
    render(
      this.root,
      html`<h1>${seen ? "Seen on the frame" : "Found something"}</h1>${job ? questions({ seen, jobs: this.asksJob ? jobs : jobs.filter((j) => j.id === job), job, known }) : html`<p class="empty">No job is in work. When the owner has a quote accepted, what is found on its frame is reported here.</p>`}`,
    );
    this.drawShots();
    this.ask();
  }

  /** @param {string} name @returns {HTMLElement} */
  part(name) {
    return /** @type {HTMLElement} */ (this.root.querySelector(`[data-part="${name}"]`));
  }

  get form() {
    return /** @type {HTMLFormElement} */ (this.root.querySelector("form"));
  }

  /** @param {Write} [old] */
  async readFrame(old) {
    if (!this.job) return;
    this.frame = undefined;
    const place = this.part("zone");
    render(place, html`<p class="second">The frame is on its way.</p>`);
    try {
      this.frame = await frameOf(this.job, this.context.signal);
    } catch (error) {
      render(place, html``);
      if (error instanceof NetworkProblem)
        render(
          place,
          html`<p class="note watch">No network, and this job's frame is not on this device yet. Open Today once with a network; from then on its zones are here.</p>`,
        );
      else showProblem(place, error);
      return;
    }
    const wanted = /** @type {{ zone_id?: string } | undefined} */ (old?.body)?.zone_id;
    this.zone =
      this.zones.find((z) => z.id === wanted)?.id ?? meant(this.zones, this.context.query.get("zone") ?? "");
    this.drawZone();
  }

  drawZone() {
    const place = this.part("zone");
    const { zones, frame } = this;
    const zone = zones.find((z) => z.id === this.zone);
    if (zones.length === 0) {
      render(
        place,
        html`<p class="empty">This job has no frame drawn yet. The owner lays it out under Survey; then its zones can be picked here. Tell the owner meanwhile what you found.</p>`,
      );
      return;
    }
    if (zone) {
      render(
        place,
        html`<div class="row between"><p class="lead"><strong>${zone.name}</strong></p><button type="button" id="other-zone" data-act="zone">Another zone</button></div>`,
      );
      return;
    }
    const drawing = make("bf-frame", {
      zones,
      conditions: conditionsAt(frame?.observations ?? [], "", (mm) => `${mm} mm`),
      badges: badgesOf(frame?.findings ?? []),
      label: "Frame in plan, front at the top",
      upright: true,
    });
    drawing.addEventListener("pick", (event) => this.pick(/** @type {CustomEvent<string>} */ (event).detail));
    render(
      place,
      html`<div class="field"><label for="zone-search">Find a zone by its name, or pick it on the drawing</label><input type="search" id="zone-search" autocomplete="off"></div><div data-part="matches" role="status"></div>${drawing}`,
    );
  }

  /** @param {string} id */
  pick(id) {
    this.zone = id;
    this.drawZone();
    clearProblem(this.form);
    const next = this.root.querySelector("fieldset");
    next?.scrollIntoView({ block: "start" });
    this.root
      .querySelector("#other-zone")
      ?.setAttribute("aria-label", `Another zone than ${this.zoneName()}`);
    /** @type {HTMLElement | null} */ (this.root.querySelector("fieldset input:not([type=hidden])"))?.focus({
      preventScroll: true,
    });
  }

  zoneName() {
    return this.zones.find((z) => z.id === this.zone)?.name ?? "";
  }

  drawShots() {
    if (this.job) render(this.part("photos"), photoList(this.shots.map((s) => s.url)));
  }

  follow() {
    const { root } = this;
    const { signal } = this.context;
    if (!this.job) return;
    on(root, "click", "[data-act]", (button) => this.act(button), signal);
    on(
      root,
      "input",
      "#zone-search",
      (input) =>
        render(this.part("matches"), zoneMatches(this.zones, /** @type {HTMLInputElement} */ (input).value)),
      signal,
    );
    on(
      root,
      "change",
      "input, select",
      (input) => this.changed(/** @type {HTMLInputElement} */ (input)),
      signal,
    );
    onSubmit(
      this.form,
      () => this.submit(),
      (error) => this.refused(error),
      signal,
    );
    signal.addEventListener("abort", () => this.forgetShots());
  }

  forgetShots() {
    for (const { url, blob } of this.shots) if (blob) URL.revokeObjectURL(url);
    this.shots = [];
  }

  /** @param {HTMLElement} button */
  act(button) {
    const { act, zone, shot, step } = button.dataset;
    if (act === "zone") {
      this.zone = zone ?? "";
      if (zone) this.pick(zone);
      else this.drawZone();
    }
    if (act === "unshoot") {
      const [gone] = this.shots.splice(Number(shot), 1);
      if (gone?.blob) URL.revokeObjectURL(gone.url);
      this.drawShots();
    }
    if (act === "count") {
      const input = /** @type {HTMLInputElement} */ (this.form.elements.namedItem("count"));
      input.value = String(Math.min(100, Math.max(1, (Number(input.value) || 1) + Number(step))));
      this.ask();
    }
  }

  /** @param {HTMLInputElement} input */
  changed(input) {
    if (input.type === "file") void this.shoot(input);
    else if (input.name === "job") {
      this.job = input.value;
      this.zone = "";
      this.repairs.clear();
      void this.readFrame();
      this.ask();
    } else if (input.name === "repairs") {
      this.repairs[input.checked ? "add" : "delete"](input.value);
    } else {
      if (input.name === "what") this.grade(input.value);
      this.ask();
    }
  }

  /** What was found often says how the steel is. @param {string} what */
  grade(what) {
    const grade = { perforation: "perforated", patch_over_rot: "patched" }[what];
    const chosen = this.form.querySelector("[name=condition]:checked");
    if (!grade || (chosen instanceof HTMLInputElement && chosen.value)) return;
    const radio = this.form.querySelector(`[name=condition][value=${grade}]`);
    if (radio instanceof HTMLInputElement) radio.checked = true;
  }

  /** @param {HTMLInputElement} input */
  async shoot(input) {
    const files = [...(input.files ?? [])];
    input.value = "";
    const { form } = this;
    form.setAttribute("aria-busy", "true");
    // One after the other: a phone has no memory for ten photos at once.
    for (const file of files) {
      const blob = await smaller(file).catch(() => undefined);
      if (this.context.signal.aborted) return;
      if (blob) this.shots.push({ blob, url: URL.createObjectURL(blob) });
    }
    form.removeAttribute("aria-busy");
    this.drawShots();
  }

  /** Asks the repair list when what it depends on has changed. */
  ask() {
    if (this.seen || !this.job) return;
    this.asked += 1;
    const mine = this.asked;
    setTimeout(() => mine === this.asked && !this.context.signal.aborted && void this.suggest(mine), 250);
  }

  /** @param {number} mine */
  async suggest(mine) {
    const {
      what,
      condition,
      length_mm,
      width_mm,
      count = 1,
    } = /** @type {Schemas["FindingDraft"]} */ (draftOf(this.form, false));
    const place = this.part("repairs");
    if (!what)
      return render(place, html`<p class="second">Say what it is; the repair list answers here.</p>`);
    const size = { ...(length_mm ? { length_mm } : {}), ...(width_mm ? { width_mm } : {}) };
    try {
      const body = { what, ...(condition ? { condition } : {}), ...size, count };
      const list = await post("/api/jobs/{job}/repairs", {
        path: { job: this.job },
        body,
        signal: this.context.signal,
      });
      if (mine !== this.asked) return;
      const offered = new Set(list.items.map((r) => r.code));
      for (const code of this.repairs) if (!offered.has(code)) this.repairs.delete(code);
      render(place, suggestions(list, this.repairs, this.context.formats));
    } catch (error) {
      if (mine !== this.asked) return;
      if (error instanceof NetworkProblem)
        render(
          place,
          html`<p class="second">No network: work is suggested when there is one. Report it without; the owner chooses the work.</p>`,
        );
      else {
        render(place, html``);
        showProblem(place, error);
      }
    }
  }

  async submit() {
    const { form, seen } = this;
    clearProblem(form);
    const draft = draftOf(form, seen);
    const missing = [
      ...(this.zone
        ? []
        : [{ pointer: "/zone_id", detail: "Pick the zone, by its name or on the drawing." }]),
      ...(!seen && !("what" in draft && draft.what)
        ? [{ pointer: "/what", detail: "Choose what it is." }]
        : []),
      ...(seen && !draft.condition ? [{ pointer: "/condition", detail: "Choose how the steel is." }] : []),
    ];
    if (missing.length > 0) {
      throw new ApiProblem({
        type: "about:blank",
        title: "Something is missing",
        status: 422,
        detail: "Something is missing yet.",
        errors: missing,
      });
    }
    const task = this.context.query.get("task");
    const body = {
      ...draft,
      zone_id: this.zone,
      photo_ids: this.shots.flatMap((s) => (s.id ? [s.id] : [])),
      ...(seen ? {} : { repairs: [...this.repairs], ...(task ? { task_id: task } : {}) }),
    };
    const blobs = this.shots.flatMap((s) => (s.blob ? [s.blob] : []));
    const what = "what" in draft ? word(findingWhat, draft.what) : "Seen";
    const writes = withPhotos(
      seen ? "/api/jobs/{job}/observations" : "/api/jobs/{job}/findings",
      this.job,
      /** @type {Schemas["FindingDraft"]} */ (body),
      blobs,
      `${what}, ${this.zoneName()}`,
    );
    // Ask once that the browser does not clear photos away by itself.
    navigator.storage?.persist?.().catch(() => {});
    await this.queue.keep(writes);
    if (this.again) await this.queue.drop(this.again);
    this.forgetShots();
    this.kept(/** @type {string} */ (writes.at(-1)?.key));
  }

  /** @param {unknown} error */
  refused(error) {
    showProblem(this.form, error);
    if (!(error instanceof ApiProblem)) return;
    if (showErrors(this.form, error) === 0) this.form.scrollIntoView({ block: "start" });
    else this.form.querySelector("[data-error-of]:not([hidden])")?.scrollIntoView({ block: "center" });
  }

  /** What becomes of it, from the device to the owner. @param {string} key */
  kept(key) {
    const { context, seen, job } = this;
    // An answer of the repair list that is still on its way has no place any more.
    this.asked += 1;
    render(
      this.root,
      html`<h1>${seen ? "Kept" : "Thank you"}</h1><div role="status" data-part="outcome"></div>
      <div class="stack"><a class="button big act" href="/bench">Back to Today</a><a class="button big" href="/bench/report/${job}${seen ? "?as=seen" : ""}">${seen ? "Seen something else" : "Found something else"}</a><a class="button big" href="/bench/found">What was found</a></div>`,
    );
    scrollTo(0, 0);
    const heading = this.root.querySelector("h1");
    heading?.setAttribute("tabindex", "-1");
    heading?.focus();
    this.queue.watch((writes) => {
      const mine = writes.filter((w) => w.key === key || w.feeds === key);
      render(this.part("outcome"), outcome(mine, key, seen));
    }, context.signal);
  }
}

/** Today from the server, or as it was kept. @param {string} person @param {AbortSignal} signal @returns {Promise<Today>} */
async function todayOf(person, signal) {
  try {
    const today = await get("/api/bench/today", { signal });
    keepToday(person, today, instantNow()).catch(() => {});
    return today;
  } catch (error) {
    const kept = error instanceof NetworkProblem ? await keptToday(person) : undefined;
    if (!kept) throw error;
    return kept.today;
  }
}

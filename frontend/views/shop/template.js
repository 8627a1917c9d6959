// @ts-check
// The template editor: the plan as a parts list, edited in place and in sheets, every step of which can be
// taken back; a sample job beside it, computed by the server as one types; saving makes the next revision.

import { say } from "../../components/bf-toast.js";
import {
  addPhase,
  addTask,
  copyTask,
  placeOf,
  placeTask,
  Steps,
  sampleCar,
} from "../../components/shop-plan.js";
import { markRows } from "../../components/shop-plan-rows.js";
import { copyRule, removeRule } from "../../components/shop-plan-rules.js";
import { ruleRows } from "../../components/shop-rule-rows.js";
import "../../components/shop-sample.js";
import { askBeforeLeaving } from "../../components/shop-saved.js";
import { ApiProblem, get, post } from "../../lib/call.js";
import { attr, html, make, on, render } from "../../lib/html.js";
import { openRule } from "./rule-sheet.js";
import { rowActs, stepKeys } from "./template-acts.js";
import { dragging } from "./template-drag.js";
import { body, head, rest, toolbar } from "./template-page.js";
import { note, save } from "./template-save.js";
import {
  openCaution,
  openHead,
  openLine,
  openOption,
  openTask,
  openVehicleOption,
} from "./template-sheets.js";

/** @import { View } from "../../lib/router.js" */
/** @import { ShopSample } from "../../components/shop-sample.js" */
/** @import { Plan } from "../../components/shop-plan.js" */

/** After the last edit, so that typing is not interrupted. */
const pause = 350;

/** @type {View} */
export default async function view(root, params, { signal, formats, navigate }) {
  const id = params["template"] ?? "";
  const path = { template: id };
  const [first, book, shop, { items: frames }, { items: history }] = await Promise.all([
    get("/api/templates/{template}", { path, signal }),
    get("/api/shop/price-book", { signal }),
    get("/api/shop", { signal }),
    get("/api/frame-layouts", { signal }),
    get("/api/templates/{template}/revisions", { path, signal }),
  ]);
  let template = first;
  const fixed = template.summary.id !== template.newest_id || template.summary.retired;
  const steps = new Steps(template.plan);
  const offers = {
    skills: book.labour.map(({ skill: key, name }) => ({ key, name })),
    stations: shop.settings.stations,
    book,
    frames,
  };
  const panel = /** @type {ShopSample} */ (make("shop-sample", { formats }));

  render(
    root,
    html`<p class="small"><a class="shop-rowlink" href="/shop/templates">All templates</a></p>
    <div id="plan-head"></div>
    <div class="plan-bar no-print" id="plan-bar"></div>
    <div class="shop-estimate"><div class="stack"><fieldset class="plan-body" id="plan-body" ${attr("disabled", fixed)}><legend class="visually-hidden">The plan</legend></fieldset>
      <div id="plan-rules"></div><div id="plan-rest"></div></div>${panel}</div>`,
  );
  const part = (/** @type {string} */ name) =>
    /** @type {HTMLElement} */ (root.querySelector(`#plan-${name}`));

  /** @type {Record<string, string>} */
  let car = {};
  /** @type {import("../../components/shop-sample.js").Answer} */
  let answer = { problems: [] };
  let said = template.rules;
  /** @type {AbortController | undefined} */
  let guard;
  let asking = new AbortController();
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let soon;
  signal.addEventListener("abort", () => {
    clearTimeout(soon);
    asking.abort();
  });

  const showAnswer = () => {
    panel.show(steps.plan, car, answer);
    markRows(part("body"), answer.sample, (amount) => formats.money(amount));
    if (answer.rules) said = answer.rules;
    drawRules();
    bar();
  };

  /** The rules in the words of the last answer; which stand open stays. */
  const drawRules = () => {
    const place = part("rules");
    const open = [...place.querySelectorAll("details[open]")].map((each) => each.id);
    const held = place.contains(document.activeElement) ? document.activeElement?.id : "";
    render(place, ruleRows(steps.plan, said, answer.problems, open, fixed));
    if (held) /** @type {HTMLElement | null} */ (place.querySelector(`[id="${CSS.escape(held)}"]`))?.focus();
  };

  /** Asks for the sample of the plan as it stands; a later question drops an earlier one. @param {number} [after] */
  const compute = (after = pause) => {
    clearTimeout(soon);
    asking.abort();
    asking = new AbortController();
    const mine = asking.signal;
    panel.wait();
    soon = setTimeout(async () => {
      car = sampleCar(steps.plan, car);
      try {
        const body = { template_id: template.summary.id, plan: steps.plan, options: car };
        const got = await post("/api/templates/preview", { body, signal: mine });
        answer = got;
      } catch (error) {
        if (mine.aborted || signal.aborted) return;
        const refused = error instanceof ApiProblem && error.errors.length > 0;
        answer = refused
          ? { problems: error.errors }
          : {
              problems: [],
              failed: error instanceof Error ? error.message : "The sample cannot be computed just now.",
            };
      }
      if (!mine.aborted) showAnswer();
    }, after);
  };

  /** What stands above and below changes with every step; the rows only when they must. @param {boolean} [rows] */
  const draw = (rows = true) => {
    render(part("head"), head(template, steps.plan, formats, fixed));
    if (rows)
      render(
        part("body"),
        html`<legend class="visually-hidden">The plan</legend>${body(steps.plan, offers)}`,
      );
    if (rows) render(part("rest"), rest(template, history, formats));
    if (rows) drawRules();
    bar();
    guarded();
    if (rows) markRows(part("body"), answer.sample, (amount) => formats.money(amount));
  };
  const bar = () => render(part("bar"), toolbar(steps, fixed, answer));
  const guarded = () => {
    if (steps.changed && !guard) {
      guard = new AbortController();
      askBeforeLeaving(AbortSignal.any([signal, guard.signal]));
    } else if (!steps.changed) {
      guard?.abort();
      guard = undefined;
    }
  };

  /** One step, drawn and computed. @param {string} words @param {(plan: Plan) => unknown} act @param {{ rows?: boolean }} [how] */
  const take = (words, act, { rows = true } = {}) => {
    const done = steps.take(words, act);
    if (done) {
      draw(rows);
      compute();
    }
    return done;
  };

  /** @param {"undo" | "redo"} way */
  const back = (way) => {
    const words = steps[way]();
    if (!words) return;
    draw();
    compute();
    say(way === "undo" ? `Taken back: ${words}.` : `Done again: ${words}.`);
  };

  const focusOn = (/** @type {string} */ where) => {
    const element = root.querySelector(`[id="${CSS.escape(where)}"]`);
    if (!(element instanceof HTMLElement)) return;
    const closed = element.closest("details");
    if (closed) closed.open = true;
    element.scrollIntoView({ block: "center" });
    element.focus();
  };

  const desk = {
    get plan() {
      return steps.plan;
    },
    offers,
    currency: formats.currency,
    signal,
    take,
    methods: template.methods,
    quantities: template.quantities,
    said: (/** @type {string} */ key) => said.find((rule) => rule.key === key),
    /** What the server says of a plan that is not taken yet. @param {Plan} plan */
    tried: (plan) =>
      post("/api/templates/preview", {
        body: { template_id: template.summary.id, plan, options: sampleCar(plan, car) },
        signal,
      }),
    copy: (/** @type {string} */ key) => {
      take(`copying ${key}`, (p) => copyTask(p, key));
      focusOn(`t${steps.plan.tasks.findIndex((t) => t.key === key) + 1}-key`);
    },
  };

  const { typedIn, move } = rowActs({ steps, take, focusOn });

  /** @type {Record<string, (button: HTMLElement) => unknown>} */
  const acts = {
    undo: () => back("undo"),
    redo: () => back("redo"),
    save: () => void save(ground()),
    head: () => openHead(desk),
    task: (b) => openTask(desk, Number(b.dataset["at"])),
    follows: (b) => openTask(desk, Number(b.dataset["at"]), true),
    line: (b) => openLine(desk, Number(b.dataset["at"])),
    vehicle: (b) => openVehicleOption(desk, Number(b.dataset["at"])),
    option: (b) => openOption(desk, Number(b.dataset["at"])),
    caution: (b) => openCaution(desk, Number(b.dataset["at"])),
    up: (b) => move(b.dataset["at"] ?? "", -1),
    down: (b) => move(b.dataset["at"] ?? "", 1),
    "add-task": (b) => {
      let key = "";
      take("adding a task", (p) => {
        key = addTask(p, b.dataset["phase"] ?? "").key;
      });
      const at = steps.plan.tasks.findIndex((t) => t.key === key);
      focusOn(`t${at}-name`);
      /** @type {HTMLInputElement | null} */ (root.querySelector(`#t${at}-name`))?.select();
    },
    "add-line": (b) => openLine(desk, -1, "", b.dataset["phase"]),
    "add-phase": () => {
      take("adding a phase", (p) => addPhase(p));
      focusOn(`p${steps.plan.phases.length - 1}-name`);
    },
    "remove-phase": (b) =>
      take("removing a phase", (p) => {
        p.phases = p.phases.filter((each) => each.key !== b.dataset["phase"]);
      }),
    rule: (b) => openRule(desk, Number(b.dataset["at"])),
    "add-rule": () => openRule(desk, -1),
    "copy-rule": (b) => {
      take("copying a rule", (p) => copyRule(p, Number(b.dataset["at"])));
      focusOn(`r${Number(b.dataset["at"]) + 1}-open`);
    },
    "remove-rule": (b) => take("removing a rule", (p) => removeRule(p, Number(b.dataset["at"]))),
    problems: () => focusOn("problems"),
    retire: () => void note(ground(), "retire"),
    restore: (b) => void note(ground(), "restore", b.dataset["id"]),
  };
  on(root, "click", "button[data-do]", (b) => acts[b.dataset["do"] ?? ""]?.(b), signal);
  on(root, "change", "[data-set]", typedIn, signal);
  panel.addEventListener("car", (event) => {
    const { key, value } = /** @type {CustomEvent} */ (event).detail;
    car = { ...car, [key]: value };
    compute(0);
  });
  panel.addEventListener("place", (event) =>
    focusOn(placeOf(steps.plan, /** @type {CustomEvent} */ (event).detail.pointer).id),
  );
  panel.addEventListener("retry", () => compute(0));
  if (!fixed) stepKeys(back, signal);
  dragging(
    part("body"),
    (key, phase, before) => take(`moving ${key}`, (p) => placeTask(p, key, phase, before)),
    signal,
  );

  const ground = () => ({
    steps,
    id,
    template,
    signal,
    take,
    taken: (/** @type {typeof template} */ theirs) => {
      template = theirs;
      steps.saved = JSON.stringify(theirs.plan);
    },
    settle: (/** @type {typeof template} */ saved) => {
      template = saved;
      steps.saved = JSON.stringify(steps.plan);
      guarded();
      navigate(`/shop/templates/${saved.summary.id}`, { replace: true });
    },
    leave: (/** @type {string} */ to) => {
      guard?.abort();
      navigate(to);
    },
  });

  draw();
  compute(0);
  if (location.hash === "#history") root.querySelector("#history")?.scrollIntoView();
}

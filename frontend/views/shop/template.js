// @ts-check
// The template editor: the plan as a parts list, edited in place and in sheets, every step of which can be
// taken back; a sample job beside it, computed by the server as one types; saving makes the next revision.

import { dialog } from "../../components/bf-dialog.js";
import { say } from "../../components/bf-toast.js";
import { optionLabel } from "../../components/shop-option-form.js";
import {
  addPhase,
  addTask,
  copyTask,
  planRows as inWords,
  moveIn,
  moveTask,
  placeOf,
  placeTask,
  renameTask,
  Steps,
  sampleCar,
} from "../../components/shop-plan.js";
import { markRows, planRows } from "../../components/shop-plan-rows.js";
import "../../components/shop-sample.js";
import { askBeforeLeaving } from "../../components/shop-saved.js";
import { askWhichVersion } from "../../components/shop-versions.js";
import { counted } from "../../components/shop-words.js";
import { ApiProblem, get, post, put } from "../../lib/call.js";
import { field, text } from "../../lib/form.js";
import { attr, html, make, on, render } from "../../lib/html.js";
import {
  openCaution,
  openHead,
  openLine,
  openOption,
  openTask,
  openVehicleOption,
  typed,
} from "./template-sheets.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { View } from "../../lib/router.js" */
/** @import { ShopSample } from "../../components/shop-sample.js" */
/** @import { Plan } from "../../components/shop-plan.js" */

/** @typedef {Schemas["TemplateDetail"]} Template */

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
      <div id="plan-rest"></div></div>${panel}</div>`,
  );
  const part = (/** @type {string} */ name) =>
    /** @type {HTMLElement} */ (root.querySelector(`#plan-${name}`));

  /** @type {Record<string, string>} */
  let car = {};
  /** @type {import("../../components/shop-sample.js").Answer} */
  let answer = { problems: [] };
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
    bar();
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
    copy: (/** @type {string} */ key) => {
      take(`copying ${key}`, (p) => copyTask(p, key));
      focusOn(`t${steps.plan.tasks.findIndex((t) => t.key === key) + 1}-key`);
    },
  };

  /** A field of a row. @param {HTMLElement} control */
  const typedIn = (control) => {
    const input = /** @type {HTMLInputElement} */ (control);
    const { set = "", task, lineAt, phaseAt } = input.dataset;
    const value = typed(set, input.value);
    input.removeAttribute("aria-invalid");
    // What was taken as a step is undone by the editor, and no longer by the field.
    if (value !== undefined && input instanceof HTMLInputElement) {
      input.value = String(value);
      input.defaultValue = input.value;
    }
    if (value === undefined) return input.setAttribute("aria-invalid", "true");
    if (set === "key") {
      const from = steps.plan.tasks[Number(task)]?.key ?? "";
      if (from === value) return;
      const ruled = template.rules.some((r) => r.task === from);
      if (ruled) say(`The rules name ${from}: with another code the task follows the frame no longer.`);
      if (!take(`changing the code of ${from}`, (p) => renameTask(p, from, String(value)))) {
        input.setAttribute("aria-invalid", "true");
        say(
          `A code is 1 to 12 letters, digits, points or hyphens, and stands once: ${value || "it"} cannot be taken.`,
        );
      }
      return;
    }
    take(
      `changing ${input.getAttribute("aria-label") ?? set}`,
      (p) => {
        const row = task
          ? p.tasks[Number(task)]
          : lineAt
            ? p.lines[Number(lineAt)]
            : p.phases[Number(phaseAt)];
        const [a = "", b] = set.split("/");
        const target = /** @type {any} */ (row);
        if (b) target[a][b] = value;
        else target[a] = value;
      },
      { rows: false },
    );
  };

  /** @param {string} at p3 or t3 @param {-1 | 1} way */
  const move = (at, way) => {
    const n = Number(at.slice(1));
    const button = (/** @type {number} */ to) => `${at[0]}${to}-${way < 0 ? "up" : "down"}`;
    if (at[0] === "p") {
      take("moving a phase", (p) => moveIn(p.phases, n, way));
      return focusOn(button(n + way));
    }
    const key = steps.plan.tasks[n]?.key ?? "";
    take(`moving ${key}`, (p) => moveTask(p, key, way));
    focusOn(button(steps.plan.tasks.findIndex((t) => t.key === key)));
  };

  /** @type {Record<string, (button: HTMLElement) => unknown>} */
  const acts = {
    undo: () => back("undo"),
    redo: () => back("redo"),
    save: () => void save(),
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
    problems: () => focusOn("problems"),
    retire: () => void note("retire"),
    restore: (b) => void note("restore", b.dataset["id"]),
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
  document.addEventListener(
    "keydown",
    (event) => {
      if (fixed || !(event.ctrlKey || event.metaKey) || document.querySelector("dialog[open]")) return;
      const key = event.key.toLowerCase();
      const way = key === "y" || (key === "z" && event.shiftKey) ? "redo" : key === "z" ? "undo" : undefined;
      const at = document.activeElement;
      // What is being typed is the field's own to take back.
      if (!way || (at instanceof HTMLInputElement && at.value !== at.defaultValue)) return;
      event.preventDefault();
      back(way);
    },
    { signal },
  );
  dragging(
    part("body"),
    (key, phase, before) => take(`moving ${key}`, (p) => placeTask(p, key, phase, before)),
    signal,
  );

  /** @param {Template} saved */
  const settle = (saved) => {
    template = saved;
    steps.saved = JSON.stringify(steps.plan);
    guarded();
    navigate(`/shop/templates/${saved.summary.id}`, { replace: true });
  };

  async function save() {
    const f = { form: "save" };
    /** @type {Template | undefined} */
    let now;
    const send = (/** @type {string} */ words, /** @type {number} */ version) =>
      put("/api/templates/{template}", { path, body: { plan: steps.plan, note: words }, version, signal });
    let words = "";
    /** @type {Template | undefined} */
    let saved;
    await dialog({
      title: `Save as revision ${template.newest_revision + 1}`,
      body: html`<p>New jobs are made from it. Jobs that there are keep the revision they were made from.</p>
        ${field({ ...f, name: "note", label: "What was changed, and why", type: "textarea", rows: 2, maxlength: 500 })}`,
      action: "Save the template",
      signal,
      submit: async (data) => {
        words = text(data, "note");
        try {
          saved = await send(words, template.newest_revision);
        } catch (error) {
          if (!(error instanceof ApiProblem && error.status === 412 && error.evidence)) throw error;
          now = /** @type {Template} */ (error.evidence);
        }
      },
    });
    const theirs = now;
    if (theirs) {
      const kept = await askWhichVersion({
        what: steps.plan.name,
        mine: inWords(steps.plan),
        theirs: inWords(theirs.plan),
        signal,
        keep: async () => {
          saved = await send(words, theirs.newest_revision);
        },
      });
      if (!kept && !signal.aborted) {
        // Mine is one step back, so that nothing typed is lost.
        template = theirs;
        steps.saved = JSON.stringify(theirs.plan);
        take("taking what somebody else saved", (p) => Object.assign(p, structuredClone(theirs.plan)));
        say("This is what is stored now. Undo brings yours back.");
      }
    }
    if (!saved) return;
    say(`Saved as revision ${saved.summary.revision}.`);
    settle(saved);
  }

  /** @param {"retire" | "restore"} way @param {string} [of] the revision */
  async function note(way, of = id) {
    const retire = way === "retire";
    /** @type {Template | undefined} */
    let saved;
    await dialog({
      title: retire ? `Retire ${template.summary.name}` : "Bring this revision back",
      body: html`<p>${retire ? "No new jobs are made from it. Every revision stays readable, and any of them can be brought back." : "Its plan becomes the newest revision. The ones between stay in the history."}</p>
        ${steps.changed ? html`<p class="note watch">What you changed here and did not save is lost.</p>` : ""}
        ${field({ form: "note", name: "note", label: "Why", type: "textarea", rows: 2, maxlength: 500 })}`,
      action: retire ? "Retire it" : "Bring it back",
      grave: retire,
      signal,
      submit: async (data) => {
        const options = { body: { note: text(data, "note") }, version: template.newest_revision, signal };
        saved = retire
          ? await post("/api/templates/{template}/retire", { path: { template: of }, ...options })
          : await post("/api/templates/{template}/restore", { path: { template: of }, ...options });
      },
    });
    if (!saved) return;
    guard?.abort();
    navigate(retire ? "/shop/templates" : `/shop/templates/${saved.summary.id}`);
  }

  draw();
  compute(0);
  if (location.hash === "#history") root.querySelector("#history")?.scrollIntoView();
}

/** @param {Template} template @param {Plan} plan @param {Formats} formats @param {boolean} fixed */
function head({ summary, newest_id, newest_revision }, plan, formats, fixed) {
  const old = summary.id !== newest_id;
  return html`<div class="row between"><h1>${plan.name}</h1>${fixed ? "" : html`<a class="button" href="/shop/jobs/new?template=${summary.id}">Make a job from it</a>`}</div>
    <p class="second">Revision ${summary.revision}${summary.saved_at ? `, saved ${formats.instant(summary.saved_at)}` : ""}${summary.saved_by ? ` by ${summary.saved_by}` : ""}${summary.note ? `: ${summary.note}` : ""}.</p>
    ${fixed ? html`<p class="note watch">${old ? html`This is an old revision, to read. <a href="/shop/templates/${newest_id}">Revision ${newest_revision}</a> is the newest.` : "This template is retired: no new jobs are made from it."}</p><p class="shop-actions"><button type="button" data-do="restore" data-id="${summary.id}">Bring this revision back</button></p>` : ""}
    ${plan.description ? html`<p class="shop-lines">${plan.description}</p>` : ""}`;
}

/** @param {Steps} steps @param {boolean} fixed @param {{ problems: unknown[] }} answer */
function toolbar(steps, fixed, { problems }) {
  if (fixed) return html``;
  const last = steps.past.at(-1)?.words;
  const next = steps.future.at(-1)?.words;
  return html`<button type="button" id="undo" data-do="undo" ${attr("disabled", !last)} title="${last ?? ""}">Undo<span class="visually-hidden">${last ? `: ${last}` : ""}</span></button>
    <button type="button" id="redo" data-do="redo" ${attr("disabled", !next)} title="${next ?? ""}">Redo<span class="visually-hidden">${next ? `: ${next}` : ""}</span></button>
    <button type="button" id="save" class="act" data-do="save" ${attr("disabled", !steps.changed)}>Save</button>
    <a class="shop-narrow" href="#sample">Sample job</a>
    ${problems.length > 0 ? html`<a class="shop-rowlink tone-stop" href="#problems">${counted(problems.length, "thing")} to put right</a>` : ""}
    <span class="second">${steps.changed ? "Not saved yet." : ""}</span>`;
}

/** @param {Plan} plan @param {import("../../components/shop-plan-rows.js").Offers} offers */
function body(plan, offers) {
  const frame = offers.frames.find((each) => each.code === plan.frame);
  return html`<p class="shop-actions"><button type="button" id="open-head" data-do="head">Name, description and frame</button><span class="second">${plan.frame ? `A job begins with the frame ${frame?.name ?? plan.frame}.` : "A job begins without a frame."}</span></p>
    <section class="sheet"><h2>What about the vehicle changes the work</h2><p class="shop-actions">${plan.vehicle_options.map((option, n) => html`<button type="button" id="v${n}" data-do="vehicle" data-at="${n}">${option.name}<span class="small">: ${option.choices.map((c) => c.name).join(" or ")}</span></button>`)}<button type="button" data-do="vehicle" data-at="-1">Add</button></p></section>
    ${planRows(plan, offers)}
    <p class="shop-actions"><button type="button" data-do="add-phase">Add a phase</button></p>
    <section class="sheet"><h2>Options the client may choose</h2><p class="shop-actions">${plan.options.map((option, n) => html`<button type="button" id="o${n}" data-do="option" data-at="${n}">${optionLabel(option)}${option.taken ? html`<span class="small"> (advised)</span>` : ""}</button>`)}<button type="button" data-do="option" data-at="-1">Add an option</button></p></section>
    <section class="sheet"><h2>Cautions</h2><p class="shop-actions">${plan.cautions.map((caution, n) => html`<button type="button" data-do="caution" data-at="${n}">${caution.key.replaceAll("_", " ")}</button>`)}<button type="button" id="add-caution" data-do="caution" data-at="-1">Add a caution</button></p></section>`;
}

/** @param {Template} template @param {Schemas["TemplateRevision"][]} history @param {Formats} formats */
function rest(template, history, formats) {
  return html`<p class="second">Findings on a job made from it are put right by ${template.own_repairs ? "the template's own" : "the program's"} list of ${counted(template.repairs, "repair")}.</p>
    ${rules(template)}
    <section class="sheet" id="history"><h2>History</h2><div class="shop-scroll"><table class="shop-list shop-stack"><thead><tr><th scope="col">Revision</th><th scope="col">Saved</th><th scope="col">By</th><th scope="col">What</th><th scope="col">Do</th></tr></thead>
    <tbody>${history.map(
      (
        r,
      ) => html`<tr><th scope="row" data-label="Revision"><a class="shop-rowlink" href="/shop/templates/${r.id}">Revision ${r.revision}</a></th><td data-label="Saved">${r.saved_at ? formats.instant(r.saved_at) : "with the installation"}</td><td data-label="By">${r.saved_by}</td><td data-label="What">${r.retired ? html`<span class="state stop">Retired</span> ` : ""}${r.note}</td>
      <td data-label="">${r.id === template.newest_id ? "" : html`<button type="button" data-do="restore" data-id="${r.id}">Bring back<span class="visually-hidden"> revision ${r.revision}</span></button>`}</td></tr>`,
    )}</tbody></table></div>
    ${template.summary.retired ? "" : html`<p class="shop-actions"><button type="button" class="grave" data-do="retire">Retire the template</button></p>`}</section>`;
}

/** How hours and materials follow the frame. They go on from revision to revision as they are. @param {Template} template */
function rules({ rules: all, plan }) {
  if (all.length === 0) return "";
  const strange = new Set(all.map((r) => r.task).filter((key) => !plan.tasks.some((t) => t.key === key)));
  return html`<section class="sheet" id="rules"><h2>How hours and materials follow the frame</h2>
    <p class="second">${counted(all.length, "rule")}, by the codes of tasks: a task with another code follows none.${strange.size > 0 ? ` ${counted(strange.size, "code")} they name ${strange.size === 1 ? "is" : "are"} not in this template: ${[...strange].join(", ")}.` : ""}</p>
    <details id="rules-said"><summary>Read them</summary><dl>${all.map((r) => html`<dt>${r.task} ${r.name}</dt><dd>${r.sentence}${r.source ? html` <span class="small">${r.source}</span>` : ""}</dd>`)}</dl></details></section>`;
}

/**
 * Rows are dragged by their grip; the buttons beside do the same.
 * @param {HTMLElement} place @param {(key: string, phase: string, before?: string) => void} drop @param {AbortSignal} signal
 */
function dragging(place, drop, signal) {
  let key = "";
  const mark = (/** @type {Element | null} */ row) => {
    for (const each of place.querySelectorAll("[data-over]")) each.removeAttribute("data-over");
    row?.setAttribute("data-over", "");
  };
  const rowAt = (/** @type {Event} */ event) =>
    event.target instanceof Element ? event.target.closest("tr") : null;
  place.addEventListener(
    "dragstart",
    (event) => {
      key = /** @type {HTMLElement} */ (event.target).dataset?.["grip"] ?? "";
      if (key) event.dataTransfer?.setData("text/plain", key);
    },
    { signal },
  );
  place.addEventListener(
    "dragover",
    (event) => {
      if (!key) return;
      event.preventDefault();
      mark(rowAt(event));
    },
    { signal },
  );
  place.addEventListener(
    "drop",
    (event) => {
      const row = rowAt(event);
      const phase = row?.closest("tbody")?.dataset["phase"];
      if (!key || !row || phase === undefined) return;
      event.preventDefault();
      // On a band: first in its phase; on a task: before it; below the tasks: last.
      const first = row.hasAttribute("data-drop") && row.nextElementSibling?.getAttribute("data-row");
      drop(key, phase, row.getAttribute("data-row") ?? (first || undefined));
    },
    { signal },
  );
  place.addEventListener(
    "dragend",
    () => {
      key = "";
      mark(null);
    },
    { signal },
  );
}

// @ts-check
// What the owner does on the floor: plans, decides, tries, keeps or puts back, and asks what one more would save.

import { clearProblem, showProblem } from "../../components/bf-problem.js";
import { say } from "../../components/bf-toast.js";
import { reliefTable } from "../../components/floor/tried.js";
import { changeOf, changeWords, showKind } from "../../components/floor/what-if.js";
import { refuse } from "../../components/shop-form.js";
import { get, post, remove } from "../../lib/call.js";
import { onSubmit, text } from "../../lib/form.js";
import { html, on, render } from "../../lib/html.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { FloorDesk } from "./floor.js" */

/** @typedef {Schemas["FloorChange"]} Change */

/** @param {FloorDesk} desk */
export function listenFloor(desk) {
  const { root, context, picture } = desk;
  const { signal } = context;
  on(root, "click", "[data-act]", (button) => void act(desk, button), signal);
  picture.addEventListener(
    "move",
    (event) => {
      const { task, at } = /** @type {CustomEvent<{ task: string, at: string }>} */ (event).detail;
      desk.pick(task);
      void safely(desk, desk.part("drawn"), () => tryOut(desk, [{ kind: "pin_task", task, at }]));
    },
    { signal },
  );
  on(root, "change", "#if-form [name=kind]", (select) => showKind(formOf(select)), signal);
  /** @type {WeakSet<HTMLFormElement>} */
  const heard = new WeakSet();
  desk.hear = () => {
    for (const form of root.querySelectorAll("form")) {
      if (heard.has(form)) continue;
      heard.add(form);
      onSubmit(
        form,
        (data) => {
          clearProblem(form);
          return submit(desk, form.id, data);
        },
        (error) => refuse(form, placed(desk, error)),
        signal,
      );
    }
  };
  desk.hear();
}

/** @param {HTMLElement} inside */
const formOf = (inside) => /** @type {HTMLFormElement} */ (inside.closest("form"));

/** @param {FloorDesk} desk @param {string} form @param {FormData} data */
async function submit(desk, form, data) {
  const { formats, picked: task, changes } = desk;
  if (form === "move-form")
    await tryOut(desk, [{ kind: "pin_task", task, at: formats.instantOf(text(data, "at")) }]);
  if (form === "later-form")
    await tryOut(desk, [
      { kind: "task_not_before", task, at: formats.instantOf(`${text(data, "day")}T00:00`) },
    ]);
  if (form === "save-form") await keep(desk, text(data, "name"));
  if (form !== "if-form") return;
  const last = changeOf(data, formats);
  if (!last && changes.length === 0) return say("Choose what would be different.");
  await tryOut(desk, last ? [...changes, last] : changes);
}

/** A refusal of the last change belongs to the fields of the form. @param {FloorDesk} desk @param {unknown} error */
function placed(desk, error) {
  const last = `/changes/${desk.changes.length}/`;
  if (error instanceof Error && "errors" in error && Array.isArray(error.errors))
    error.errors = error.errors.map((e) => ({ ...e, pointer: e.pointer.replace(last, "/") }));
  return error;
}

/** @param {FloorDesk} desk @param {Change[]} changes */
async function tryOut(desk, changes) {
  const place = desk.part("tried");
  desk.root.setAttribute("aria-busy", "true");
  try {
    const trial = await post("/api/floor/trials", { body: { changes } });
    await leaveBehind(desk);
    desk.trial = trial;
    desk.draw();
    lookAt(place);
  } finally {
    desk.root.removeAttribute("aria-busy");
  }
}

/** @param {HTMLElement} place */
function lookAt(place) {
  place.querySelector("h2")?.focus({ preventScroll: true });
  place.scrollIntoView({ block: "nearest" });
}

/** What was tried before and not saved is forgotten. @param {FloorDesk} desk */
async function leaveBehind(desk) {
  const before = desk.trial;
  desk.trial = undefined;
  if (before && !before.name)
    await remove("/api/floor/trials/{trial}", { path: { trial: before.id } }).catch(() => undefined);
}

/** @param {FloorDesk} desk @param {string} name */
async function keep(desk, name) {
  const { trial } = desk;
  if (!trial) return;
  const path = { trial: trial.id };
  await settled(desk, await post("/api/floor/trials/{trial}/keep", { path, body: { name } }));
  say(`Saved as ${name}.`);
}

/** @param {FloorDesk} desk */
async function adopt(desk) {
  const { trial } = desk;
  if (!trial) return;
  await settled(desk, await post("/api/floor/trials/{trial}/adoption", { path: { trial: trial.id } }));
  say("Made so: it is the shop's plan now.");
}

/** What was tried has become of something. @param {FloorDesk} desk @param {Schemas["ShopFloor"]} floor */
async function settled(desk, floor) {
  desk.trial = undefined;
  desk.changes = [];
  desk.clear();
  desk.answered(floor);
  desk.draw();
  await desk.again();
}

/** @param {FloorDesk} desk @param {string} id */
async function drop(desk, id) {
  await remove("/api/floor/trials/{trial}", { path: { trial: id } });
  if (desk.trial?.id === id) desk.trial = undefined;
  desk.saved = desk.saved.filter((t) => t.id !== id);
  desk.picture.putBack();
  desk.draw();
  await desk.again();
}

/** @param {FloorDesk} desk @param {HTMLElement} place @param {() => unknown} does */
async function safely(desk, place, does) {
  clearProblem(place);
  try {
    await does();
  } catch (error) {
    if (!desk.context.signal.aborted) showProblem(place, error);
  }
}

/** @param {FloorDesk} desk @param {HTMLElement} button */
async function act(desk, button) {
  const place = /** @type {HTMLElement} */ (button.closest("section") ?? desk.part("standing"));
  const does = acts[button.dataset["act"] ?? ""];
  if (does) await safely(desk, place, () => does(desk, button));
}

/** @type {Record<string, (desk: FloorDesk, button: HTMLElement) => unknown>} */
const acts = {
  plan: async (desk) => desk.answered(await post("/api/floor/run", {})),
  stop: async (desk) => desk.answered(await remove("/api/floor/run", {})),
  agree: (desk) => decide(desk, true),
  refuse: (desk) => decide(desk, false),
  unpin: async (desk) => {
    desk.answered(await remove("/api/floor/pins/{task}", { path: { task: desk.picked } }));
    say("The plan decides on this start again; a new plan is being made.");
  },
  adopt,
  drop: (desk) => drop(desk, desk.trial?.id ?? ""),
  forget: (desk, button) => drop(desk, button.dataset["trial"] ?? ""),
  again: (desk) => tryOut(desk, desk.trial?.changes ?? []),
  show: async (desk, button) => {
    await leaveBehind(desk);
    desk.trial = desk.saved.find((t) => t.id === button.dataset["trial"]);
    desk.draw();
    lookAt(desk.part("tried"));
  },
  also,
  less: (desk, button) => {
    desk.changes.splice(Number(button.dataset["at"]), 1);
    desk.list();
  },
  relief,
};

/** @param {FloorDesk} desk @param {boolean} agree */
async function decide(desk, agree) {
  const plan = desk.floor?.proposed?.id ?? "";
  desk.answered(await post("/api/floor/plans/{plan}/decision", { path: { plan }, body: { agree } }));
  say(agree ? "Agreed: it is the shop's plan now." : "Dropped: the plan is as it was.");
}

/** What the fields say joins the list, and they are free for another. @param {FloorDesk} desk @param {HTMLElement} button */
function also(desk, button) {
  const form = formOf(button);
  if (!form.reportValidity()) return;
  const change = changeOf(new FormData(form), desk.formats);
  if (!change) return say("Choose what would be different first.");
  desk.changes.push(change);
  form.reset();
  showKind(form);
  desk.list();
  if (desk.floor) say(`On the list: ${changeWords(change, desk.floor, desk.formats)}.`);
  /** @type {HTMLElement | null} */ (form.querySelector("[name=kind]"))?.focus();
}

/** @param {FloorDesk} desk @param {HTMLElement} button */
async function relief(desk, button) {
  const place = desk.part("relief");
  if (button.getAttribute("aria-disabled")) return;
  button.setAttribute("aria-disabled", "true");
  render(
    place,
    html`<p role="status">Planning the floor once with one more of each; this takes some seconds.</p>`,
  );
  try {
    const { items } = await get("/api/floor/relief", { signal: desk.context.signal });
    render(place, reliefTable(items));
  } catch (error) {
    render(place, html``);
    throw error;
  } finally {
    button.removeAttribute("aria-disabled");
  }
}

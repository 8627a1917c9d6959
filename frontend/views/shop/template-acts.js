// @ts-check
// What is done in the rows of a template itself: a field that was typed in, a row moved by its buttons.

import { say } from "../../components/bf-toast.js";
import { moveIn, moveTask, renameTask } from "../../components/shop-plan.js";
import { typed } from "./template-sheets.js";

/** @import { Plan, Steps } from "../../components/shop-plan.js" */

/**
 * @param {{ steps: Steps, take: (words: string, act: (plan: Plan) => unknown, how?: { rows?: boolean }) => boolean, focusOn: (id: string) => void }} editor
 */
export function rowActs({ steps, take, focusOn }) {
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

  return { typedIn, move };
}

/** Ctrl Z and Ctrl Y take steps back and do them again. @param {(way: "undo" | "redo") => void} back @param {AbortSignal} signal */
export function stepKeys(back, signal) {
  document.addEventListener(
    "keydown",
    (event) => {
      if (!(event.ctrlKey || event.metaKey) || document.querySelector("dialog[open]")) return;
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
}

// @ts-check
// A page of settings that is saved as one: sent with its version; when somebody else saved first, both
// versions are shown and the owner chooses. Leaving with unsaved changes asks first.

import { ApiProblem } from "../lib/call.js";
import { onSubmit } from "../lib/form.js";
import { clearProblem } from "./bf-problem.js";
import { say } from "./bf-toast.js";
import { refuse } from "./shop-form.js";
import { numberRows } from "./shop-rows.js";
import { askWhichVersion } from "./shop-versions.js";

/**
 * @template {{ version: number, settings: any }} Stored
 * @param {HTMLFormElement} form
 * @param {object} page
 * @param {string} page.what
 * @param {number} page.version
 * @param {(form: HTMLFormElement) => Stored["settings"]} page.read
 * @param {(body: Stored["settings"], version: number) => Promise<Stored>} page.send
 * @param {(body: Stored["settings"]) => [string, string][]} page.rows in words, for both versions
 * @param {(stored: Stored) => void} page.show draws the page again from what is stored
 * @param {AbortSignal} page.signal
 */
export function savedAsOne(form, { what, version, read, send, rows, show, signal }) {
  const leaving = new AbortController();
  const changed = () => askBeforeLeaving(AbortSignal.any([signal, leaving.signal]));
  for (const type of ["input", "click"])
    form.addEventListener(
      type,
      (event) => {
        const target = event.target instanceof Element ? event.target : null;
        if (type === "click" && !target?.closest("[data-remove-row], [data-add-row]")) return;
        if (!form.hasAttribute("data-unsaved")) changed();
        form.setAttribute("data-unsaved", "");
      },
      { signal },
    );
  /** @param {Stored} stored */
  const done = (stored) => {
    leaving.abort();
    say(`${what} saved.`);
    show(stored);
  };
  onSubmit(
    form,
    async () => {
      clearProblem(form);
      numberRows(form);
      const mine = read(form);
      try {
        done(await send(mine, version));
      } catch (error) {
        const now =
          error instanceof ApiProblem && error.status === 412
            ? /** @type {Stored | undefined} */ (error.evidence)
            : undefined;
        if (!now?.settings) throw error;
        const kept = await askWhichVersion({
          what,
          mine: rows(mine),
          theirs: rows(now.settings),
          signal,
          keep: async () => done(await send(mine, now.version)),
        });
        if (!kept && !signal.aborted) {
          leaving.abort();
          show(now);
        }
      }
    },
    (error) => refuse(form, error),
    signal,
  );
}

/** Links of this page and closing it ask first, as long as the signal lives. @param {AbortSignal} signal */
export function askBeforeLeaving(signal) {
  addEventListener("beforeunload", (event) => event.preventDefault(), { signal });
  document.addEventListener(
    "click",
    (event) => {
      const link = event.target instanceof Element ? event.target.closest("a[href]") : null;
      if (!(link instanceof HTMLAnchorElement) || link.target) return;
      if (link.hash && link.pathname === location.pathname) return;
      if (!confirm("Leave without saving? What you changed here is lost.")) event.preventDefault();
    },
    { signal, capture: true },
  );
}

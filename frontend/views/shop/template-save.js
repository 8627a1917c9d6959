// @ts-check
// How an edit of a template ends: saved as the next revision, also over somebody else's; retired; an old
// revision brought back.

import { dialog } from "../../components/bf-dialog.js";
import { say } from "../../components/bf-toast.js";
import { planRows as inWords } from "../../components/shop-plan.js";
import { askWhichVersion } from "../../components/shop-versions.js";
import { ApiProblem, post, put } from "../../lib/call.js";
import { field, text } from "../../lib/form.js";
import { html } from "../../lib/html.js";

/** @import { Plan, Steps } from "../../components/shop-plan.js" */
/** @import { Template } from "./template-page.js" */

/**
 * What the ends need of the editor: taken() where another's revision is the stored one now, leave() goes without asking.
 * @typedef {{ steps: Steps, id: string, template: Template, signal: AbortSignal, take: (words: string, act: (plan: Plan) => unknown) => boolean, taken: (theirs: Template) => void, settle: (saved: Template) => void, leave: (to: string) => void }} Ground
 */

/** Saves the plan as the next revision. @param {Ground} ground */
export async function save({ steps, id, template, take, taken, settle, signal }) {
  const path = { template: id };
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
      taken(theirs);
      take("taking what somebody else saved", (p) => Object.assign(p, structuredClone(theirs.plan)));
      say("This is what is stored now. Undo brings yours back.");
    }
  }
  if (!saved) return;
  say(`Saved as revision ${saved.summary.revision}.`);
  settle(saved);
}

/** Retires, or brings a revision back. @param {Ground} ground @param {"retire" | "restore"} way @param {string} [of] the revision */
export async function note({ id, template, steps, signal, leave }, way, of = id) {
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
  leave(retire ? "/shop/templates" : `/shop/templates/${saved.summary.id}`);
}

// @ts-check
// A question in a native <dialog> with a form.
//
//   const done = await dialog({
//     title: "Release the hold", action: "Release the hold",
//     body: html`${field({ name: "reason", label: "What was inspected", type: "textarea", required: true })}`,
//     submit: async (data) => { await post(…) },
//   });
//
// `submit` may throw an ApiProblem: its field problems go beside their fields, the sentence to the top, and
// the dialog stays open with what was typed. Resolves true after a submit, false when it was left.
// https://www.w3.org/WAI/ARIA/apg/patterns/dialog-modal/

import { ApiProblem } from "../lib/call.js";
import { onSubmit, showErrors } from "../lib/form.js";
import { html, render } from "../lib/html.js";
import { clearProblem, showProblem } from "./bf-problem.js";

/** @import { Markup } from "../lib/html.js" */

/**
 * @typedef {object} Question
 * @property {string} title
 * @property {Markup} body
 * @property {string} [action] the verb on the button; without it the dialog only tells
 * @property {string} [leave] the other button
 * @property {boolean} [grave] the action cannot be undone
 * @property {(data: FormData, form: HTMLFormElement) => Promise<void>} [submit]
 * @property {(form: HTMLFormElement) => void} [ready] after it is shown, for listeners inside
 * @property {AbortSignal} [signal] closes it, as when its view is left
 */

export class BfDialog extends HTMLElement {
  /**
   * @param {Question} question
   * @returns {Promise<boolean>}
   */
  ask(question) {
    const { title, body, action, leave, grave, submit } = question;
    render(
      this,
      html`<dialog aria-labelledby="dialog-title">
        <form method="dialog">
          <h2 id="dialog-title">${title}</h2>
          <div class="dialog-body">${body}</div>
          <div class="actions">
            ${action ? html`<button type="submit" class="${grave ? "grave" : "act"}">${action}</button>` : ""}
            <button type="button" data-act="leave">${leave ?? (action ? "Leave it" : "Close")}</button>
          </div>
        </form>
      </dialog>`,
    );
    const box = /** @type {HTMLDialogElement} */ (this.querySelector("dialog"));
    const form = /** @type {HTMLFormElement} */ (this.querySelector("form"));
    const ending = new AbortController();
    return new Promise((resolve) => {
      let done = false;
      box.addEventListener("close", () => {
        ending.abort();
        this.remove();
        resolve(done);
      });
      this.querySelector('[data-act="leave"]')?.addEventListener("click", () => box.close());
      question.signal?.addEventListener("abort", () => box.close(), { once: true, signal: ending.signal });
      onSubmit(
        form,
        async (data) => {
          clearProblem(form);
          await submit?.(data, form);
          done = true;
          box.close();
        },
        (error) => {
          showProblem(form, error);
          if (error instanceof ApiProblem) showErrors(form, error);
        },
        ending.signal,
      );
      box.showModal();
      question.ready?.(form);
    });
  }
}

customElements.define("bf-dialog", BfDialog);

/** @param {Question} question @returns {Promise<boolean>} */
export function dialog(question) {
  const element = new BfDialog();
  document.body.append(element);
  return element.ask(question);
}

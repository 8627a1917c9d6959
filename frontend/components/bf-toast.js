// @ts-check
// What just happened, said aloud and shown for a while. One live region for the page.
//
//   say("Sent to the client.");
//   say("Three entries went up.", { stays: true });
//
// https://www.w3.org/WAI/WCAG22/Understanding/status-messages

import { element, html } from "../lib/html.js";

export class BfToast extends HTMLElement {
  connectedCallback() {
    this.setAttribute("role", "status");
    this.setAttribute("aria-live", "polite");
  }

  /** @param {string} words @param {{ stays?: boolean }} [options] */
  say(words, options = {}) {
    const note = element(
      html`<p class="toast"><span>${words}</span> <button type="button" class="plain">Close</button></p>`,
    );
    note.querySelector("button")?.addEventListener("click", () => note.remove());
    // One at a time: a pile of them would cover the buttons of a phone.
    this.replaceChildren(note);
    // Long enough to read twice; nothing that needs an answer is said here.
    if (!options.stays) setTimeout(() => note.remove(), 5000 + words.length * 100);
  }
}

customElements.define("bf-toast", BfToast);

/** @param {string} words @param {{ stays?: boolean }} [options] */
export function say(words, options) {
  const place = document.querySelector("bf-toast");
  if (place instanceof BfToast) place.say(words, options);
}

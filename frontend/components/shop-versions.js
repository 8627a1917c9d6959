// @ts-check
// Two people, one thing: what this owner typed beside what is stored now, and the choice between them.

import { html } from "../lib/html.js";
import { dialog } from "./bf-dialog.js";

/**
 * @param {object} both
 * @param {string} both.what
 * @param {[string, string][]} both.mine
 * @param {[string, string][]} both.theirs empty when the thing is gone
 * @param {() => Promise<void>} both.keep puts mine on top
 * @param {AbortSignal} both.signal
 * @returns {Promise<boolean>} true when mine was put on top
 */
export function askWhichVersion({ what, mine, theirs, keep, signal }) {
  const stored = new Map(theirs);
  const all = mine.map(([name, value]) => ({ name, value, now: stored.get(name) ?? "" }));
  const rows = all.filter((row) => row.value !== row.now);
  return dialog({
    title: `${what}: somebody else saved first`,
    body: html`<p>${
      theirs.length === 0
        ? "What you edited has been removed meanwhile."
        : "Yours is not saved yet. Here is where the two differ; the rest is the same."
    }</p>
      <table class="shop-versions">
        <thead><tr><th scope="col">What</th><th scope="col">Yours</th><th scope="col">Stored now</th></tr></thead>
        <tbody>${rows.map(
          (row) => html`<tr><th scope="row">${row.name}</th>
          <td>${row.value || "–"}</td>
          <td>${row.now || "–"}</td></tr>`,
        )}</tbody>
      </table>`,
    action: "Put mine on top",
    leave: "Take what is stored",
    submit: keep,
    signal,
  });
}

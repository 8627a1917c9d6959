// @ts-check
// What was found, as the client reads it: where and what, its size, photos, and what became of it.

import { dialog } from "../../components/bf-dialog.js";
import { sizeWord } from "../../components/frame/seen.js";
import { gradeWord } from "../../components/frame/words.js";
import { photos } from "../../components/photos.js";
import { html, on } from "../../lib/html.js";
import { findingWhat, word } from "../../lib/words.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @type {Record<string, string>} */
const became = {
  reported: "The shop prepares what can be done about it.",
  gathered: "The shop prepares what can be done about it.",
  sent: "Waits for your decision.",
  approved: "Its repair is agreed.",
  declined: "You left it as it is.",
  dismissed: "Nothing needs to be done.",
};

/** @param {Schemas["ClientFinding"]} f @param {Formats} formats @param {boolean} [fate] also says what became of it */
export function finding(f, formats, fate = false) {
  const words = [
    f.condition && word(gradeWord, f.condition),
    sizeWord(f, formats.length),
    f.count > 1 && `${f.count} of them`,
  ].filter(Boolean);
  return html`<li id="found-${f.id}"><p><strong>F${f.number} ${word(findingWhat, f.what)}, ${f.zone}</strong>${words.length > 0 ? `: ${words.join(", ")}` : ""}.</p>
    ${f.note ? html`<p class="terms">${f.note}</p>` : ""}${photos(f.photos, `finding ${f.number}`)}
    ${fate ? html`<p class="second">${word(became, f.state)} ${f.order ? html`<a href="/client/orders/${f.order.id}">Change order ${f.order.number}</a>` : ""} <span class="small">Found ${formats.day(formats.dayOf(f.at))}.</span></p>` : ""}</li>`;
}

/** A tap on a small picture shows it large. @param {HTMLElement} root @param {AbortSignal} signal */
export function enlarges(root, signal) {
  on(
    root,
    "click",
    ".photos a",
    (link, event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey) return;
      event.preventDefault();
      const small = link.querySelector("img");
      void dialog({
        title: "Photo",
        body: html`<a href="${link.getAttribute("href")}" target="_blank" rel="noopener"><img class="large" src="${link.getAttribute("href")}" alt="${small?.alt ?? "Photo"}"></a>`,
        signal,
      });
    },
    signal,
  );
}

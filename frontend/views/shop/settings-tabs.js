// @ts-check
// The pages of the shop's settings.

import { attr, html } from "../../lib/html.js";

/** @param {"" | "texts" | "currencies" | "consent" | "points"} here */
export const settingsTabs = (here) =>
  html`<nav aria-label="Settings"><ul class="tabs">${[
    ["", "The shop"],
    ["texts", "Texts"],
    ["currencies", "Currencies"],
    ["consent", "Consent and stopping"],
    ["points", "Judged points"],
  ].map(
    ([key, name]) =>
      html`<li><a href="/shop/settings${key && `/${key}`}" ${attr("aria-current", key === here && "page")}>${name}</a></li>`,
  )}</ul></nav>`;

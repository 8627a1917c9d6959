// @ts-check
// What was used of the authorised amount, as one drawn bar: worked in ink, fitted hatched, ordered open; the
// paid line below; chain line where to watch, heavy where authorised ends, double where work stops.

import { html } from "../lib/html.js";

/** @import { Schemas } from "../lib/contract.js" */
/** @import { Formats } from "../lib/format.js" */

/** @typedef {Schemas["JobMoney"]} Money */

/** The state of the watch in a sentence. @param {Money} m @param {Formats} formats */
export function watchSentence({ state, exposure, authorised, left, stop_at, currency, overrides }, formats) {
  const money = (/** @type {string} */ amount) => formats.money(amount, currency);
  const used = `${money(exposure)} of the authorised ${money(authorised)} is used or bound`;
  if (state === "stop")
    return `${used}. Work stops: what goes on now is not covered. Send a change order, or override with a reason that the client reads.`;
  if (state === "overridden")
    return `${used}. You let work go on up to ${money(overrides[0]?.up_to ?? stop_at)}; the client reads why.`;
  if (state === "warn")
    return `${used}; ${money(left)} is left before work stops. Time for a change order if more is needed.`;
  return `${used}; ${money(left)} is left before work stops.`;
}

/** @type {Record<Schemas["WatchState"], [string, string]>} a frame and its word */
export const watchWord = {
  ok: ["good", "Within what was agreed"],
  warn: ["watch", "Near its end"],
  stop: ["stop", "Stop"],
  overridden: ["watch", "Overridden by the owner"],
};

/** @param {Money} m @param {Formats} formats */
export function watchBar(m, formats) {
  const { worked, fitted, ordered, exposure, paid, authorised, warn_at, stop_at, currency } = m;
  // Places on a drawing, not money: pixels may be rounded.
  const size = (/** @type {string} */ amount) => Math.max(0, Number(amount));
  const full = Math.max(...[exposure, paid, authorised, stop_at].map(size), 1) * 1.04;
  const at = (/** @type {number} */ amount) => `${((amount / full) * 100).toFixed(2)}%`;
  const ends = [worked, fitted, ordered].map(size);
  const money = (/** @type {string} */ amount) => formats.money(amount, currency);
  let from = 0;
  const pieces = ["worked", "fitted", "ordered"].map((name, i) => {
    const x = from;
    from += ends[i] ?? 0;
    return html`<rect class="watch-${name}" x="${at(x)}" y="26" width="${at(ends[i] ?? 0)}" height="26"></rect>`;
  });
  const words = `Worked ${money(worked)}, fitted ${money(fitted)}, ordered ${money(ordered)}, exposure ${money(exposure)}; watch at ${money(warn_at)}, authorised ${money(authorised)}, stop at ${money(stop_at)}; paid ${money(paid)}.`;
  /** @param {string} amount @param {string} kind @param {string} word @param {number} y */
  const mark = (amount, kind, word, y) =>
    html`<line class="watch-mark ${kind}" x1="${at(size(amount))}" x2="${at(size(amount))}" y1="18" y2="74"></line><text class="watch-text" x="${at(size(amount))}" y="${y}" text-anchor="end">${word} </text>`;
  return html`<svg class="watch" width="100%" height="96" role="img" aria-label="${words}">
    <defs><pattern id="watch-hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line class="hatch" x1="0" x2="0" y1="0" y2="6"></line></pattern></defs>
    ${pieces}<rect class="watch-paid" x="0" y="58" width="${at(size(paid))}" height="8"></rect>
    <line class="watch-base" x1="0" x2="100%" y1="52" y2="52"></line>
    ${mark(warn_at, "chain", "watch", 13)}${mark(authorised, "heavy", "authorised", 90)}${mark(stop_at, "double", "stop", 13)}</svg>
    <ul class="watch-key"><li><svg width="28" height="14" aria-hidden="true"><rect class="watch-worked" width="28" height="14"></rect></svg> worked ${money(worked)}</li><li><svg width="28" height="14" aria-hidden="true"><rect class="watch-fitted" width="28" height="14"></rect></svg> fitted ${money(fitted)}</li><li><svg width="28" height="14" aria-hidden="true"><rect class="watch-ordered" x="1" y="1" width="26" height="12"></rect></svg> ordered ${money(ordered)}</li><li><svg width="28" height="14" aria-hidden="true"><rect class="watch-paid" y="3" width="28" height="8"></rect></svg> paid ${money(paid)}</li><li>exposure ${money(exposure)}</li><li>watch at ${money(warn_at)}</li><li>authorised ${money(authorised)}</li><li>stop at ${money(stop_at)}</li></ul>`;
}

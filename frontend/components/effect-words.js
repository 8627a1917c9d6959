// @ts-check
// The words for what a change order does, the same for the shop and for its client.

/** @import { Schemas } from "../lib/contract.js" */
/** @import { Formats } from "../lib/format.js" */

/** @param {string} figure */
const negative = (figure) => figure.startsWith("-");

/** @param {string} figure */
const none = (figure) => /^-?0*(\.0*)?$/.test(figure);

/** "3 working days later", "no day". @param {number} days */
export function daysWords(days) {
  if (days === 0) return "no day";
  const count = Math.abs(days);
  return `${count} working ${count === 1 ? "day" : "days"} ${days > 0 ? "later" : "earlier"}`;
}

/** When it is finished with it: "on the same day", "3 working days later". @param {number} days */
export const finishWords = (days) => (days === 0 ? "on the same day" : daysWords(days));

/** "+0.50" with the sign said. @param {string} points */
export const pointsWords = (points) =>
  negative(points) || none(points) ? points.replace("-", "−") : `+${points}`;

/** @param {Pick<Schemas["ClientEffect"], "amount" | "currency" | "dates" | "authorised_after">} effect @param {Formats} formats */
export function effectSentence({ amount, currency, dates, authorised_after }, formats) {
  const money = formats.money(amount.replace("-", ""), currency);
  const price = none(amount)
    ? "Costs nothing"
    : negative(amount)
      ? `Takes ${money} off, tax included`
      : `Adds ${money}, tax included`;
  const moved = dates.promise_after && dates.promise_after !== dates.promise_before;
  const date = moved
    ? `and moves the promise to ${formats.day(dates.promise_after)}, ${daysWords(dates.days)}`
    : "and leaves the promise where it is";
  return `${price}, to ${formats.money(authorised_after, currency)} in all, ${date}.`;
}

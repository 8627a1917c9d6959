// @ts-check
// When the shop works: shifts of the week, public holidays, closures, extra openings; and what is closed
// in the next year.

import { choices, readForm } from "../../components/shop-form.js";
import { editableRows, rowNumber } from "../../components/shop-rows.js";
import { savedAsOne } from "../../components/shop-saved.js";
import { get, put } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { html, render } from "../../lib/html.js";
import { weekday } from "../../lib/words.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { View } from "../../lib/router.js" */

/** @typedef {Schemas["ShopCalendarDraft"]} Draft */
/** @typedef {keyof Schemas["Week"]} Weekday */

/** A wall-clock time, 00:00 to 24:00; browsers' own time fields do not know the end of a day. */
const wallTime = "([01][0-9]|2[0-3]):[0-5][0-9]|24:00";

/** @type {View} */
export default async function view(root, _params, { signal, formats }) {
  /** @param {Schemas["ShopCalendar"]} calendar */
  const show = (calendar) => {
    render(root, page(calendar, formats));
    const form = /** @type {HTMLFormElement} */ (root.querySelector("form"));
    editableRows(
      form,
      {
        week: (button) =>
          shift(button.dataset["addRow"] ?? "", button.dataset["day"] ?? "", { from: "07:30", to: "12:00" }),
        closures: () => closureRow({ from: "", to: "", reason: "" }),
        openings: () => openingRow({ day: "", intervals: [{ from: "08:00", to: "12:00" }], reason: "" }),
      },
      signal,
    );
    savedAsOne(form, {
      what: "Calendar",
      version: calendar.version,
      read,
      send: (body, version) => put("/api/shop/calendar", { body, version, signal }),
      rows,
      show,
      signal,
    });
  };
  show(await get("/api/shop/calendar", { signal }));
}

/** @param {HTMLFormElement} form @returns {Draft} */
function read(form) {
  /** @type {Draft} */
  const body = {
    week: {},
    holidays: "",
    closures: [],
    openings: [],
    .../** @type {Partial<Draft>} */ (readForm(form)),
  };
  // An opening has room for two intervals; the second is optional.
  for (const opening of body.openings)
    opening.intervals = opening.intervals.filter(({ from, to }) => from || to);
  return body;
}

/** @param {Schemas["ShopCalendar"]} calendar @param {Formats} formats */
function page({ settings, time_zone, holiday_regions, upcoming_closed }, formats) {
  const regions = Object.fromEntries(holiday_regions.map((region) => [region, region]));
  return html`<div class="row between"><h1>Calendar</h1><button type="submit" form="calendar-form" class="act">Save the calendar</button></div><div class="columns"><form class="stack" id="calendar-form" novalidate>
    <section class="sheet"><h2>The week</h2><p class="second">Wall-clock times in ${time_zone}. A day without a shift is closed. Schedules of open jobs follow as soon as you save.</p>
      ${Object.entries(weekday).map(([day, name]) => dayShifts(day, name, settings.week[/** @type {Weekday} */ (day)] ?? []))}</section>
    <section class="sheet"><h2>Public holidays</h2>${field({ form: "cal", name: "holidays", label: "Region whose holidays close the shop", type: "select", value: settings.holidays, options: choices(regions, "none", settings.holidays), hint: "Country code, or country and region (ISO 3166). Compare with your own official list." })}</section>
    <section class="sheet"><h2>Closures</h2>
      <div class="shop-scroll"><table class="shop-list shop-stack"><thead><tr><th scope="col">From</th><th scope="col">To</th><th scope="col">Reason</th><th scope="col">Do</th></tr></thead>
      <tbody data-rows="closures">${settings.closures.map(closureRow)}</tbody></table></div>
      <p class="shop-actions"><button type="button" data-add-row="closures">Add a closure</button></p></section>
    <section class="sheet"><h2>Extra openings</h2><p class="second">Days that are worked although the week or a holiday says closed, or worked otherwise than the week says.</p>
      <div class="shop-scroll"><table class="shop-list shop-stack"><thead><tr><th scope="col">Day</th><th scope="col">From, to</th><th scope="col">Again from, to</th><th scope="col">Reason</th><th scope="col">Do</th></tr></thead>
      <tbody data-rows="openings">${settings.openings.map(openingRow)}</tbody></table></div>
      <p class="shop-actions"><button type="button" data-add-row="openings">Add an opening</button></p></section>
    <p class="shop-save"><button type="submit" class="act">Save the calendar</button><span class="second">Nothing is changed before you save.</span></p></form>
    <section class="sheet"><h2>Closed in the next year</h2><p class="second">Weekdays, as saved.</p>
      ${upcoming_closed.length === 0 ? html`<p class="empty">No weekday is closed. Choose a holiday region or add a closure.</p>` : ""}
      <ul class="shop-plain">${upcoming_closed.map(({ day, reason }) => html`<li>${formats.day(day)}: ${reason || "closed"}</li>`)}</ul></section></div>`;
}

/** @param {string} day @param {string} name @param {Schemas["Shift"][]} shifts */
function dayShifts(day, name, shifts) {
  const list = `week/${day}`;
  return html`<fieldset><legend>${name}</legend><div class="shop-shifts"><div class="shop-shifts" data-rows="${list}">${shifts.map((each) => shift(list, name, each))}</div>
    <button type="button" data-add-row="${list}" data-day="${name}">Add a shift<span class="visually-hidden"> on ${name}</span></button></div></fieldset>`;
}

/** @param {string} list @param {string} name @param {Schemas["Shift"]} value */
function shift(list, name, value) {
  const f = { form: `w${rowNumber()}`, hideLabel: true, required: true, maxlength: 5, pattern: wallTime };
  return html`<span class="shop-shift" data-row-of="${list}">${field({ ...f, name: `${list}/0/from`, label: `${name} from`, value: value.from })} to ${field({ ...f, name: `${list}/0/to`, label: `${name} to`, value: value.to })}
    <button type="button" data-remove-row>Remove<span class="visually-hidden"> this shift on ${name}</span></button></span>`;
}

/** @param {Schemas["Closure"]} closure */
function closureRow(closure) {
  const f = { form: `c${rowNumber()}`, hideLabel: true };
  const who = closure.reason || "new closure";
  return html`<tr data-row-of="closures"><td data-label="From" class="shop-cell">${field({ ...f, name: "closures/0/from", label: `From, ${who}`, type: "date", value: closure.from, required: true })}</td>
    <td data-label="To" class="shop-cell">${field({ ...f, name: "closures/0/to", label: `To, ${who}`, type: "date", value: closure.to, required: true })}</td>
    <td data-label="Reason" class="shop-cell-wide">${field({ ...f, name: "closures/0/reason", label: `Reason, ${who}`, value: closure.reason, maxlength: 160 })}</td>
    <td data-label=""><button type="button" data-remove-row>Remove<span class="visually-hidden"> ${who}</span></button></td></tr>`;
}

/** @param {Schemas["Opening"]} opening */
function openingRow(opening) {
  const f = { form: `o${rowNumber()}`, hideLabel: true };
  const who = opening.reason || "new opening";
  const count = Math.max(2, opening.intervals.length);
  /** @param {number} index */
  const interval = (index) =>
    html`<span class="shop-shift">${field({ ...f, name: `openings/0/intervals/${index}/from`, label: `From, ${who}`, maxlength: 5, pattern: wallTime, value: opening.intervals[index]?.from ?? "" })} to ${field({ ...f, name: `openings/0/intervals/${index}/to`, label: `To, ${who}`, maxlength: 5, pattern: wallTime, value: opening.intervals[index]?.to ?? "" })}</span>`;
  return html`<tr data-row-of="openings"><td data-label="Day" class="shop-cell">${field({ ...f, name: "openings/0/day", label: `Day, ${who}`, type: "date", value: opening.day, required: true })}</td>
    <td data-label="From, to">${interval(0)}</td>
    <td data-label="Again">${Array.from({ length: count - 1 }, (_, index) => interval(index + 1))}</td>
    <td data-label="Reason" class="shop-cell-wide">${field({ ...f, name: "openings/0/reason", label: `Reason, ${who}`, value: opening.reason, maxlength: 160 })}</td>
    <td data-label=""><button type="button" data-remove-row>Remove<span class="visually-hidden"> ${who}</span></button></td></tr>`;
}

/** @param {Draft} draft @returns {[string, string][]} */
function rows(draft) {
  const hours = (/** @type {Schemas["Shift"][]} */ shifts) =>
    shifts.map(({ from, to }) => `${from} to ${to}`).join(", ") || "closed";
  return [
    ...Object.entries(weekday).map(
      ([day, name]) =>
        /** @type {[string, string]} */ ([name, hours(draft.week[/** @type {Weekday} */ (day)] ?? [])]),
    ),
    ["Holidays", draft.holidays],
    ["Closures", draft.closures.map(({ from, to, reason }) => `${from} to ${to} ${reason}`).join("; ")],
    [
      "Openings",
      draft.openings.map(({ day, intervals, reason }) => `${day} ${hours(intervals)} ${reason}`).join("; "),
    ],
  ];
}

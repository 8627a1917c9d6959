// @ts-check
// When somebody works or a station can be used: own weekly hours, absences, further hours on single days.

import { field } from "../lib/form.js";
import { html } from "../lib/html.js";
import { weekday } from "../lib/words.js";
import { shiftWords as inWords, absenceReason as reasons } from "./roster-words.js";
import { choices, readForm, span } from "./shop-form.js";
import { editableRows, numberRows, rowNumber } from "./shop-rows.js";

/** @import { Schemas } from "../lib/contract.js" */

/** @typedef {Schemas["Roster"]} Roster */
/** @typedef {"person" | "station"} Whose */

/** @type {Record<Whose, string[]>} */
const reasonsOf = {
  person: ["holiday", "ill", "training", "other"],
  station: ["upkeep", "holiday", "other"],
};

const times = "([01][0-9]|2[0-3]):[0-5][0-9]|24:00";

/** @param {string} text @returns {Schemas["Shift"][]} */
const asShifts = (text) =>
  text
    .split(",")
    .map((part) => part.trim())
    .filter(Boolean)
    .map((part) => {
      const [from = "", to = ""] = part.split(/\s*(?:to|-|–)\s*/);
      return { from: from.padStart(5, "0"), to: to.padStart(5, "0") };
    });

/** @param {Roster | undefined} roster @param {Whose} whose */
export function rosterFields(roster, whose) {
  const f = { form: "roster" };
  return html`<p class="second">Laid over the shop's calendar: never while the shop is closed. For a day when the shop is closed, give the shop an extra opening first.</p>
    ${field({ ...f, name: "roster/own", label: "Own weekly hours instead of the shop's", type: "checkbox", value: roster?.week !== undefined })}
    <details class="shop-fold" ${roster?.week ? html`open` : ""}><summary>The week</summary><div class="shop-form"><p class="second">Such as 08:00 to 12:00, 12:30 to 16:30. Empty: off.</p>
      ${Object.entries(weekday).map(([day, name]) => span(6, field({ ...f, name: `roster/days/${day}`, label: name, value: inWords(roster?.week?.[/** @type {keyof Schemas["Week"]} */ (day)] ?? []), maxlength: 160 })))}</div></details>
    <fieldset><legend class="shop-legend">${whose === "person" ? "Absences" : "Closures"}</legend><div class="stack" data-rows="roster/absences">${(roster?.absences ?? []).map((each) => absenceRow(each, whose))}</div>
      <p class="shop-actions"><button type="button" data-add-row="roster/absences">Add ${whose === "person" ? "an absence" : "a closure"}</button></p></fieldset>
    <fieldset><legend class="shop-legend">Further hours on single days</legend><div class="stack" data-rows="roster/extra">${(roster?.extra ?? []).map(extraRow)}</div>
      <p class="shop-actions"><button type="button" data-add-row="roster/extra">Add a day</button></p></fieldset>
    <p class="field-error" data-error-of="roster" hidden></p>`;
}

/** @param {Partial<Schemas["Absence"]>} absence @param {Whose} whose */
function absenceRow(absence, whose) {
  const row = rowNumber();
  const f = { form: `a${row}` };
  const own = Object.fromEntries(reasonsOf[whose].map((key) => [key, reasons[key] ?? key]));
  return html`<div class="shop-form" data-row-of="roster/absences">
    ${span(4, field({ ...f, name: "roster/absences/0/from", label: "First day", type: "date", value: absence.from ?? "", required: true }))}
    ${span(4, field({ ...f, name: "roster/absences/0/to", label: "Last day", type: "date", value: absence.to ?? "", hint: "Empty: that day only." }))}
    ${span(4, field({ ...f, name: "roster/absences/0/reason", label: "Reason", type: "select", value: absence.reason ?? reasonsOf[whose][0] ?? "", options: choices(own) }))}
    ${span(2, field({ ...f, name: "roster/absences/0/hours/from", label: "From", value: absence.hours?.from ?? "", maxlength: 5, pattern: times, hint: "Empty: all day." }))}
    ${span(2, field({ ...f, name: "roster/absences/0/hours/to", label: "To", value: absence.hours?.to ?? "", maxlength: 5, pattern: times }))}
    ${span(5, field({ ...f, name: "roster/absences/0/note", label: "Note", value: absence.note ?? "", maxlength: 160 }))}
    <div data-span="3"><button type="button" data-remove-row>Remove<span class="visually-hidden"> the row of ${absence.from ?? "a new absence"}</span></button></div>
    <p class="field-error" data-error-of="roster/absences/0/hours" hidden></p></div>`;
}

/** @param {Partial<Schemas["Opening"]>} extra */
function extraRow(extra) {
  const f = { form: `x${rowNumber()}` };
  return html`<div class="shop-form" data-row-of="roster/extra">
    ${span(4, field({ ...f, name: "roster/extra/0/day", label: "Day", type: "date", value: extra.day ?? "", required: true }))}
    ${span(5, field({ ...f, name: "roster/extra/0/intervals", label: "Hours", value: inWords(extra.intervals ?? []), maxlength: 160, required: true, hint: "Such as 08:00 to 12:00." }))}
    <div data-span="3"><button type="button" data-remove-row>Remove<span class="visually-hidden"> the hours of ${extra.day ?? "a new day"}</span></button></div></div>`;
}

/** @param {HTMLElement} form @param {Whose} whose @param {AbortSignal} signal */
export function rosterRows(form, whose, signal) {
  editableRows(
    form,
    {
      roster: (button) =>
        button.dataset["addRow"] === "roster/extra" ? extraRow({}) : absenceRow({}, whose),
    },
    signal,
  );
}

/**
 * What a form with these fields holds beside its roster, and the roster.
 * @param {HTMLElement} form
 * @param {string[]} [optional]
 * @returns {{ roster: Roster | undefined, rest: Record<string, unknown> }} no roster where the form has no such fields
 */
export function readRoster(form, optional = []) {
  numberRows(form);
  const { roster: said, ...rest } = /** @type {any} */ (readForm(form, { optional }));
  if (!said) return { roster: undefined, rest };
  /** @type {Roster} */
  const roster = {};
  if (said.own)
    roster.week = Object.fromEntries(
      Object.entries(said.days)
        .filter(([, text]) => text)
        .map(([day, text]) => [day, asShifts(String(text))]),
    );
  if (said.absences)
    roster.absences = said.absences.map((/** @type {any} */ each) => ({
      from: each.from,
      to: each.to || each.from,
      reason: each.reason,
      ...(each.hours.from || each.hours.to ? { hours: each.hours } : {}),
      ...(each.note ? { note: each.note } : {}),
    }));
  if (said.extra)
    roster.extra = said.extra.map((/** @type {any} */ each) => ({
      day: each.day,
      intervals: asShifts(each.intervals),
      reason: "",
    }));
  return { roster, rest };
}

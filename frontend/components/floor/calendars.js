// @ts-check
// Who and what on the floor is read by a calendar: people, stations and jobs, each with the way to its address.

import { html } from "../../lib/html.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { Floor } from "./words.js" */

/** @typedef {{ kind: Schemas["CalendarKind"], of: string, name: string }} Row */

/** @param {Floor} floor @returns {[string, Row[]][]} */
export function calendarRows({ people, stations, plan }) {
  return [
    ["People", people.map((p) => ({ kind: "person", of: p.id, name: p.name }))],
    ["Stations", stations.map((s) => ({ kind: "station", of: s.key, name: s.name }))],
    [
      "Jobs",
      (plan?.jobs ?? [])
        .map((j) => ({ kind: /** @type {const} */ ("job"), of: j.job_id, name: `Job ${j.number}, ${j.car}` }))
        .sort((a, b) => a.name.localeCompare(b.name, undefined, { numeric: true })),
    ],
  ];
}

/** @param {Floor} floor @param {Schemas["CalendarLink"][]} links @param {Formats} formats */
export function calendarList(floor, links, formats) {
  return html`<div class="shop-scroll" tabindex="0" role="region" aria-label="Calendars of people, stations and jobs"><table class="shop-list shop-stack"><thead><tr><th scope="col">Plan of</th><th scope="col">Calendar</th><th scope="col">Do</th></tr></thead>
    ${calendarRows(floor).map(([title, rows]) =>
      rows.length === 0
        ? ""
        : html`<tbody><tr class="shop-group"><th colspan="3" scope="rowgroup">${title}</th></tr>${rows.map((row) => line(row, links, formats))}</tbody>`,
    )}</table></div>`;
}

/** @param {Row} row @param {Schemas["CalendarLink"][]} links @param {Formats} formats */
function line({ kind, of, name }, links, formats) {
  const link = links.find((each) => each.kind === kind && each.of === of);
  const read = link?.last_read_at ? `last read ${formats.instant(link.last_read_at)}` : "not read yet";
  return html`<tr><th scope="row" data-label="Plan of">${name}</th><td data-label="Calendar">${link ? html`<span>${read}<br><span class="small">made ${formats.instant(link.created_at)} by ${link.created_by}</span></span>` : html`<span class="second">none</span>`}</td>
    <td data-label=""><button type="button" data-calendar-kind="${kind}" data-calendar-of="${of}">${link ? "Address" : "Make one"}<span class="visually-hidden"> for ${name}</span></button></td></tr>`;
}

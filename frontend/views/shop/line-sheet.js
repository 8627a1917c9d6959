// @ts-check
// Adding, changing and removing a priced line that is not labour.

import { dialog } from "../../components/bf-dialog.js";
import { otherwise } from "../../components/shop-form.js";
import {
  blankLine,
  followBook,
  lineDraft,
  lineFields,
  lineRows,
  readLine,
} from "../../components/shop-line-form.js";
import { storedPage } from "../../components/shop-option-form.js";
import { post, put, remove } from "../../lib/call.js";
import { html } from "../../lib/html.js";

/** @import { JobPage } from "../../lib/contract.js" */
/** @import { JobDesk, Conflict } from "./job-desk.js" */

/** @param {JobDesk} desk @param {string} phase */
export async function addLine(desk, phase) {
  const { page, version } = desk;
  /** @type {Conflict | undefined} */
  let conflict;
  await dialog({
    title: "Add a line",
    body: lineFields(blankLine(phase, desk.book.units[0] ?? "pc"), page, desk.book),
    action: "Add the line",
    signal: desk.signal,
    ready: (form) => followBook(form, desk.book, desk.signal),
    submit: async (_, form) => {
      const body = readLine(form);
      conflict = await desk.save({
        what: `Line ${body.description}`,
        version,
        send: (on) => post("/api/jobs/{job}/lines", { path: { job: desk.id }, body, version: on }),
        mine: lineRows(body, page),
        stored: () => [],
      });
    },
  });
  await desk.settle(conflict);
}

/** A line of the page, also one that is not taken. @param {JobPage} page @param {string} id */
const lineOf = (page, id) => [...page.lines, ...page.not_taken.lines].find((each) => each.id === id);

/** @param {JobDesk} desk @param {string} id */
export async function openLine(desk, id) {
  const { version } = desk;
  const page = storedPage(desk.page);
  const line = lineOf(page, id);
  if (!line) return;
  const path = { job: desk.id, line: id };
  /** @param {JobPage} now @returns {[string, string][]} */
  const stored = (now) => [lineOf(now, id)].flatMap((each) => (each ? lineRows(lineDraft(each), now) : []));
  /** @type {Conflict | undefined} */
  let conflict;
  let removing = false;
  await dialog({
    title: line.description,
    body: html`${lineFields(lineDraft(line), page, desk.book)}
      <p class="shop-actions"><button type="button" class="grave" id="remove-line">Remove the line</button></p>`,
    action: "Save the line",
    signal: desk.signal,
    ready: (form) => {
      followBook(form, desk.book, desk.signal);
      otherwise(form, "#remove-line", () => {
        removing = true;
      });
    },
    submit: async (_, form) => {
      const body = readLine(form);
      const taking = removing;
      removing = false;
      form.noValidate = false;
      conflict = await desk.save({
        what: `Line ${line.description}`,
        version,
        send: (on) =>
          taking
            ? remove("/api/jobs/{job}/lines/{line}", { path, version: on })
            : put("/api/jobs/{job}/lines/{line}", { path, body, version: on }),
        mine: taking ? [["Line", "removed"]] : lineRows(body, page),
        stored,
      });
    },
  });
  await desk.settle(conflict);
}

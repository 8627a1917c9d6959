// @ts-check
// Adding, changing, advising and removing an option.

import { dialog } from "../../components/bf-dialog.js";
import { otherwise } from "../../components/shop-form.js";
import { optionFields, optionLabel, readOption } from "../../components/shop-option-form.js";
import { get, post, put, remove } from "../../lib/call.js";
import { html } from "../../lib/html.js";

/** @import { JobPage, Schemas } from "../../lib/contract.js" */
/** @import { JobDesk, Conflict } from "./job-desk.js" */

/** @typedef {Schemas["OptionDraft"]} Draft */

/** @param {Draft} option @returns {[string, string][]} */
const rows = (option) => [
  ["What is chosen", option.group],
  ["Name", option.name],
  ["Note", option.note],
  ["Advised", option.taken ? "yes" : "no"],
];

/** @param {JobPage} page @param {string} id @returns {[string, string][]} */
const stored = (page, id) => page.options.filter((each) => each.id === id).flatMap(rows);

/** The items of the job's judging sheet; none where it has no sheet. @param {JobDesk} desk @returns {Promise<[string, string][]>} */
async function itemsOf(desk) {
  const now = await get("/api/jobs/{job}/points", { path: { job: desk.id }, signal: desk.signal }).catch(
    () => undefined,
  );
  return (now?.items ?? []).map((i) => [i.item, i.name]);
}

/** @param {JobDesk} desk */
export async function addOption(desk) {
  const { version } = desk;
  const items = await itemsOf(desk);
  /** @type {Draft} */
  const blank = { group: "", name: "", note: "", taken: false, points: [] };
  /** @type {Conflict | undefined} */
  let conflict;
  await dialog({
    title: "Add an option",
    body: html`<p>Afterwards give tasks and lines to it: they are in price and schedule only while it is taken.</p>${optionFields(blank, items)}`,
    action: "Add the option",
    signal: desk.signal,
    submit: async (data) => {
      const body = readOption(data);
      conflict = await desk.save({
        what: `Option ${body.name}`,
        version,
        send: (on) => post("/api/jobs/{job}/options", { path: { job: desk.id }, body, version: on }),
        mine: rows(body),
        stored: () => [],
      });
    },
  });
  await desk.settle(conflict);
}

/** @param {JobDesk} desk @param {string} id */
export async function openOption(desk, id) {
  const { page, version } = desk;
  const option = page.options.find((each) => each.id === id);
  if (!option) return;
  const path = { job: desk.id, option: id };
  const items = await itemsOf(desk);
  const holds = [...page.tasks, ...page.lines, ...page.not_taken.tasks, ...page.not_taken.lines].some(
    (each) => each.option_id === id,
  );
  /** @type {Conflict | undefined} */
  let conflict;
  let removing = false;
  await dialog({
    title: optionLabel(option),
    body: html`${optionFields(option, items)}
      <p class="shop-actions"><button type="button" class="grave" id="remove-option">${holds ? "Remove the option, keep its work in the estimate" : "Remove the option"}</button></p>`,
    action: "Save the option",
    signal: desk.signal,
    ready: (form) =>
      otherwise(form, "#remove-option", () => {
        removing = true;
      }),
    submit: async (data, form) => {
      const body = readOption(data);
      const taking = removing;
      removing = false;
      form.noValidate = false;
      conflict = await desk.save({
        what: `Option ${option.name}`,
        version,
        send: (on) =>
          taking
            ? remove("/api/jobs/{job}/options/{option}", { path, query: { keep: holds }, version: on })
            : put("/api/jobs/{job}/options/{option}", { path, body, version: on }),
        mine: taking ? [["Option", "removed"]] : rows(body),
        stored: (now) => stored(now, id),
      });
    },
  });
  await desk.settle(conflict);
}

/** Takes an option into price and schedule, instead of another of its group, or an extra out. @param {JobDesk} desk @param {string} id */
export async function advise(desk, id) {
  const { page, version } = desk;
  const option = page.options.find((each) => each.id === id);
  if (!option) return;
  const { id: _, ...draft } = option;
  const body = { ...draft, taken: !option.taken };
  const conflict = await desk.save({
    what: `Option ${option.name}`,
    version,
    send: (on) =>
      put("/api/jobs/{job}/options/{option}", { path: { job: desk.id, option: id }, body, version: on }),
    mine: rows(body),
    stored: (now) => stored(now, id),
  });
  await desk.settle(conflict);
}

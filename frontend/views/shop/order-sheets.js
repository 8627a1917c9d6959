// @ts-check
// The sheets of a drafted change order. Each gives one change of the draft, which is saved with the version
// it was begun on; the effect comes back with the answer.

import { dialog } from "../../components/bf-dialog.js";
import { boxes, choices, otherwise, readForm, span } from "../../components/shop-form.js";
import { field } from "../../lib/form.js";
import { html } from "../../lib/html.js";
import { findingWhat, orderKind, word } from "../../lib/words.js";

/** @import { JobPage, Schemas } from "../../lib/contract.js" */
/** @import { Markup } from "../../lib/html.js" */
/** @import { JobDesk } from "./job-desk.js" */

/** @typedef {Schemas["OrderDraft"]} Draft */
/** @typedef {Schemas["OrderItem"]} Item */
/** @typedef {Schemas["OrderOption"]} Option */

/**
 * What a sheet works on.
 * @typedef {object} Editing
 * @property {Schemas["Order"]} order
 * @property {JobPage} page
 * @property {Schemas["PriceBook"]} book
 * @property {JobDesk} desk
 * @property {Schemas["Zone"][]} zones
 * @property {Schemas["Finding"][]} findings
 * @property {AbortSignal} signal
 * @property {(what: string, change: (draft: Draft) => void) => Promise<void>} save
 */

/** Which piece: item and option by key, task, line or hours by place. @typedef {{ item: string, option: string, index: number | undefined }} Which */

/** A key that none of these has. @param {string} letter @param {{ key: string }[]} used */
export function freeKey(letter, used) {
  let n = used.length + 1;
  while (used.some(({ key }) => key === `${letter}${n}`)) n += 1;
  return `${letter}${n}`;
}

/** @param {string} key @param {string} name @returns {Option} */
export function blankOption(key, name) {
  return {
    key,
    name,
    note: "",
    advised: false,
    tasks: [],
    hours_changes: [],
    removes_tasks: [],
    lines: [],
    removes_lines: [],
    points_originality: "0",
    points_condition: "0",
  };
}

/** @param {Draft} draft @param {Which} which */
function itemIn(draft, { item }) {
  const found = draft.items.find(({ key }) => key === item);
  if (!found) throw new Error("The item is gone.");
  return found;
}

/** @param {Draft} draft @param {Which} which */
export function optionIn(draft, which) {
  const found = itemIn(draft, which).options.find(({ key }) => key === which.option);
  if (!found) throw new Error("The option is gone.");
  return found;
}

/**
 * @param {Editing} editing @param {string} what @param {Markup} body
 * @param {(draft: Draft, form: HTMLFormElement) => void} change
 * @param {{ remove?: (draft: Draft) => void, ready?: (form: HTMLFormElement) => void }} [more]
 */
export function sheet({ signal, save }, what, body, change, { remove, ready } = {}) {
  let removing = false;
  return dialog({
    title: what,
    body: html`${body}${remove ? html`<p class="shop-actions"><button type="button" class="grave" id="take-away">Take it out of the draft</button></p>` : ""}`,
    action: "Save in the draft",
    signal,
    ready: (form) => {
      ready?.(form);
      otherwise(form, "#take-away", () => {
        removing = true;
      });
    },
    submit: async (_, form) => {
      const taking = removing && remove;
      removing = false;
      form.noValidate = false;
      await save(what, (draft) => (taking ? taking(draft) : change(draft, form)));
    },
  });
}

/** @param {Editing} editing */
export function headSheet(editing) {
  const { draft } = editing.order;
  return sheet(editing, "The order", headFields(draft), (to, form) => {
    Object.assign(to, readForm(form));
  });
}

/** @param {Pick<Draft, "kind" | "title" | "reason" | "note">} draft */
export function headFields({ kind, title, reason, note }) {
  const f = { form: "order" };
  return html`${field({ ...f, name: "kind", label: "Where it comes from", type: "select", value: kind, options: choices(orderKind) })}
    ${field({ ...f, name: "title", label: "Title", value: title, required: true, maxlength: 160 })}
    ${field({ ...f, name: "reason", label: "Reason", type: "textarea", value: reason, maxlength: 4000, hint: "Why anything changes, as the client reads it." })}
    ${field({ ...f, name: "note", label: "Note to the client", type: "textarea", rows: 2, value: note, maxlength: 4000 })}`;
}

/** @param {Editing} editing @param {Which} which */
export function itemSheet(editing, which) {
  const { order, findings } = editing;
  const item = order.draft.items.find(({ key }) => key === which.item);
  const f = { form: "item" };
  const free = findings.filter((each) => each.state === "reported" || item?.finding_ids.includes(each.id));
  return sheet(
    editing,
    item ? "The item" : "Add an item",
    html`${field({ ...f, name: "title", label: "Title", value: item?.title ?? "", required: true, maxlength: 160 })}
    ${field({ ...f, name: "why", label: "Why", type: "textarea", value: item?.why ?? "", maxlength: 4000 })}
    ${field({ ...f, name: "if_not", label: "What it means if not", type: "textarea", value: item?.if_not ?? "", maxlength: 4000, hint: "It is kept with the record when the client declines." })}
    ${field({ ...f, name: "may_leave", label: "The client may leave it", type: "checkbox", value: item?.may_leave ?? true })}
    ${boxes({ name: "finding_ids", label: "Findings it answers", choices: free.map((each) => [each.id, `F${each.number} ${word(findingWhat, each.what)}, ${each.zone}`]), chosen: item?.finding_ids ?? [] })}`,
    (draft, form) => {
      /** @type {Partial<Item>} */
      const typed = readForm(form);
      const read = { title: "", why: "", if_not: "", may_leave: true, finding_ids: [], ...typed };
      if (item) Object.assign(itemIn(draft, which), read);
      else {
        const key = freeKey("i", draft.items);
        draft.items.push({ ...read, key, options: [{ ...blankOption("o1", read.title), advised: true }] });
      }
    },
    item && order.draft.items.length > 1
      ? {
          remove: (draft) => {
            draft.items = draft.items.filter(({ key }) => key !== which.item);
          },
        }
      : {},
  );
}

/** @param {Editing} editing @param {Which} which */
export function optionSheet(editing, which) {
  const item = itemIn(editing.order.draft, which);
  const option = item.options.find(({ key }) => key === which.option);
  const f = { form: "option" };
  // Points may be lost: a minus sign is typed, which phones' decimal keys lack.
  const points = { ...f, pattern: "[\\-−]?[0-9]{1,4}([.,][0-9]{1,2})?", required: true };
  return sheet(
    editing,
    option ? "The option" : "Add an option",
    html`${field({ ...f, name: "name", label: "Name", value: option?.name ?? "", required: true, maxlength: 160 })}
    ${field({ ...f, name: "note", label: "What the client should know", type: "textarea", value: option?.note ?? "", maxlength: 4000 })}
    ${field({ ...f, name: "advised", label: "The shop advises this one", type: "checkbox", value: option?.advised ?? false })}
    <div class="shop-form">${span(6, field({ ...points, name: "points_originality", label: "Originality points gained", value: option?.points_originality ?? "0", hint: "A minus sign for lost." }))}
    ${span(6, field({ ...points, name: "points_condition", label: "Condition points gained", value: option?.points_condition ?? "0" }))}</div>`,
    (draft, form) => {
      const read = /** @type {Option} */ (readForm(form));
      for (const name of /** @type {const} */ (["points_originality", "points_condition"]))
        read[name] = read[name].replace(",", ".").replace("−", "-");
      const { options } = itemIn(draft, which);
      // One is advised: the one said last.
      if (read.advised) for (const other of options) other.advised = false;
      if (option) Object.assign(optionIn(draft, which), read);
      else options.push({ ...blankOption(freeKey("o", options), ""), ...read });
    },
    option && item.options.length > 1
      ? {
          remove: (draft) => {
            const here = itemIn(draft, which);
            here.options = here.options.filter(({ key }) => key !== which.option);
          },
        }
      : {},
  );
}

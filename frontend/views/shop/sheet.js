// @ts-check
// One judging sheet as a form: items with their maxima, what they look at and what each departure costs, and
// the table of looks. The plan is kept as data; every change of its shape reads the form, changes the plan
// and draws it again, so that each can be undone.

import { savedAsOne } from "../../components/shop-saved.js";
import { ApiProblem, get, put } from "../../lib/call.js";
import { html, on, render } from "../../lib/html.js";
import { settingsTabs } from "./settings-tabs.js";
import { blankDeparture, blankItem, fieldsOf, planOf } from "./sheet-fields.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { View } from "../../lib/router.js" */

/** @typedef {Schemas["SheetPlan"]} Plan */
/** @typedef {Schemas["SheetView"]} Stored */

/** @type {View} */
export default async function view(root, params, { signal }) {
  const sheet = params["sheet"] ?? "";
  /** @param {Stored} stored */
  const show = (stored) => {
    render(root, page(stored));
    edits(/** @type {HTMLFormElement} */ (root.querySelector("form")), stored);
  };

  /** @param {HTMLFormElement} form @param {Stored} stored */
  const edits = (form, stored) => {
    const body = /** @type {HTMLElement} */ (form.querySelector("#plan"));
    const undo = /** @type {HTMLButtonElement} */ (root.querySelector("#undo"));
    let plan = stored.sheet;
    /** @type {Plan[]} */
    const before = [];
    const draw = () => {
      const open = new Set([...body.querySelectorAll("details[open]")].map((d) => d.id));
      render(body, fieldsOf(plan));
      for (const d of body.querySelectorAll("details")) d.open = open.has(d.id);
      undo.disabled = before.length === 0;
    };
    /** @param {Plan} next @param {string} [focus] */
    const change = (next, focus) => {
      before.push(plan);
      plan = next;
      draw();
      form.dispatchEvent(new Event("input", { bubbles: true }));
      const place = focus ? body.querySelector(focus) : null;
      place?.closest("details")?.setAttribute("open", "");
      if (place instanceof HTMLElement) place.focus();
    };
    draw();
    on(
      form,
      "change",
      "input, select, textarea",
      () => {
        before.push(plan);
        plan = planOf(form);
        undo.disabled = false;
      },
      signal,
    );
    undo.addEventListener(
      "click",
      () => {
        const last = before.pop();
        if (!last) return;
        plan = last;
        draw();
        if (undo.disabled) form.querySelector("input")?.focus();
      },
      { signal },
    );
    on(
      form,
      "click",
      "[data-do]",
      (button) => {
        const [what = "", at = "0", of = "0"] = (button.dataset["do"] ?? "").split(" ");
        const next = shaped(structuredClone(planOf(form)), what, Number(at), Number(of));
        change(next.plan, next.focus);
      },
      signal,
    );
    savedAsOne(form, {
      what: "The sheet",
      version: stored.version,
      read: planOf,
      send: async (body, version) => {
        try {
          return kept(await put("/api/sheets/{sheet}", { path: { sheet }, body, version, signal }));
        } catch (error) {
          if (error instanceof ApiProblem && error.status === 412 && error.evidence)
            error.evidence = kept(/** @type {Stored} */ (error.evidence));
          throw error;
        }
      },
      rows,
      show: (now) => show(/** @type {Stored} */ (/** @type {unknown} */ (now))),
      signal,
    });
  };
  show(await get("/api/sheets/{sheet}", { path: { sheet }, signal }));
}

/** @param {Stored} stored */
const kept = (stored) => ({ ...stored, settings: stored.sheet });

/** The plan after one step, and where to go on. @param {Plan} plan @param {string} what @param {number} at @param {number} of */
function shaped(plan, what, at, of) {
  const { items, looks } = plan;
  const item = items[at];
  let focus = `[name="items/${at}/name"]`;
  if (what === "add-item") {
    items.push(blankItem(items));
    focus = `[name="items/${items.length - 1}/name"]`;
  } else if (what === "copy-item" && item) {
    items.splice(at + 1, 0, {
      ...structuredClone(item),
      key: freshKey(items, item.key),
      name: `${item.name}, copy`,
    });
    focus = `[name="items/${at + 1}/name"]`;
  } else if (what === "remove-item") {
    items.splice(at, 1);
    focus =
      items.length > 0 ? `[data-do="remove-item ${Math.min(at, items.length - 1)}"]` : "[data-do=add-item]";
  } else if ((what === "up" || what === "down") && item) {
    const to = what === "up" ? at - 1 : at + 1;
    if (to >= 0 && to < items.length) {
      items.splice(at, 1);
      items.splice(to, 0, item);
      focus = `[data-do="${what} ${to}"]`;
    }
  } else if (what === "add-departure" && item) {
    item.departures.push(blankDeparture());
    focus = `[name="items/${at}/departures/${item.departures.length - 1}/what"]`;
  } else if (what === "remove-departure" && item) {
    item.departures.splice(of, 1);
    focus = `[data-do="add-departure ${at}"]`;
  } else if (what === "add-look") {
    looks.push({ condition: "c", from_visible_percent: 40, share: "0" });
    focus = `[name="looks/${looks.length - 1}/condition"]`;
  } else if (what === "remove-look") {
    looks.splice(at, 1);
    focus = "[data-do=add-look]";
  }
  return { plan, focus };
}

/** @param {Plan["items"]} items @param {string} key */
function freshKey(items, key) {
  for (let n = 2; ; n += 1) if (!items.some((i) => i.key === `${key}-${n}`)) return `${key}-${n}`;
}

/** @param {Stored} s */
function page(s) {
  return html`<div class="row between"><h1>${s.sheet.name}</h1><span class="shop-actions"><button type="button" id="undo" disabled>Undo</button>${s.retired ? "" : html`<button type="submit" form="sheet-form" class="act">Save the sheet</button>`}</span></div>${settingsTabs("points")}
    <p><a href="/shop/settings/points">All sheets</a></p>
    <p class="second">Version ${s.version}${s.jobs > 0 ? `; ${s.jobs} ${s.jobs === 1 ? "job is" : "jobs are"} judged by this sheet and keep their version` : ""}.${s.retired ? " It is retired; take it back into use to change it." : ""}</p>
    <form class="stack" id="sheet-form" novalidate><div id="plan" class="stack"></div>${s.retired ? "" : html`<p class="shop-save"><button type="submit" class="act">Save the sheet</button><span class="second">Saving makes version ${s.version + 1}.</span></p>`}</form>`;
}

/** @param {Plan} p @returns {[string, string][]} */
function rows(p) {
  return [
    ["Name", p.name],
    ["Note", p.note],
    ...p.items.map(
      (i) =>
        /** @type {[string, string]} */ ([
          i.name,
          `${i.max_originality} + ${i.max_condition}; ${[...i.kinds, ...i.zones].join(", ")}; ${i.departures.map((d) => `${d.what} ${d.originality} + ${d.condition}${d.as_found ? `, ${d.as_found} as found` : ""}`).join(", ")}`,
        ]),
    ),
    ["Looks", p.looks.map((l) => `${l.condition} from ${l.from_visible_percent} %: ${l.share}`).join(", ")],
  ];
}

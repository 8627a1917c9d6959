// @ts-check
// The shop's own texts: each with what it can speak of and how it reads about a made-up job. The server fills
// the variables in, here as at issue; what comes back is text and is shown as text.

import { readForm } from "../../components/shop-form.js";
import { savedAsOne } from "../../components/shop-saved.js";
import { ApiProblem, get, post, put } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { html, on, render } from "../../lib/html.js";
import { settingsTabs } from "./settings-tabs.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { View } from "../../lib/router.js" */

/** @typedef {Schemas["TextKind"]} Kind */

const pause = 400; // milliseconds after the last key

/** @type {View} */
export default async function view(root, _params, { signal }) {
  /** @param {Schemas["Shop"]} shop */
  const show = async (shop) => {
    const { items } = await get("/api/shop/texts", { signal });
    const kinds = items.filter(({ key }) => key !== "terms");
    render(root, page(kinds));
    const form = /** @type {HTMLFormElement} */ (root.querySelector("form"));
    savedAsOne(form, {
      what: "Texts",
      version: shop.version,
      read: (f) => ({ ...shop.settings, .../** @type {object} */ (readForm(f)) }),
      send: (body, version) => put("/api/shop", { body, version, signal }),
      rows: (settings) => rows(settings, kinds),
      show: (stored) => void show(/** @type {Schemas["Shop"]} */ (stored)),
      signal,
    });
    for (const section of root.querySelectorAll("[data-text]"))
      void preview(/** @type {HTMLElement} */ (section), signal);
  };
  await show(await get("/api/shop", { signal }));
  /** @type {Map<Element, number>} */
  const waiting = new Map();
  on(
    root,
    "input",
    "textarea, input",
    (typed) => {
      const section = /** @type {HTMLElement | null} */ (typed.closest("[data-text]"));
      if (!section) return;
      clearTimeout(waiting.get(section));
      waiting.set(
        section,
        setTimeout(() => void preview(section, signal), pause),
      );
    },
    signal,
  );
  on(root, "click", "[data-variable]", (button) => insert(button), signal);
  on(root, "click", "[data-default]", (button) => restore(button), signal);
}

/** @param {Kind[]} kinds */
function page(kinds) {
  return html`<div class="row between"><h1>Settings</h1><button type="submit" form="texts-form" class="act">Save the texts</button></div>${settingsTabs("texts")}
    <p>These are the words of your shop. A name between two tildes, such as <strong>~vehicle~</strong>, is filled in once, when a document is issued, and stays as it was. Write <strong>~~</strong> where the sign itself is meant. Have whoever advises you read what binds you.</p>
    <form class="stack" id="texts-form" novalidate>${kinds.map(section)}
    <p class="shop-save"><button type="submit" class="act">Save the texts</button><span class="second">What is issued already stays as it is.</span></p></form>`;
}

/** @param {Kind} kind @param {number} index */
function section(kind, index) {
  const f = {
    form: "text",
    name: `texts/${index}/text`,
    label: kind.name,
    value: kind.text,
    hint: kind.where,
  };
  return html`<section class="sheet" data-text="${kind.key}"><input type="hidden" name="texts/${index}/key" value="${kind.key}">
    ${kind.one_line ? field({ ...f, maxlength: 160 }) : field({ ...f, type: "textarea", rows: 4, maxlength: 4000 })}
    <p class="small">It can speak of:</p>
    <p class="shop-actions">${kind.variables.map((v) => html`<button type="button" class="plain" data-variable="${v.name}" title="${v.means}">~${v.name}~<span class="visually-hidden">: put in ${v.means}, ${kind.name}</span></button>`)}</p>
    <p class="small" id="reads-${kind.key}">How it reads, about a made-up job:</p>
    <output class="note terms" data-preview aria-labelledby="reads-${kind.key}"></output>
    <p class="shop-actions"><button type="button" data-default="${kind.default}">Back to the text it came with<span class="visually-hidden">: ${kind.name}</span></button></p></section>`;
}

/** @param {HTMLElement} section @returns {HTMLTextAreaElement | HTMLInputElement} */
const typedIn = (section) => /** @type {HTMLTextAreaElement} */ (section.querySelector("[name$='/text']"));

/** @param {HTMLElement} section @param {AbortSignal} signal */
async function preview(section, signal) {
  const place = section.querySelector("[data-preview]");
  const draft = typedIn(section).value;
  const key = /** @type {Schemas["TextKey"]} */ (section.dataset["text"]);
  let text = "";
  try {
    ({ text } = await post("/api/shop/texts/preview", { body: { key, draft }, signal }));
  } catch (error) {
    if (signal.aborted) return;
    text = error instanceof ApiProblem ? refusal(error) : "The preview could not be read.";
  }
  if (place && typedIn(section).value === draft) place.textContent = text || "Nothing is printed.";
}

/** @param {ApiProblem} error */
const refusal = (error) =>
  error.errors.length > 0
    ? error.errors.map(({ detail }) => detail).join("\n")
    : (error.detail ?? error.title);

/** Puts a variable where the cursor stands. @param {HTMLElement} button */
function insert(button) {
  const section = /** @type {HTMLElement} */ (button.closest("[data-text]"));
  const place = typedIn(section);
  const at = place.selectionStart ?? place.value.length;
  place.setRangeText(`~${button.dataset["variable"]}~`, at, place.selectionEnd ?? at, "end");
  place.focus();
  place.dispatchEvent(new Event("input", { bubbles: true }));
}

/** @param {HTMLElement} button */
function restore(button) {
  const place = typedIn(/** @type {HTMLElement} */ (button.closest("[data-text]")));
  place.value = button.dataset["default"] ?? "";
  place.focus();
  place.dispatchEvent(new Event("input", { bubbles: true }));
}

/** @param {Schemas["ShopDraft"]} settings @param {Kind[]} kinds @returns {[string, string][]} */
function rows({ texts = [] }, kinds) {
  return kinds.map((kind) => [kind.name, texts.find(({ key }) => key === kind.key)?.text ?? kind.default]);
}

// @ts-check
// The one way by which text becomes markup: a template tag that escapes every value.
//
//   render(root, html`<p>${job.title}</p> <ul>${tasks.map((t) => html`<li>${t.name}</li>`)}</ul> ${node}`);
//
// Values: text and numbers are escaped; null, undefined, false and true vanish; arrays are joined; markup
// made by this tag goes in as it is; a DOM node takes the place where it was written. Attribute values
// must stand in double quotes. A boolean attribute: `<input ${attr("checked", yes)}>`.

const escapes = /** @type {Record<string, string>} */ ({
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
});

/** @param {unknown} value */
export function safe(value) {
  return String(value).replace(/[&<>"']/g, (character) => escapes[character] ?? character);
}

/** Markup whose values are escaped. Made only by `html` and `attr`. */
export class Markup {
  /**
   * @param {string} text
   * @param {Node[]} nodes
   */
  constructor(text, nodes) {
    this.text = text;
    this.nodes = nodes;
  }

  toString() {
    return this.text;
  }
}

/** @param {unknown} value @param {Node[]} nodes @returns {string} */
function place(value, nodes) {
  if (value === null || value === undefined || value === false || value === true) return "";
  if (Array.isArray(value)) return value.map((item) => place(item, nodes)).join("");
  if (value instanceof Markup) {
    const first = nodes.length;
    nodes.push(...value.nodes);
    return first === 0
      ? value.text
      : value.text.replace(
          /<template data-node="(\d+)">/g,
          (_, n) => `<template data-node="${Number(n) + first}">`,
        );
  }
  if (typeof Node !== "undefined" && value instanceof Node) {
    nodes.push(value);
    return `<template data-node="${nodes.length - 1}"></template>`;
  }
  return safe(value);
}

/**
 * @param {TemplateStringsArray} strings
 * @param {...unknown} values
 * @returns {Markup}
 */
export function html(strings, ...values) {
  /** @type {Node[]} */
  const nodes = [];
  let text = strings[0] ?? "";
  values.forEach((value, index) => {
    text += place(value, nodes) + (strings[index + 1] ?? "");
  });
  return new Markup(text, nodes);
}

/**
 * An attribute that is there or not: `attr("disabled", closed)`, `attr("href", address)`.
 * @param {string} name
 * @param {string | number | boolean | null | undefined} value
 */
export function attr(name, value) {
  if (!/^[a-z][a-z0-9-]*$/.test(name) || name.startsWith("on"))
    throw new TypeError(`not an attribute: ${name}`);
  if (value === false || value === null || value === undefined) return new Markup("", []);
  return new Markup(value === true ? name : `${name}="${safe(value)}"`, []);
}

/**
 * Markup as DOM.
 * @param {Markup} markup
 * @returns {DocumentFragment}
 */
export function fragment(markup) {
  const template = document.createElement("template");
  template.innerHTML = markup.text;
  for (const slot of template.content.querySelectorAll("template[data-node]")) {
    const node = markup.nodes[Number(slot.getAttribute("data-node"))];
    if (node) slot.replaceWith(node);
  }
  // importNode upgrades the custom elements that the template's own inert document left asleep.
  document.adoptNode(template.content);
  return template.content;
}

/**
 * The first element of some markup.
 * @param {Markup} markup
 * @returns {HTMLElement}
 */
export function element(markup) {
  const first = fragment(markup).firstElementChild;
  if (!(first instanceof HTMLElement)) throw new TypeError("markup without an element");
  return first;
}

/**
 * Replaces what is in `root`. Focus and opened <details> survive where the new content has an element with
 * the same id; focus on the heading, where the router puts it, moves to the new heading.
 * @param {Element} root
 * @param {Markup} markup
 */
export function render(root, markup) {
  const active = document.activeElement;
  const inside = active && active !== root && root.contains(active);
  const focused = inside ? active.id : "";
  const onHeading = inside && active.tagName === "H1";
  const opened = new Map(
    [...root.querySelectorAll("details[id]")].map((d) => [d.id, /** @type {HTMLDetailsElement} */ (d).open]),
  );
  root.replaceChildren(fragment(markup));
  for (const [id, open] of opened) {
    const details = root.querySelector(`details[id="${CSS.escape(id)}"]`);
    if (details instanceof HTMLDetailsElement) details.open = open;
  }
  const again = onHeading
    ? root.querySelector("h1")
    : focused
      ? root.querySelector(`[id="${CSS.escape(focused)}"]`)
      : null;
  if (!(again instanceof HTMLElement || again instanceof SVGElement)) return;
  if (onHeading) again.setAttribute("tabindex", "-1");
  again.focus({ preventScroll: true });
}

/**
 * A delegated listener that ends with the signal.
 * @template {keyof HTMLElementEventMap} K
 * @param {Element} root
 * @param {K} type
 * @param {string} selector
 * @param {(target: HTMLElement, event: HTMLElementEventMap[K]) => void} handler
 * @param {AbortSignal} signal
 */
export function on(root, type, selector, handler, signal) {
  root.addEventListener(
    type,
    (event) => {
      const target = event.target instanceof Element ? event.target.closest(selector) : null;
      if (target instanceof HTMLElement && root.contains(target)) {
        handler(target, /** @type {HTMLElementEventMap[K]} */ (event));
      }
    },
    { signal },
  );
}

/**
 * A new element with properties: `make("bf-figure", { label: "Total", value: "…" })`.
 * @param {string} tag
 * @param {Record<string, unknown>} properties
 * @returns {HTMLElement}
 */
export function make(tag, properties) {
  return Object.assign(document.createElement(tag), properties);
}

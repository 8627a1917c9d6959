// @ts-check
// The private address at which a calendar reads the agreed plan of one person, station or job: made, shown once,
// copied, made anew, stopped.
//
//   render(place, html`${make("calendar-link", { kind: "job", of: job.id, name: "job 7", formats, signal })}`)
//   await calendarDialog({ kind: "station", of: "frame_stand", name: "Frame stand", formats, signal });

import { get, post, remove } from "../lib/call.js";
import { html, make, on, render } from "../lib/html.js";
import { dialog } from "./bf-dialog.js";
import { clearProblem, showProblem } from "./bf-problem.js";
import { say } from "./bf-toast.js";
import { copyAddress } from "./copy-address.js";

/** @import { Schemas } from "../lib/contract.js" */
/** @import { Formats } from "../lib/format.js" */

/** @typedef {{ kind: Schemas["CalendarKind"], of: string, name: string, formats: Formats, signal: AbortSignal }} Of */

export class CalendarLink extends HTMLElement {
  /** @type {Schemas["CalendarKind"]} */
  kind = "person";
  of = "";
  /** As in "the plan of Jola". */
  name = "";
  /** @type {Formats | undefined} */
  formats;
  /** Ends with the view. */
  signal = new AbortController().signal;
  /** The one that works. @type {Schemas["CalendarLink"] | undefined} */
  #link;
  /** Its address, known only after making it here. */
  #address = "";
  /** What was pressed and is asked about once more. @type {"" | "make" | "stop"} */
  #asks = "";

  async connectedCallback() {
    if (this.childElementCount > 0) return; // moved within the page
    render(this, html`<div data-state></div>`);
    on(this, "click", "[data-calendar]", (b) => void this.#press(b.dataset["calendar"] ?? ""), this.signal);
    await this.#safely(() => this.#read());
  }

  async #read() {
    const { items } = await get("/api/calendar-links", {
      query: { kind: this.kind, of: this.of },
      signal: this.signal,
    });
    this.#link = items[0];
    this.#draw();
  }

  /** @param {() => Promise<void>} act */
  async #safely(act) {
    clearProblem(this);
    try {
      await act();
    } catch (error) {
      if (!this.signal.aborted) showProblem(this, error);
    }
  }

  /** @param {string} what */
  async #press(what) {
    if (what === "copy") return copyAddress(this.querySelector("input"));
    if (what === "ask-make" || what === "ask-stop") {
      this.#asks = what === "ask-make" ? "make" : "stop";
      this.#draw("sure");
      return;
    }
    this.#asks = "";
    if (what === "leave") return this.#draw("first");
    return this.#safely(() => (what === "stop" ? this.#stop() : this.#make()));
  }

  async #make() {
    const made = await post("/api/calendar-links", { body: { kind: this.kind, of: this.of } });
    this.#link = made.link;
    this.#address = new URL(made.path, location.origin).href;
    this.#draw("copy");
    this.#tell();
  }

  async #stop() {
    if (this.#link) await remove("/api/calendar-links/{link}", { path: { link: this.#link.id } });
    this.#link = undefined;
    this.#address = "";
    this.#draw("first");
    say("Stopped.");
    this.#tell();
  }

  #tell() {
    this.dispatchEvent(new CustomEvent("calendar-changed", { bubbles: true }));
  }

  /** @param {"first" | "sure" | "copy"} [focus] where the keyboard goes on, after an act */
  #draw(focus) {
    const place = /** @type {HTMLElement} */ (this.querySelector("[data-state]"));
    render(place, html`${this.#words()}${this.#asks ? this.#question() : this.#buttons()}`);
    if (!focus) return;
    const wanted = focus === "copy" ? "[data-calendar=copy]" : "[data-calendar]";
    const target = /** @type {HTMLElement | null} */ (place.querySelector(wanted));
    target?.focus();
  }

  #words() {
    const link = this.#link;
    if (!link)
      return html`<p>No calendar reads the plan of ${this.name} yet. With a private address a phone or desk calendar shows it and follows what is agreed.</p>`;
    const at = (/** @type {string | undefined} */ instant) => (instant ? this.formats?.instant(instant) : "");
    return html`${this.#address ? this.#once() : ""}<p>${link.last_read_at ? `Last read ${at(link.last_read_at)}` : "Not read yet"}; made ${at(link.created_at)} by ${link.created_by}.</p>`;
  }

  #once() {
    const id = `calendar-address-${this.kind}-${this.of}`;
    return html`<div class="shop-once" role="group" aria-label="Private address">
      <p><strong>Shown only now.</strong> In your calendar choose “subscribe by address” (not “import”) and paste it. Whoever holds it reads the plan of ${this.name}: send it to nobody else.</p>
      <div class="shop-field"><label for="${id}">Address</label><input id="${id}" type="text" readonly value="${this.#address}"></div>
      <p class="shop-actions"><button type="button" class="act" data-calendar="copy">Copy the address</button></p></div>`;
  }

  #buttons() {
    const of = html`<span class="visually-hidden"> for ${this.name}</span>`;
    return this.#link
      ? html`<p class="shop-actions"><button type="button" data-calendar="ask-make">Make anew${of}</button><button type="button" data-calendar="ask-stop">Stop${of}</button></p>`
      : html`<p class="shop-actions"><button type="button" data-calendar="make">Make an address${of}</button></p>`;
  }

  #question() {
    const stop = this.#asks === "stop";
    return html`<div class="note watch" role="alert"><p>${stop ? "The address stops working at once" : "The present address stops working at once, and you get another"}. Calendars that read it get nothing new; some keep showing what they had.</p>
      <p class="shop-actions"><button type="button" class="${stop ? "grave" : "act"}" data-calendar="${stop ? "stop" : "make"}">${stop ? "Stop it" : "Make another"}</button><button type="button" data-calendar="leave">Leave it</button></p></div>`;
  }
}

customElements.define("calendar-link", CalendarLink);

/** The same in a dialog. @param {Of} of @returns {Promise<boolean>} */
export function calendarDialog(of) {
  return dialog({
    title: `In a calendar: ${of.name}`,
    body: html`${make("calendar-link", of)}`,
    signal: of.signal,
  });
}

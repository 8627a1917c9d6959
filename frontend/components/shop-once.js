// @ts-check
// A private address that is shown once, with a button that copies it.
//
//   render(place, html`${make("shop-once", { path, until, words })}`)

import { html, render } from "../lib/html.js";
import { copyAddress } from "./copy-address.js";

export class ShopOnce extends HTMLElement {
  /** Path with its token in the fragment. */
  path = "";
  /** Until when, ready to show. */
  until = "";
  /** Whose it is and what it opens. */
  words = "";

  connectedCallback() {
    const address = new URL(this.path, location.origin).href;
    render(
      this,
      html`<div class="shop-once" role="group" aria-label="Private address">
      <p><strong>${this.words}</strong> It works until ${this.until}. This address is shown only now: copy it and send it yourself.</p>
      <div class="shop-field"><label for="once-address">Address</label><input id="once-address" type="text" readonly value="${address}"></div>
      <p><button type="button" class="act" id="once-copy">Copy the address</button></p></div>`,
    );
    this.querySelector("#once-copy")?.addEventListener(
      "click",
      () => void copyAddress(this.querySelector("input")),
    );
  }
}

customElements.define("shop-once", ShopOnce);

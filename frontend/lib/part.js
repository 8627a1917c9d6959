// @ts-check
// The base of the custom elements in components/: light DOM, properties in, events out, no fetch.
// A property's setter calls `changed()`; drawing happens once, after all properties of a turn are set.

export class Part extends HTMLElement {
  constructor() {
    super();
    this.waiting = false;
    this.ending = new AbortController();
  }

  /** Ends when the element leaves the page; for its listeners. */
  get signal() {
    return this.ending.signal;
  }

  connectedCallback() {
    if (this.ending.signal.aborted) this.ending = new AbortController();
    this.draw();
  }

  disconnectedCallback() {
    this.ending.abort();
  }

  changed() {
    if (this.waiting || !this.isConnected) return;
    this.waiting = true;
    queueMicrotask(() => {
      this.waiting = false;
      if (this.isConnected) this.draw();
    });
  }

  /** Fills the element from its properties. */
  draw() {}
}

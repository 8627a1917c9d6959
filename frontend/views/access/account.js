// @ts-check
import { html, render } from "../../lib/html.js";

/** @type {import("../../lib/router.js").View} */
export default async function view(root) {
  render(root, html`<h1>access/account</h1>`);
}

// @ts-check
// A client's private link: its token is exchanged for a session and leaves the address.

import { showProblem } from "../../components/bf-problem.js";
import { post } from "../../lib/call.js";
import { html, render } from "../../lib/html.js";
import { signedIn } from "../../lib/session.js";
import { takeToken } from "./token.js";

/** @type {import("../../lib/router.js").View} */
export default async function view(root, _params, { signal, navigate }) {
  const token = takeToken();
  try {
    if (!token) throw new TypeError("no token");
    signedIn(await post("/api/client-links/open", { body: { token }, signal }));
    navigate("/client", { replace: true });
  } catch (error) {
    if (signal.aborted) return;
    render(
      root,
      html`<section class="sheet narrow"><h1>This link does not open anything</h1><p>It may have expired, been replaced, or lost its end on the way. Ask the shop for a new one; it takes them a minute.</p></section>`,
    );
    if (token) showProblem(/** @type {Element} */ (root.firstElementChild), error);
  }
}

// @ts-check
// Sign in with e-mail and password, then go where one wanted to go.

import { showProblem } from "../../components/bf-problem.js";
import { get, post } from "../../lib/call.js";
import { field, onSubmit, text } from "../../lib/form.js";
import { html, render } from "../../lib/html.js";
import { home } from "../../lib/routes.js";
import { signedIn } from "../../lib/session.js";

/** @type {import("../../lib/router.js").View} */
export default async function view(root, _params, context) {
  const { signal, navigate, query } = context;
  render(
    root,
    html`<section class="sheet narrow">
      <h1>Sign in</h1>
      <form>
        ${field({ name: "email", label: "E-mail", type: "email", required: true, autocomplete: "username" })}
        ${field({ name: "password", label: "Password", type: "password", required: true, autocomplete: "current-password" })}
        <div class="actions"><button class="act" type="submit">Sign in</button></div>
      </form>
      <p class="second">Clients come in by the private link from their shop. Technicians and owners use the invitation once, then sign in here.</p>
    </section>`,
  );
  const form = /** @type {HTMLFormElement} */ (root.querySelector("form"));
  onSubmit(
    form,
    async (data) => {
      const me = await post("/api/sessions", {
        body: { email: text(data, "email"), password: String(data.get("password") ?? "") },
        signal,
      });
      signedIn(me);
      navigate(ownPath(query.get("to")) ?? home[me.person.role], { replace: true });
    },
    (error) => showProblem(form, error),
    signal,
  );
  ifNoShop(context).catch(() => {});
}

/** Where there is no shop yet nobody can sign in. @param {import("../../lib/router.js").Context} context */
async function ifNoShop({ signal, navigate }) {
  const { needed } = await get("/api/setup", { signal });
  if (needed) navigate("/set-up", { replace: true });
}

/** Only an address of this page: never another site. @param {string | null} to */
function ownPath(to) {
  if (!to) return undefined;
  const url = new URL(to, location.origin);
  return url.origin === location.origin && to.startsWith("/") ? url.pathname + url.search : undefined;
}

// @ts-check
// A technician or owner chooses a password with the token of an invitation.

import { showProblem } from "../../components/bf-problem.js";
import { ApiProblem, post } from "../../lib/call.js";
import { field, onSubmit, showErrors } from "../../lib/form.js";
import { html, render } from "../../lib/html.js";
import { home } from "../../lib/routes.js";
import { signedIn } from "../../lib/session.js";
import { takeToken } from "./token.js";

/** @type {import("../../lib/router.js").View} */
export default async function view(root, _params, { signal, navigate }) {
  const token = takeToken();
  if (!token) {
    render(
      root,
      html`<section class="sheet narrow"><h1>This invitation is not complete</h1><p>Open the whole link that the shop gave you, or ask for a new invitation.</p></section>`,
    );
    return;
  }
  render(
    root,
    html`<section class="sheet narrow">
      <h1>Welcome to the shop</h1>
      <p>Choose a password. From then on you sign in with your e-mail and this password.</p>
      <form>
        ${field({ name: "password", label: "New password", type: "password", required: true, autocomplete: "new-password", hint: "Several words you will remember are better than one odd word." })}
        <div class="actions"><button class="act" type="submit">Save and start</button></div>
      </form>
    </section>`,
  );
  const form = /** @type {HTMLFormElement} */ (root.querySelector("form"));
  onSubmit(
    form,
    async (data) => {
      const me = await post("/api/invitations/accept", {
        body: { token, password: String(data.get("password") ?? "") },
        signal,
      });
      signedIn(me);
      navigate(home[me.person.role], { replace: true });
    },
    (error) => {
      showProblem(form, error);
      if (error instanceof ApiProblem) showErrors(form, error);
    },
    signal,
  );
}

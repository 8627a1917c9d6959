// @ts-check
// The first shop of an installation, opened with the one-time token from the console.

import { showProblem } from "../../components/bf-problem.js";
import { ApiProblem, get, post } from "../../lib/call.js";
import { field, onSubmit, showErrors, text } from "../../lib/form.js";
import { html, render } from "../../lib/html.js";
import { signedIn } from "../../lib/session.js";

/** @typedef {"metric" | "inch"} Units */

/** @type {import("../../lib/router.js").View} */
export default async function view(root, _params, { signal, navigate }) {
  const { needed } = await get("/api/setup", { signal });
  if (!needed) {
    render(
      root,
      html`<section class="sheet narrow"><h1>This installation is set up</h1><p>Its shop is open. <a href="/sign-in">Sign in</a>.</p></section>`,
    );
    return;
  }
  render(
    root,
    html`<section class="sheet narrow">
      <h1>Open your shop</h1>
      <p>The program printed a one-time token on its console when it started. It shows that you are the one who runs it.</p>
      <form>${fields()}<div class="actions"><button class="act" type="submit">Open the shop</button></div></form>
    </section>`,
  );
  const form = /** @type {HTMLFormElement} */ (root.querySelector("form"));
  onSubmit(
    form,
    async (data) => {
      const units = /** @type {Units} */ (text(data, "units"));
      const me = await post("/api/setup", {
        body: {
          token: text(data, "token"),
          shop_name: text(data, "shop_name"),
          currency: text(data, "currency"),
          time_zone: text(data, "time_zone"),
          locale: text(data, "locale"),
          units,
          owner_name: text(data, "owner_name"),
          email: text(data, "email"),
          password: String(data.get("password") ?? ""),
        },
        signal,
      });
      signedIn(me);
      navigate("/shop", { replace: true });
    },
    (error) => {
      showProblem(form, error);
      if (error instanceof ApiProblem) showErrors(form, error);
    },
    signal,
  );
}

function fields() {
  const here = Intl.DateTimeFormat().resolvedOptions();
  const zones = [...new Set(["UTC", here.timeZone, ...Intl.supportedValuesOf("timeZone")])].sort();
  const names = new Intl.DisplayNames([here.locale, "en"], { type: "currency" });
  const currencies = Intl.supportedValuesOf("currency").map(
    (code) => /** @type {[string, string]} */ ([code, `${code} ${names.of(code) ?? ""}`]),
  );
  return html`
    ${field({ name: "token", label: "Token from the console", required: true, autocomplete: "off" })}
    <fieldset><legend>The shop</legend>
      ${field({ name: "shop_name", label: "Name of the shop", required: true, maxlength: 160, autocomplete: "organization" })}
      <div class="fields">
        ${field({ name: "currency", label: "Currency", type: "select", options: currencies, value: "EUR", hint: "It stays once a job exists." })}
        ${field({ name: "time_zone", label: "Time zone", type: "select", options: zones.map((z) => [z, z]), value: here.timeZone })}
        ${field({ name: "locale", label: "Language tag for dates and figures", value: navigator.language, required: true, hint: "Such as en-GB or en-US." })}
        ${field({
          name: "units",
          label: "Units",
          type: "select",
          value: "metric",
          options: [
            ["metric", "Metric"],
            ["inch", "Inch"],
          ],
        })}
      </div>
    </fieldset>
    <fieldset><legend>You, its owner</legend>
      ${field({ name: "owner_name", label: "Your name", required: true, maxlength: 160, autocomplete: "name" })}
      ${field({ name: "email", label: "E-mail", type: "email", required: true, autocomplete: "username" })}
      ${field({ name: "password", label: "Password", type: "password", required: true, autocomplete: "new-password", hint: "Several words you will remember are better than one odd word." })}
    </fieldset>`;
}

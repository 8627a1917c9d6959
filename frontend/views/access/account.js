// @ts-check
// My account: where I am signed in, my password, paper or night.

import { showProblem } from "../../components/bf-problem.js";
import { say } from "../../components/bf-toast.js";
import "../../components/calendar-link.js";
import { ApiProblem, get, put, remove } from "../../lib/call.js";
import { field, onSubmit, showErrors } from "../../lib/form.js";
import { html, make, on, render } from "../../lib/html.js";
import { choosePalette, chosenPalette } from "../../lib/palette.js";
import { signOut } from "../../lib/session.js";
import { role, word } from "../../lib/words.js";

/** @import { Context } from "../../lib/router.js" */

/** @type {import("../../lib/router.js").View} */
export default async function view(root, _params, context) {
  const { me, signal } = context;
  const first = !me.person.has_password;
  render(
    root,
    html`<section class="sheet"><h1>Account</h1><p>${me.person.name}, ${word(role, me.person.role).toLowerCase()} at ${me.shop.name}${me.person.email ? html`, ${me.person.email}` : ""}</p></section>
    <section class="sheet" aria-labelledby="sessions-h"><h2 id="sessions-h">Where I am signed in</h2><div id="sessions"></div></section>
    ${me.person.role === "client" ? "" : html`<section class="sheet" aria-labelledby="calendar-h"><h2 id="calendar-h">My work in my calendar</h2>${make("calendar-link", { kind: "person", of: me.person.id, name: me.person.name, formats: context.formats, signal })}</section>`}
    <section class="sheet" aria-labelledby="password-h"><h2 id="password-h">${first ? "Set a password" : "Change the password"}</h2>
      ${first ? html`<p>With a password you can come in without the private link.</p>` : html`<p>Every other session of yours ends.</p>`}
      <form class="narrow-form">
        ${first ? "" : field({ name: "current", label: "Password now", type: "password", required: true, autocomplete: "current-password" })}
        ${field({ name: "new", label: "New password", type: "password", required: true, autocomplete: "new-password", hint: "Several words you will remember are better than one odd word." })}
        <div class="actions"><button type="submit" class="act">${first ? "Set the password" : "Change the password"}</button></div>
      </form></section>
    <section class="sheet"><button type="button" id="leave">Sign out here</button></section>
    <section class="sheet"><fieldset><legend>Palette on this device</legend>${palettes()}</fieldset></section>`,
  );
  on(
    root,
    "change",
    "[name=palette]",
    (input) => choosePalette(/** @type {HTMLInputElement} */ (input).value),
    signal,
  );
  on(root, "click", "#leave", () => void leave(root, context), signal);
  password(/** @type {HTMLFormElement} */ (root.querySelector("form")), context, first);
  const place = /** @type {HTMLElement} */ (root.querySelector("#sessions"));
  on(place, "click", "[data-end]", (button) => void end(button.dataset["end"] ?? "", place, context), signal);
  await sessions(place, context);
}

/** @param {HTMLElement} root @param {Context} context */
async function leave(root, context) {
  try {
    await signOut();
    context.navigate("/sign-in");
  } catch (error) {
    showProblem(root, error);
  }
}

function palettes() {
  const chosen = chosenPalette();
  /** @type {[string, string][]} */
  const all = [
    ["system", "As the device prefers"],
    ["paper", "Paper (light)"],
    ["night", "Night (dark)"],
  ];
  return all.map(
    ([key, name]) =>
      html`<label class="check"><input type="radio" name="palette" value="${key}" ${key === chosen ? html`checked` : ""}> <span>${name}</span></label>`,
  );
}

/** @param {HTMLElement} place @param {Context} context */
async function sessions(place, { formats, signal }) {
  const { items } = await get("/api/sessions", { signal });
  render(
    place,
    html`<ul class="rows">${items.map(
      (
        s,
      ) => html`<li class="row between"><span><strong>${s.device || "Unknown device"}</strong>${s.current ? " (this one)" : ""}<br><span class="small">since ${formats.instant(s.created_at)}, last seen ${formats.instant(s.last_seen_at)}, ends ${formats.instant(s.expires_at)}</span></span>
        ${s.current ? "" : html`<button type="button" data-end="${s.id}">End it<span class="visually-hidden"> on ${s.device}</span></button>`}</li>`,
    )}</ul>`,
  );
}

/** @param {string} id @param {HTMLElement} place @param {Context} context */
async function end(id, place, context) {
  try {
    await remove("/api/sessions/{session}", { path: { session: id }, signal: context.signal });
    await sessions(place, context);
    say("That session is over.");
  } catch (error) {
    showProblem(place, error);
  }
}

/** @param {HTMLFormElement} form @param {Context} context @param {boolean} first */
function password(form, context, first) {
  onSubmit(
    form,
    async (data) => {
      const chosen = String(data.get("new") ?? "");
      const body = first ? { new: chosen } : { current: String(data.get("current") ?? ""), new: chosen };
      await put("/api/me/password", { body, signal: context.signal });
      context.me.person.has_password = true;
      form.reset();
      say(first ? "Password set." : "Password changed; your other sessions are over.");
    },
    (error) => {
      showProblem(form, error);
      if (error instanceof ApiProblem) showErrors(form, error);
    },
    context.signal,
  );
}

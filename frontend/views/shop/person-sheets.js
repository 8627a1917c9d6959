// @ts-check
// Adding and editing a person, inviting one, a client's private links.

import { dialog } from "../../components/bf-dialog.js";
import { showProblem } from "../../components/bf-problem.js";
import { say } from "../../components/bf-toast.js";
import { clientLinks } from "../../components/shop-client-links.js";
import { boxes, span } from "../../components/shop-form.js";
import "../../components/shop-once.js";
import { rosterWords } from "../../components/roster-words.js";
import { readRoster, rosterFields, rosterRows } from "../../components/shop-roster-form.js";
import { askWhichVersion } from "../../components/shop-versions.js";
import { ApiProblem, newKey, post, put } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { html, make, render } from "../../lib/html.js";
import { role as roleWords } from "../../lib/words.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @typedef {Schemas["Person"]} Person */
/** @typedef {{ skills: { key: string, name: string }[], formats: Formats, signal: AbortSignal, once: HTMLElement, refresh: () => Promise<void> }} Tools */

/** @param {Schemas["PersonDraft"]} person @param {Tools} tools @param {boolean} known */
function fields(person, { skills, formats }, known) {
  const f = { form: "person" };
  const staff = person.role !== "client";
  return html`<div class="shop-form">
    ${field({ ...f, name: "name", label: "Name", value: person.name, required: true, maxlength: 160 })}
    ${span(6, field({ ...f, name: "email", label: "E-mail", type: "email", value: person.email, maxlength: 160, ...(staff ? { hint: "Needed to sign in." } : {}) }))}
    ${span(6, field({ ...f, name: "phone", label: "Telephone", type: "tel", value: person.phone, maxlength: 160 }))}
    ${staff ? boxes({ name: "skills", label: "Skills", choices: skills.map(({ key, name }) => [key, name]), chosen: person.skills }) : ""}
    ${staff ? span(6, field({ ...f, name: "cost_rate", label: `Cost an hour, ${formats.currency}`, value: person.cost_rate ?? "", inputmode: "decimal", hint: "What an hour costs the shop. Technicians and clients never see it." })) : ""}
    ${staff && known ? html`<details class="shop-fold"><summary>Hours and absences: ${rosterWords(person.roster)}</summary>${rosterFields(person.roster, "person")}</details>` : ""}
    ${known ? field({ ...f, name: "active", label: "Active", type: "checkbox", value: person.active, hint: "Somebody inactive is signed out everywhere and cannot sign in; their record stays." }) : ""}
  </div>`;
}

/** @param {HTMLElement} form @param {Schemas["Role"]} role @returns {Schemas["PersonDraft"]} */
function draft(form, role) {
  const { roster, rest } = readRoster(form, ["cost_rate"]);
  const said =
    /** @type {Partial<Schemas["PersonDraft"]> & { name: string, email: string, phone: string }} */ (rest);
  return { skills: [], active: true, ...said, role, ...(roster && { roster }) };
}

/** @param {Schemas["PersonDraft"]} person @returns {[string, string][]} */
function rows(person) {
  return [
    ["Name", person.name],
    ["E-mail", person.email],
    ["Telephone", person.phone],
    ["Skills", person.skills.join(", ")],
    ["Cost an hour", person.cost_rate ?? ""],
    ["Active", person.active ? "yes" : "no"],
    ["Hours", rosterWords(person.roster)],
  ];
}

/** @param {Schemas["Role"]} role @param {Tools} tools */
export async function addPerson(role, tools) {
  const key = newKey();
  const blank = { name: "", email: "", phone: "", role, skills: [], active: true };
  await dialog({
    title: `Add: ${(roleWords[role] ?? role).toLowerCase()}`,
    body: fields(blank, tools, false),
    action: "Add the person",
    signal: tools.signal,
    submit: async (_, form) => {
      const person = await post("/api/people", { body: draft(form, role), key });
      say(`${person.name} added.`);
      await tools.refresh();
    },
  });
}

/** @param {Person} person @param {Tools} tools */
export async function editPerson(person, tools) {
  const path = { person: person.id };
  /** @type {{ mine: Schemas["PersonDraft"], now: Person } | undefined} */
  let both;
  await dialog({
    title: person.name,
    body: fields(person, tools, true),
    action: "Save the person",
    signal: tools.signal,
    ready: (form) => rosterRows(form, "person", tools.signal),
    submit: async (_, form) => {
      const mine = draft(form, person.role);
      try {
        await put("/api/people/{person}", { path, body: mine, version: person.version });
        say(`${mine.name} saved.`);
      } catch (error) {
        const now =
          error instanceof ApiProblem && error.status === 412
            ? /** @type {Person | undefined} */ (error.evidence)
            : undefined;
        if (!now?.version) throw error;
        both = { mine, now };
      }
    },
  });
  if (both) {
    const { mine, now } = both;
    await askWhichVersion({
      what: person.name,
      mine: rows(mine),
      theirs: rows(now),
      signal: tools.signal,
      keep: async () => {
        await put("/api/people/{person}", { path, body: mine, version: now.version });
        say(`${mine.name} saved.`);
      },
    });
  }
  await tools.refresh();
}

/** @param {Person} person @param {Tools} tools */
export async function invite(person, { formats, signal, once, refresh }) {
  const made = await dialog({
    title: `Make an invitation for ${person.name}?`,
    body: html`<p>An earlier invitation stops working. ${person.has_password ? `${person.name} has a password already; the invitation lets a new one be chosen.` : "With it, a password is chosen."} The address is shown once.</p>`,
    action: "Make the invitation",
    signal,
    submit: async () => {
      const link = await post("/api/people/{person}/invitation", { path: { person: person.id } });
      render(
        once,
        html`${make("shop-once", { path: link.path, until: formats.instant(link.expires_at), words: `Invitation for ${person.name}.` })}`,
      );
    },
  });
  if (!made) return;
  once.scrollIntoView({ block: "nearest" });
  once.querySelector("button")?.focus();
  await refresh();
}

/** @param {Person} person @param {Tools} tools */
export async function linksOf(person, { formats, signal, once }) {
  const place = document.createElement("div");
  render(once, html`${place}`);
  try {
    await clientLinks(place, { person: person.id, name: person.name, formats, signal });
    once.scrollIntoView({ block: "nearest" });
    once.querySelector("button")?.focus();
  } catch (error) {
    if (!signal.aborted) showProblem(once, error);
  }
}

// @ts-check
// The people of the shop: technicians, owners, clients.

import { showProblem } from "../../components/bf-problem.js";
import { calendarDialog } from "../../components/calendar-link.js";
import { rosterWords } from "../../components/roster-words.js";
import { counted, named } from "../../components/shop-words.js";
import { get } from "../../lib/call.js";
import { html, on, render } from "../../lib/html.js";
import { everyone } from "./everyone.js";
import { addPerson, editPerson, invite, linksOf } from "./person-sheets.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { View } from "../../lib/router.js" */

/** @typedef {Schemas["Person"]} Person */

/** @type {[Schemas["Role"], string, string, string][]} */
const groups = [
  [
    "technician",
    "Technicians",
    "Add a technician",
    "No technician yet. Add who works on the floor, then send each an invitation to sign in.",
  ],
  ["owner", "Owners", "Add an owner", "No owner but you."],
  ["client", "Clients", "Add a client", "No client yet. Add one here or while making a job."],
];

/** @type {View} */
export default async function view(root, _params, { signal, formats }) {
  const { labour } = await get("/api/shop/price-book", { signal });
  const skills = labour.map(({ skill, name }) => ({ key: skill, name }));
  /** @type {Person[]} */
  let people = [];
  const list = document.createElement("div");
  list.className = "stack";
  render(root, html`<h1>People</h1><div id="once" class="stack"></div>${list}`);
  const once = /** @type {HTMLElement} */ (root.querySelector("#once"));
  const refresh = async () => {
    try {
      people = await everyone(undefined, signal);
      render(list, html`${groups.map((group) => section(group, people, skills, formats))}`);
    } catch (error) {
      if (!signal.aborted) showProblem(list, error);
    }
  };
  const tools = { skills, formats, signal, once, refresh };
  /** @param {string} name @param {(person: Person) => Promise<unknown>} act */
  const click = (name, act) =>
    on(
      root,
      "click",
      `[data-${name}]`,
      (button) => {
        const person = people.find((each) => each.id === button.getAttribute(`data-${name}`));
        if (person) void act(person);
      },
      signal,
    );
  click("edit", (person) => editPerson(person, tools));
  click("invite", (person) => invite(person, tools));
  click("links", (person) => linksOf(person, tools));
  click("calendar-of", (person) =>
    calendarDialog({ kind: "person", of: person.id, name: person.name, formats, signal }),
  );
  on(
    root,
    "click",
    "[data-add]",
    (button) => void addPerson(/** @type {Schemas["Role"]} */ (button.dataset["add"]), tools),
    signal,
  );
  await refresh();
}

/**
 * @param {[Schemas["Role"], string, string, string]} group
 * @param {Person[]} people
 * @param {{ key: string, name: string }[]} skills
 * @param {Formats} formats
 */
function section([role, title, add, empty], people, skills, formats) {
  const own = people.filter((person) => person.role === role);
  return html`<section class="sheet" aria-labelledby="of-${role}"><div class="row between"><h2 id="of-${role}">${title}</h2><button type="button" id="add-${role}" data-add="${role}">${add}</button></div>
    ${
      own.length === 0
        ? html`<p class="empty">${empty}</p>`
        : html`<div class="shop-scroll" tabindex="0" role="region" aria-label="List of ${title.toLowerCase()}"><table class="shop-list shop-stack"><caption>${counted(own.length, "person", "people")}</caption>
      <thead><tr><th scope="col">Name</th><th scope="col">E-mail</th><th scope="col">Telephone</th>${role === "technician" ? html`<th scope="col">Skills</th>` : ""}${role === "client" ? "" : html`<th scope="col" class="num">Cost an hour</th>`}${role === "client" ? "" : html`<th scope="col">Hours</th>`}<th scope="col">Sign-in</th><th scope="col">Do</th></tr></thead>
      <tbody>${own.map((person) => row(person, skills, formats))}</tbody></table></div>`
    }</section>`;
}

/** @param {Person} person @param {{ key: string, name: string }[]} skills @param {Formats} formats */
function row(person, skills, formats) {
  const signIn = !person.active
    ? "inactive"
    : person.has_password
      ? "has a password"
      : person.role === "client"
        ? "by private link"
        : "not yet invited or not yet accepted";
  return html`<tr><th scope="row" data-label="Name"><button type="button" class="shop-open" id="edit-${person.id}" data-edit="${person.id}">${person.name}</button></th>
    <td data-label="E-mail">${person.email || "none"}</td><td data-label="Telephone">${person.phone || "none"}</td>
    ${person.role === "technician" ? html`<td data-label="Skills">${person.skills.map((skill) => named(skill, skills)).join(", ") || "none yet"}</td>` : ""}
    ${person.role === "client" ? "" : html`<td data-label="Cost an hour" class="num">${formats.money(person.cost_rate)}</td>`}
    ${person.role === "client" ? "" : html`<td data-label="Hours" class="small">${rosterWords(person.roster, formats.day)}</td>`}
    <td data-label="Sign-in"><span class="state ${person.active ? "" : "ranged"}">${signIn}</span></td>
    <td data-label="">${
      person.role === "client"
        ? html`<button type="button" id="links-${person.id}" data-links="${person.id}">Private links<span class="visually-hidden"> of ${person.name}</span></button>`
        : html`<div class="shop-do"><button type="button" id="invite-${person.id}" data-invite="${person.id}">Invitation<span class="visually-hidden"> for ${person.name}</span></button>${person.active ? html`<button type="button" id="calendar-${person.id}" data-calendar-of="${person.id}">Calendar<span class="visually-hidden"> of ${person.name}</span></button>` : ""}</div>`
    }</td></tr>`;
}

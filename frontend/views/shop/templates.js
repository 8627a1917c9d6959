// @ts-check
// The shop's templates, and what one of them holds.

import { linkWords } from "../../components/shop-link-list.js";
import { counted, named } from "../../components/shop-words.js";
import { get } from "../../lib/call.js";
import { html, render } from "../../lib/html.js";
import { taskKind, word } from "../../lib/words.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { View } from "../../lib/router.js" */

/** @type {View} */
export default async function view(root, params, { signal, query }) {
  const template = params["template"] ?? query.get("template") ?? "";
  if (template) render(root, detail(await get("/api/templates/{template}", { path: { template }, signal })));
  else render(root, list((await get("/api/templates", { signal })).items));
}

/** @param {Schemas["TemplateSummary"][]} templates */
function list(templates) {
  return html`<h1>Templates</h1><p>A template is a starting point for a kind of job: its phases, tasks, links, materials and hold points. Its hours are starting values; a job made from it is yours to change.</p>
    ${templates.length === 0 ? html`<p class="empty">No template yet. They come with the installation's data files.</p>` : ""}
    ${templates.map(
      (
        t,
      ) => html`<article class="sheet"><h2><a class="shop-rowlink" href="/shop/templates?template=${t.id}">${t.name}</a></h2><p>${t.description}</p>
      <p class="second">${counted(t.task_count, "task")}${t.vehicle_options.length > 0 ? `; changes with ${t.vehicle_options.map((o) => o.name.toLowerCase()).join(", ")}` : ""}.</p>
      <p class="shop-actions"><a class="button" href="/shop/templates?template=${t.id}">See what is in it<span class="visually-hidden">: ${t.name}</span></a><a class="button" href="/shop/jobs/new?template=${t.id}">Make a job from it<span class="visually-hidden">: ${t.name}</span></a></p></article>`,
    )}`;
}

/** @param {Schemas["TemplateDetail"]} template */
function detail({ summary, plan: { phases, tasks, links } }) {
  return html`<p class="small"><a class="shop-rowlink" href="/shop/templates">All templates</a></p>
    <div class="row between"><h1>${summary.name}</h1><a class="button act" href="/shop/jobs/new?template=${summary.id}">Make a job from it</a></div>
    <p>${summary.description}</p>
    ${summary.vehicle_options.length === 0 ? "" : html`<section class="sheet"><h2>What about the vehicle changes the work</h2><ul class="shop-plain">${summary.vehicle_options.map((option) => html`<li><strong>${option.name}</strong>: ${option.choices.map((c) => c.name).join("; or ")}</li>`)}</ul></section>`}
    <div class="shop-scroll" tabindex="0" role="region" aria-label="Tasks of the template"><table class="shop-list"><caption>${counted(tasks.length, "task")} and ${counted(links.length, "link")}. Hours are crew-hours and starting values.</caption>
      <thead><tr><th scope="col">Code</th><th scope="col">Task</th><th scope="col" class="num">Low</th><th scope="col" class="num">Likely</th><th scope="col" class="num">High</th><th scope="col">Crew</th><th scope="col">Station</th><th scope="col">Kind</th><th scope="col">Follows</th></tr></thead>
      ${phases.map((phase) => html`<tbody><tr class="shop-band"><th scope="rowgroup" colspan="9">${phase.name}</th></tr>${tasks.filter((task) => task.phase === phase.key).map((task) => row(task, links))}</tbody>`)}
    </table></div>`;
}

/** @param {Schemas["TemplateTask"]} task @param {Schemas["TemplateLink"][]} links */
function row(task, links) {
  const work = task.kind === "work";
  const before = links.filter((link) => link.to === task.key);
  return html`<tr><td>${task.key}</td><th scope="row" class="shop-name">${task.name}${task.zone ? html` <span class="small">${task.zone}</span>` : ""}
      ${task.note || task.hold_point ? html`<details id="note-${task.key}"><summary class="small">Note<span class="visually-hidden"> of ${task.key}</span></summary><p class="shop-lines">${task.note}</p>${task.hold_point ? html`<p><strong>Hold:</strong> ${task.hold_point}</p>` : ""}</details>` : ""}</th>
    <td class="num">${work ? task.hours.low : ""}</td><td class="num">${work ? task.hours.likely : ""}</td><td class="num">${work ? task.hours.high : ""}</td>
    <td>${work ? `${task.crew} × ${named(task.skill || "anybody").toLowerCase()}` : ""}</td><td>${task.station ? named(task.station) : ""}</td>
    <td>${task.kind === "hold" ? html`<span class="state stop">Hold</span>` : word(taskKind, task.kind)}</td>
    <td class="small">${before.map((link) => (link.type === "FS" && /^-?0*(\.0*)?$/.test(link.lag_hours) ? link.from : `${link.from} (${linkWords(link)})`)).join(", ")}</td></tr>`;
}

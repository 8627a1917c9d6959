// @ts-check
// The takeoff of a job: how it is worked, what the steel comes to, what the rules ask of each task and
// material beside what the estimate says, and what moved and why.

import { say } from "../../components/bf-toast.js";
import { gradeWord, sectionWord } from "../../components/frame/words.js";
import { live } from "../../components/live.js";
import { showExplanation } from "../../components/shop-explain.js";
import { choices, readForm, refuse, span } from "../../components/shop-form.js";
import { get, put } from "../../lib/call.js";
import { field, onSubmit } from "../../lib/form.js";
import { html, on, render } from "../../lib/html.js";
import { finishLevel, word, workStage } from "../../lib/words.js";
import { moveItem } from "./takeoff-moves.js";
import { remainders } from "./takeoff-stock.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */
/** @import { JobDesk } from "./job-desk.js" */
/** @import { Step } from "../../components/bf-figure.js" */

/** @typedef {Schemas["Takeoff"]} Takeoff */

/** @param {HTMLElement} root @param {JobDesk} desk @returns {Promise<(own: boolean) => void>} */
export async function takeoff(root, desk) {
  const { signal } = desk;
  const place = document.createElement("div");
  render(root, html`<h2 class="visually-hidden">Takeoff</h2>${place}`);
  const reading = await live({
    job: desk.id,
    context: desk.context,
    place: root,
    read: () => get("/api/jobs/{job}/takeoff", { path: { job: desk.id }, signal }),
    draw: (data) => {
      render(place, page(data, desk.formats));
      const form = /** @type {HTMLFormElement | null} */ (place.querySelector("#ways"));
      if (form)
        onSubmit(
          form,
          () => saveWays(form, desk),
          (error) => refuse(form, error),
          signal,
        );
    },
  });
  on(root, "click", "[data-open]", (button) => reading.now && open(reading.now, button, desk), signal);
  on(root, "click", "[data-follow]", (button) => void follow(button, desk, root), signal);
  on(root, "click", "[data-stock]", () => void remainders(desk, reading.again), signal);
  return (own) => {
    if (own) reading.again().catch(() => undefined);
  };
}

/** @param {HTMLFormElement} form @param {JobDesk} desk */
async function saveWays(form, desk) {
  const body = /** @type {Schemas["MethodsDraft"]} */ (readForm(form));
  desk.accept(
    await put("/api/jobs/{job}/methods", { path: { job: desk.id }, body, version: desk.version }),
    true,
  );
  say("Finish and methods saved; what follows the takeoff has moved.");
}

/** @param {HTMLElement} button @param {JobDesk} desk @param {HTMLElement} root */
async function follow(button, desk, root) {
  const { task, line } = button.dataset;
  const body = {
    task_ids: task ? [task] : [],
    line_ids: line ? [line] : [],
    follows: button.dataset["follow"] === "yes",
  };
  try {
    desk.accept(
      await put("/api/jobs/{job}/follows", { path: { job: desk.id }, body, version: desk.version }),
      true,
    );
    say(body.follows ? "It follows the takeoff again." : "It stays as it is.");
  } catch (error) {
    refuse(root, error);
  }
}

/** Why the estimate does not move. @type {Record<string, string>} */
const standing = {
  sold: "This job was sold, so its estimate stands still. What the steel asks for since then goes into a change order.",
  quoted: "A quote is with the client, so the estimate stands still until it is decided or withdrawn.",
  over: "This job is over; its estimate stays as it is.",
};

/** @param {Takeoff} t @param {Formats} formats */
function page(t, formats) {
  if (t.zones.length === 0)
    return html`<div class="empty"><p>There is no frame to measure yet. Lay one out in the survey; hours and materials then follow its steel.</p><a class="button" href="/shop/jobs/${t.job_id}/survey">To the survey</a></div>`;
  return html`<div class="stack">${stands(t, formats)}
    <div class="shop-two">${ways(t)}${totals(t, formats)}</div>
    ${tasks(t, formats)}${materials(t, formats)}${moves(t, formats)}${zones(t, formats)}
    <section class="sheet"><h3>Cautions</h3><ul class="shop-plain">${t.cautions.map((c) => html`<li>${c.text}</li>`)}</ul></section></div>`;
}

/** @param {Takeoff} t @param {Formats} formats */
function stands({ stands: why, gap, currency }, formats) {
  if (why === "") return "";
  const none = Number(gap.hours) === 0 && Number(gap.net) === 0;
  const less = Number(gap.net) < 0;
  return html`<section class="sheet"><p>${standing[why] ?? ""}</p>${
    none
      ? html`<p class="second">What the steel asks for is what the estimate has.</p>`
      : html`<p>The steel now asks for <b>${formats.hours(gap.hours.replace("-", ""))}</b> ${gap.hours.startsWith("-") ? "less" : "more"} and <b>${formats.money(gap.net.replace("-", ""), currency)}</b> net ${less ? "less" : "more"} than that. <a href="changes">Changes</a></p>`
  }</section>`;
}

/** @param {Takeoff} t */
function ways(t) {
  const stages = [...new Set(t.choices.map((c) => c.stage))];
  return html`<section class="sheet"><h3>How it is worked</h3><form id="ways" novalidate><div class="shop-form">
    ${span(12, field({ form: "ways", name: "finish", label: "Finish", type: "select", value: t.finish, options: choices(finishLevel) }))}
    ${stages.map((stage) =>
      span(
        12,
        field({
          form: "ways",
          name: `methods/${stage}`,
          label: word(workStage, stage),
          type: "select",
          value: t.methods[stage] ?? "",
          options: t.choices.filter((c) => c.stage === stage).map((c) => [c.key, c.name]),
        }),
      ),
    )}</div>
    <p class="hint">A zone may have a finish and methods of its own; they are set on the zone in the survey.</p>
    ${t.stands === "over" ? "" : html`<p class="shop-actions"><button type="submit" class="act" id="save-ways">Save finish and methods</button></p>`}</form></section>`;
}

/** What stands among the totals, in this order. */
const shown = [
  "outer_area",
  "inner_area",
  "blast_area",
  "cavity_volume",
  "steel_weight",
  "patch_count",
  "weld_length",
  "blast_time",
  "weld_time",
];

/** @param {Takeoff} t @param {Formats} formats */
function totals({ totals: all, zones: list }, formats) {
  return html`<section class="sheet"><h3>The whole frame</h3><table><caption class="visually-hidden">Totals over ${list.length} zones</caption><tbody>${shown.map(
    (name) => {
      const q = all.find((each) => each.name === name);
      return q
        ? html`<tr><th scope="row">${capital(q.says)}</th><td class="num">${formats.measured(Number(q.value).toFixed(2), q.unit)}</td></tr>`
        : "";
    },
  )}</tbody></table><p class="second">${list.filter((z) => !z.seen).length} of ${list.length} zones nobody has seen; they count as hidden.</p></section>`;
}

/** @param {string} text */
const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** @param {Takeoff} t @param {Formats} formats */
function tasks(t, formats) {
  return html`<section><h3>Hours</h3>${t.tasks.length === 0 ? html`<p class="second">No rule makes hours for a task of this job.</p>` : ""}
    <div class="shop-scroll"><table class="shop-list shop-stack"><caption>Likely hours in the estimate beside what the rules ask for. Open a figure for its rules, zones, formulas and sources.</caption>
    <thead><tr><th scope="col">Task</th><th scope="col" class="num">Estimate</th><th scope="col" class="num">Rules ask</th><th scope="col" class="num">Low to high</th><th scope="col">Follows</th></tr></thead><tbody>${t.tasks.map(
      (
        row,
      ) => html`<tr><th scope="row">${row.code} ${row.name}</th><td class="num" data-label="Estimate">${formats.hours(row.hours.likely)}</td>
        <td class="num" data-label="Rules ask"><button type="button" class="plain" data-open="task" data-of="${row.task_id}" id="task-${row.code}">${formats.hours(row.asked.likely)}<span class="visually-hidden">, how ${row.code} is worked out</span></button></td>
        <td class="num" data-label="Low to high">${formats.hours(row.asked.low)} to ${formats.hours(row.asked.high)}</td>
        <td data-label="Follows">${followCell(t, row.follows, `data-task`, row.task_id, row.code, Number(row.difference) === 0 ? "" : `${row.difference.startsWith("-") ? "" : "+"}${formats.hours(row.difference)}`)}</td></tr>`,
    )}</tbody></table></div></section>`;
}

/** @param {Takeoff} t @param {boolean} follows @param {"data-task" | "data-line"} kind @param {string} id @param {string} name @param {string} difference */
function followCell(t, follows, kind, id, name, difference) {
  const off = difference ? html`<span class="small second">${difference}</span> ` : "";
  if (t.stands !== "") return html`${off}${follows ? "yes" : "typed over"}`;
  const act = (/** @type {string} */ yes, /** @type {string} */ label) =>
    kind === "data-task"
      ? html`<button type="button" data-follow="${yes}" data-task="${id}" id="follow-${id}">${label}<span class="visually-hidden">: ${name}</span></button>`
      : html`<button type="button" data-follow="${yes}" data-line="${id}" id="follow-${id}">${label}<span class="visually-hidden">: ${name}</span></button>`;
  return follows ? html`${off}yes` : html`${off}typed over ${act("yes", "Follow again")}`;
}

/** @param {Takeoff} t @param {Formats} formats */
function materials(t, formats) {
  return html`<section><div class="row between"><h3>Materials</h3><button type="button" data-stock id="remainders">What other jobs leave over</button></div>
    <div class="shop-scroll"><table class="shop-list shop-stack"><caption>Quantities in the estimate beside what the rules ask for, and what the whole job buys.</caption>
    <thead><tr><th scope="col">Material</th><th scope="col">Task</th><th scope="col" class="num">Estimate</th><th scope="col" class="num">Rules ask</th><th scope="col">Bought</th><th scope="col">Follows</th></tr></thead><tbody>${t.materials.map(
      (
        row,
        i,
      ) => html`<tr><th scope="row">${row.name}${row.priced ? "" : html` <span class="state watch">not in the price book</span>`}</th><td data-label="Task">${row.task_code ?? "–"}</td>
        <td class="num" data-label="Estimate">${row.quantity === undefined ? "no line" : formats.measured(row.quantity, row.unit)}</td>
        <td class="num" data-label="Rules ask"><button type="button" class="plain" data-open="material" data-of="${i}" id="material-${i}">${formats.measured(row.asked, row.unit)}<span class="visually-hidden">, how ${row.name} is worked out</span></button></td>
        <td data-label="Bought">${row.bought ? bought(row.bought, formats) : ""}</td>
        <td data-label="Follows">${row.line_id ? followCell(t, row.follows, "data-line", row.line_id, row.name, "") : "–"}</td></tr>`,
    )}</tbody></table></div></section>`;
}

/** @param {Schemas["BoughtMaterial"]} b @param {Formats} formats */
function bought(b, formats) {
  const packs = b.packs.map((p) => `${p.count} × ${formats.measured(p.size, b.unit)}`).join(", ");
  const taken = Number(b.taken) > 0 ? `; ${formats.measured(b.taken, b.unit)} from other jobs` : "";
  return html`${packs || formats.measured(b.amount, b.unit)}${Number(b.left) > 0 ? `; ${formats.measured(b.left, b.unit)} left over` : ""}${taken}`;
}

/** @param {Takeoff} t @param {Formats} formats */
function zones(t, formats) {
  return html`<section><h3>Zones</h3><div class="shop-scroll"><table class="shop-list shop-stack"><caption>Open a zone for its quantities, each with its formula and source.</caption>
    <thead><tr><th scope="col">Zone</th><th scope="col">Condition</th><th scope="col">Section</th><th scope="col">Gauge</th><th scope="col">Finish</th></tr></thead><tbody>${t.zones.map(
      (
        z,
      ) => html`<tr><th scope="row"><button type="button" class="plain" data-open="zone" data-of="${z.zone_id}" id="zone-${z.code}">${z.name}</button></th>
        <td data-label="Condition">${z.seen ? word(gradeWord, z.condition) : "nobody has seen it"}${z.hole_mm ? `, ${formats.length(z.hole_mm.length)} × ${formats.length(z.hole_mm.width)}` : ""}</td>
        <td data-label="Section">${sectionWord(/** @type {any} */ (z), formats.length)}</td><td data-label="Gauge">${z.gauge || "–"}</td>
        <td data-label="Finish">${z.own_finish ? word(finishLevel, z.finish) : "as the job"}</td></tr>`,
    )}</tbody></table></div></section>`;
}

/** @param {Takeoff} t @param {Formats} formats */
function moves(t, formats) {
  return html`<section class="sheet" id="moves"><h3>What moved</h3>${
    t.moves.length === 0
      ? html`<p class="second">Nothing yet. A zone that is graded anew, another finish or another method moves the estimate, and it is told here.</p>`
      : html`<ul class="shop-plain">${t.moves.map((m) => moveItem(m, formats))}</ul>`
  }</section>`;
}

/** Opens a figure to its inputs, formulas and sources. @param {Takeoff} t @param {HTMLElement} button @param {JobDesk} desk */
function open(t, button, desk) {
  const of = button.dataset["of"] ?? "";
  const { formats } = desk;
  switch (button.dataset["open"]) {
    case "task": {
      const row = t.tasks.find((each) => each.task_id === of);
      if (row)
        void showExplanation(
          {
            title: `${row.code} ${row.name}`,
            steps: [
              ...ruleSteps(row.rules, t, formats),
              { name: "Likely hours", words: row.words, value: formats.hours(row.asked.likely) },
            ],
          },
          desk.signal,
        );
      break;
    }
    case "material": {
      const row = t.materials[Number(of)];
      if (row)
        void showExplanation(
          {
            title: row.name,
            steps: [
              ...ruleSteps(row.rules, t, formats),
              {
                name: "Asked for",
                words: formats.worded(row.words),
                value: formats.measured(row.asked, row.unit),
              },
              ...(row.bought
                ? [
                    {
                      name: "Bought for the job",
                      words: formats.worded(row.bought.words),
                      value: formats.measured(row.bought.amount, row.bought.unit),
                    },
                  ]
                : []),
            ],
          },
          desk.signal,
        );
      break;
    }
    default: {
      const zone = t.zones.find((each) => each.zone_id === of);
      if (zone)
        void showExplanation(
          {
            title: zone.name,
            steps: [
              ...zone.quantities.map((q) => ({
                name: capital(q.says),
                words: `${formats.worded(q.words)}. ${q.source}`,
                value: formats.measured(q.value, q.unit),
              })),
              ...zone.missing.map((m) => ({ name: "Missing", words: m, value: "–" })),
            ],
          },
          desk.signal,
        );
    }
  }
}

/** @param {Schemas["MadeByRule"][]} rules @param {Takeoff} t @param {JobDesk["formats"]} formats @returns {Step[]} */
function ruleSteps(rules, t, formats) {
  const name = new Map(t.zones.map((z) => [z.zone_id, z.name]));
  return rules.flatMap((rule) => [
    {
      name: rule.name,
      words: `${formats.worded(rule.sentence)} ${rule.note} Source: ${rule.source}.`,
      value: formats.measured(rule.amount, rule.unit),
    },
    ...(Number(rule.fixed) > 0
      ? [
          {
            name: "Once",
            words: "The fixed amount of the rule.",
            value: formats.measured(rule.fixed, rule.unit),
          },
        ]
      : []),
    ...rule.zones.map((z) => ({
      name: name.get(z.zone_id) ?? "",
      words: formats.worded(z.words),
      value: formats.measured(z.amount, rule.unit),
    })),
  ]);
}

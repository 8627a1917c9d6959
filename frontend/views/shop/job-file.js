// @ts-check
// Reading a job file: what it holds, what of it becomes which of the shop's own, and then the new job.

import { dialog } from "../../components/bf-dialog.js";
import { clearProblem, showProblem } from "../../components/bf-problem.js";
import { span } from "../../components/shop-form.js";
import { get, newKey, post } from "../../lib/call.js";
import { field } from "../../lib/form.js";
import { html, render } from "../../lib/html.js";
import { jobState, quoteState, word } from "../../lib/words.js";
import { everyone } from "./everyone.js";

/** @import { Schemas } from "../../lib/contract.js" */
/** @import { Formats } from "../../lib/format.js" */

/** @typedef {Schemas["JobFilePreview"]} Preview */
/** @typedef {Record<"skills" | "stations", [string, string][]>} Own */

/**
 * Reads a file and makes a job of it. The new job's identifier, or nothing when it was left.
 * @param {Formats} formats @param {AbortSignal} signal
 */
export async function readJobFile(formats, signal) {
  const [clients, own] = await Promise.all([everyone("client", signal), ownKeys(signal)]);
  let made = "";
  let key = newKey();
  await dialog({
    title: "Read a job file",
    body: html`<div class="shop-form">${span(6, html`<div class="field"><label for="job-file">The file, as another shop took it out</label><input type="file" id="job-file" name="file" accept=".json,application/json"></div>`)}
      ${span(6, field({ form: "job-file", name: "client_id", label: "Whose car it is", type: "select", options: [["", "Choose a client"], ...clients.map(({ id, name }) => /** @type {[string, string]} */ ([id, name]))] }))}</div>
      <div id="job-file-keys"></div>
      <div id="job-file-report" aria-live="polite"><p class="second">A job file holds the work with its prices, the frame and what was seen on it. It becomes a new job of this shop; labour is priced at this shop's rates.</p></div>`,
    action: "Make the job",
    signal,
    ready: (form) => {
      const write = /** @type {HTMLButtonElement} */ (form.querySelector("button.act"));
      write.disabled = true;
      const look = async (/** @type {boolean} */ anew) => {
        key = newKey();
        write.disabled = true;
        const mine = key;
        const preview = await looked(form, anew, own, formats, signal, () => key === mine);
        if (key === mine) write.disabled = !preview?.settled || !chosenClient(form);
      };
      form.addEventListener(
        "change",
        (event) => void look(/** @type {HTMLElement} */ (event.target).id === "job-file"),
        { signal },
      );
    },
    submit: async (_, form) => {
      const page = await post("/api/jobs/import", { body: sent(form), key });
      made = page.job.id;
    },
  });
  return made;
}

/** The shop's own skills and stations, to choose from. @param {AbortSignal} signal @returns {Promise<Own>} */
async function ownKeys(signal) {
  const [book, shop] = await Promise.all([
    get("/api/shop/price-book", { signal }),
    get("/api/shop", { signal }),
  ]);
  return {
    skills: book.labour.map(({ skill, name }) => [skill, name]),
    stations: shop.settings.stations.map(({ key, name }) => [key, name]),
  };
}

/**
 * Looks through what was chosen so far and tells it. The choices themselves are drawn only for a new file,
 * so that a choice keeps its place under the hand.
 * @param {HTMLFormElement} form @param {boolean} anew @param {Own} own @param {Formats} formats @param {AbortSignal} signal
 * @param {() => boolean} last whether nothing was chosen since: an answer that comes late is not shown
 */
async function looked(form, anew, own, formats, signal, last) {
  const keys = /** @type {HTMLElement} */ (form.querySelector("#job-file-keys"));
  const report = /** @type {HTMLElement} */ (form.querySelector("#job-file-report"));
  clearProblem(form);
  if (anew) render(keys, html``);
  if (!fileOf(form)) return undefined;
  try {
    const found = await post("/api/jobs/import/preview", { body: sent(form), signal });
    if (anew) render(keys, mapping(found, own));
    if (!last()) return undefined;
    render(report, told(found, formats));
    return found;
  } catch (error) {
    if (last()) {
      render(report, html``);
      showProblem(form, error);
    }
    return undefined;
  }
}

/** @param {HTMLFormElement} form */
function fileOf(form) {
  return /** @type {HTMLInputElement} */ (form.elements.namedItem("file")).files?.[0];
}

/** @param {HTMLFormElement} form */
function chosenClient(form) {
  return /** @type {HTMLSelectElement} */ (form.elements.namedItem("client_id")).value;
}

/** The file's own bytes with what was chosen for it. @param {HTMLFormElement} form */
function sent(form) {
  /** @type {Record<string, Record<string, string>>} */
  const chosen = { skills: {}, stations: {} };
  for (const select of form.querySelectorAll("select[data-key]")) {
    const { value, dataset } = /** @type {HTMLSelectElement} */ (select);
    const map = chosen[dataset["list"] ?? ""];
    if (map && value) map[dataset["key"] ?? ""] = value === "none" ? "" : value;
  }
  const client = chosenClient(form);
  const rest = JSON.stringify({ mapping: chosen, ...(client ? { client_id: client } : {}) });
  return /** @type {never} */ (new Blob(['{"file":', fileOf(form) ?? "", ",", rest.slice(1)]));
}

/** A choice for each key that the shop does not know. @param {Preview} found @param {Own} own */
function mapping(found, own) {
  const unknown = [
    ...found.skills.map((k) => /** @type {const} */ (["skills", k])),
    ...found.stations.map((k) => /** @type {const} */ (["stations", k])),
  ].filter(([, k]) => !k.known);
  if (unknown.length === 0) return html``;
  return html`<h3>What this shop calls otherwise</h3><div class="shop-form">${unknown.map(([list, k]) => {
    const id = `map-${list}-${k.key}`;
    const name = `mapping/${list}/${k.key}`;
    return span(
      6,
      html`<div class="field"><label for="${id}">${list === "skills" ? "Skill" : "Station"} ${k.name || k.key}, used ${k.uses} ${k.uses === 1 ? "time" : "times"}, becomes</label>
        <select id="${id}" name="${name}" data-list="${list}" data-key="${k.key}" aria-describedby="${id}-error"><option value="">Choose</option>${list === "stations" ? html`<option value="none">no station</option>` : ""}${own[list].map(([key, words]) => html`<option value="${key}">${words}</option>`)}</select>
        <p class="field-error" id="${id}-error" data-error-of="${name}" hidden></p></div>`,
    );
  })}</div>`;
}

/** What a file holds. @param {Preview} found @param {Formats} formats */
function told(found, formats) {
  const count = new Intl.NumberFormat(formats.locale).format;
  const { source } = found;
  /** @param {number} n @param {string} one */
  const many = (n, one) => `${count(n)} ${one}${n === 1 ? "" : "s"}`;
  return html`<h3>${found.title}: ${found.vehicle}</h3>
    <p>${many(found.tasks, "task")} in ${many(found.phases, "phase")}, ${many(found.links, "link")}, ${many(found.lines, "priced line")}, ${many(found.options, "option")}; ${many(found.zones, "zone")} with ${many(found.observations, "observation")}.</p>
    <p>${
      found.total
        ? html`<strong>Here it comes to ${formats.money(found.total, found.currency)}</strong>${found.finish ? html` and would be finished on ${formats.day(found.finish)}` : ""}; there it came to ${formats.money(source.total, found.currency)}.`
        : html`<strong>Choose for each skill and station above which of yours it becomes.</strong> There it came to ${formats.money(source.total, found.currency)}.`
    }</p>
    <p class="second">From ${source.shop || "another shop"}, job ${source.job_number}, ${word(jobState, source.state).toLowerCase()}, taken out on ${formats.day(source.exported_on)}${source.client_name ? `; client there: ${source.client_name}` : ""}. ${source.photos_left_out > 0 ? `${many(source.photos_left_out, "photo")} stayed there. ` : ""}${found.unknown_prices > 0 ? `${many(found.unknown_prices, "line")} keep the price and forget the row of the price book. ` : ""}${found.adds_template ? "Its own repair list comes along as a template. " : ""}Hours, quotes and payments are not carried over.</p>
    ${
      source.quotes.length > 0
        ? html`<p class="second">Quotes there: ${source.quotes.map((q) => `${q.number}, ${word(quoteState, q.state).toLowerCase()}, ${formats.money(q.total, found.currency)}`).join("; ")}.</p>`
        : ""
    }`;
}

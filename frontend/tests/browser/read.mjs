// What the server says, asked beside the screen, and how its figures must look there. The formats are made
// here anew with Intl, so that a screen is never compared with its own code.

/** @import { Person } from "./people.mjs" */

/** The server's answer, as this person may read it. @param {Person} who @param {string} path */
export async function ask(who, path) {
  const answer = await who.context.request.get(path);
  if (!answer.ok()) throw new Error(`${answer.status()} for ${path}: ${await answer.text()}`);
  return answer.json();
}

/** The newest job in work, and a material line of it whose task was not begun. @param {Person} owner */
export async function materialAhead(owner) {
  const { items } = await ask(owner, "/api/jobs");
  const { id } = items.findLast((/** @type {any} */ j) => j.state === "in_work");
  const job = await ask(owner, `/api/jobs/${id}`);
  const line = job.lines.find((/** @type {any} */ l) => {
    const needs = job.tasks.find((/** @type {any} */ t) => t.id === l.task_id);
    return l.kind === "material" && needs?.state === "open";
  });
  if (!line) throw new Error(`job ${id} has no line of a task that was not begun`);
  return { id, job, line };
}

/**
 * A write from inside the page, as a script of its own origin would send it.
 * @param {Person} who
 * @param {string} path
 * @param {unknown} body
 * @param {Record<string, string>} [headers]
 * @returns {Promise<{ status: number, body: any }>}
 */
export function send(who, path, body, headers = {}) {
  return who.page.evaluate(
    async ([to, content, more]) => {
      const answer = await fetch(to, {
        method: "POST",
        headers: { "Content-Type": "application/json", ...more },
        body: JSON.stringify(content),
      });
      return { status: answer.status, body: await answer.json().catch(() => undefined) };
    },
    /** @type {const} */ ([path, body, headers]),
  );
}

/** @param {string} amount a decimal */
export const money = (amount, currency = "EUR") =>
  new Intl.NumberFormat("en-GB", { style: "currency", currency }).format(amount);

/** In the minor unit, exact. @param {string} amount a decimal with two places */
export function cents(amount) {
  const [, sign, whole, rest] = /^(-?)(\d+)\.(\d{2})$/.exec(amount) ?? [];
  if (whole === undefined) throw new Error(`no amount with two places: ${amount}`);
  return (sign ? -1 : 1) * (Number(whole) * 100 + Number(rest));
}

/** @param {string} day YYYY-MM-DD */
export const dayWords = (day) =>
  new Intl.DateTimeFormat("en-GB", {
    timeZone: "UTC",
    weekday: "short",
    day: "numeric",
    month: "short",
    year: "numeric",
  }).format(new Date(`${day}T12:00:00Z`));

/** The day of an instant in a zone. @param {string} instant @param {string} zone */
export const dayIn = (instant, zone) =>
  new Intl.DateTimeFormat("en-CA", { timeZone: zone, dateStyle: "short" }).format(new Date(instant));

/**
 * Asks until it is so.
 * @template T
 * @param {string} what
 * @param {() => Promise<T>} read
 * @param {(value: T) => boolean} wanted
 */
export async function until(what, read, wanted, patience = 30_000) {
  const end = Date.now() + patience;
  for (;;) {
    const value = await read();
    if (wanted(value)) return value;
    if (Date.now() > end) throw new Error(`${what}: still ${JSON.stringify(value)}`);
    await new Promise((done) => setTimeout(done, 250));
  }
}

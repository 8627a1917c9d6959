// @ts-check
// What the sections of a job page share: the page as the server last told it, saving with its version, and
// what happens when somebody else saved first.
//
// Saves run one after another, each with the version its edit was begun on. A refusal for that version
// (412) is looked at: when what was edited is unchanged by the other person, the save is put on top of
// their page; when both changed the same thing, both versions are shown and the owner chooses.

import { say } from "../../components/bf-toast.js";
import { askWhichVersion } from "../../components/shop-versions.js";
import { ApiProblem, get } from "../../lib/call.js";
import { inCurrency } from "../../lib/format.js";

/** @import { JobPage, Schemas } from "../../lib/contract.js" */
/** @import { Context } from "../../lib/router.js" */

/** What was edited in words: [what, value]. @typedef {[string, string][]} Rows */

/**
 * @typedef {object} Edit
 * @property {string} what in words, for "… saved" and for both versions
 * @property {number | (() => number)} version the version of the page the edit was begun on, or how to find it when its turn comes
 * @property {(version: number) => Promise<JobPage>} send
 * @property {Rows} mine what the owner wants it to be
 * @property {(page: JobPage) => Rows} stored what a page says of the same thing; empty when it is gone
 */

/** Both changed the same thing. @typedef {{ edit: Edit, current: JobPage }} Conflict */

const remembered = 12;

export class JobDesk {
  /** @type {Promise<unknown>} */
  #line = Promise.resolve();
  /** @type {Map<number, JobPage>} */
  #pages = new Map();
  /** @type {((own: boolean) => void)[]} */
  #watchers = [];

  /**
   * @param {{ page: JobPage, book: Schemas["PriceBook"], shop: Schemas["Shop"], context: Context }} start
   */
  constructor({ page, book, shop, context }) {
    this.page = page;
    this.book = book;
    this.shop = shop;
    this.context = context;
    this.formats = inCurrency(context.formats, page.job.currency);
    this.signal = context.signal;
    this.#remember(page);
  }

  get id() {
    return this.page.job.id;
  }

  get version() {
    return this.page.job.version;
  }

  /** Called back after each new page; `own` when it answers this person's own save. @param {(own: boolean) => void} watcher */
  watch(watcher) {
    this.#watchers.push(watcher);
  }

  /** @param {JobPage} page @param {boolean} own */
  accept(page, own) {
    if (JSON.stringify(page) === JSON.stringify(this.page)) return;
    this.page = page;
    this.#remember(page);
    for (const watcher of this.#watchers) watcher(own);
  }

  /** Fetches what others changed. */
  async refresh() {
    const page = await get("/api/jobs/{job}", { path: { job: this.id }, signal: this.signal });
    // An answer that was overtaken by a save of our own says nothing new.
    if (page.job.version >= this.version) this.accept(page, false);
  }

  /**
   * @param {Edit} edit
   * @returns {Promise<Conflict | undefined>}
   */
  save(edit) {
    const saved = this.#line.then(() => {
      const begun = typeof edit.version === "function" ? edit.version() : edit.version;
      return this.#send({ ...edit, version: begun }, begun, 3);
    });
    this.#line = saved.catch(() => undefined);
    return saved;
  }

  /** @param {Edit} edit @param {number} version @param {number} tries @returns {Promise<Conflict | undefined>} */
  async #send(edit, version, tries) {
    try {
      this.accept(await edit.send(version), true);
      say(`${edit.what} saved.`);
      return undefined;
    } catch (error) {
      const current = currentIn(error);
      if (!current) throw inWords(error, this.page);
      const before = typeof edit.version === "number" ? this.#pages.get(edit.version) : undefined;
      const same = before && JSON.stringify(edit.stored(before)) === JSON.stringify(edit.stored(current));
      if (same && tries > 1) return this.#send(edit, current.job.version, tries - 1);
      return { edit, current };
    }
  }

  /**
   * Shows both versions and does what the owner chooses.
   * @param {Conflict | undefined} conflict
   * @returns {Promise<void>}
   */
  async settle(conflict) {
    if (!conflict) return;
    const { edit, current } = conflict;
    if (JSON.stringify(edit.stored(current)) === JSON.stringify(edit.mine)) {
      // Both wrote the same.
      this.accept(current, true);
      return;
    }
    /** @type {Conflict | undefined} */
    let again;
    const mine = await askWhichVersion({
      what: edit.what,
      mine: edit.mine,
      theirs: edit.stored(current),
      signal: this.signal,
      keep: async () => {
        again = await this.save({ ...edit, version: current.job.version });
      },
    });
    if (!mine) this.accept(current, true);
    await this.settle(again);
  }

  /** @param {JobPage} page */
  #remember(page) {
    this.#pages.set(page.job.version, page);
    const oldest = this.#pages.keys().next().value;
    if (this.#pages.size > remembered && oldest !== undefined) this.#pages.delete(oldest);
  }
}

/**
 * A refusal that names tasks by their identifiers, as a circle's does, names them by code and name.
 * @param {unknown} error @param {JobPage} page
 */
function inWords(error, page) {
  if (!(error instanceof ApiProblem)) return error;
  const names = new Map(page.tasks.map((task) => [task.id, `${task.code} ${task.name}`]));
  const told = (/** @type {string} */ text) =>
    text.replace(/[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}/g, (id) => names.get(id) ?? id);
  const { type, title, status, detail, evidence } = error;
  // The links at fault are in the sentence; their numbers in a list that nobody sees help nobody.
  const errors = error.errors.filter(({ pointer }) => !pointer.startsWith("/links/"));
  return new ApiProblem({
    type,
    title,
    status,
    detail: told(detail),
    evidence,
    errors: errors.map((each) => ({ ...each, detail: told(each.detail) })),
  });
}

/** The page as it is now, which a refusal for a stale version carries. @param {unknown} error */
function currentIn(error) {
  if (!(error instanceof ApiProblem) || error.status !== 412) return undefined;
  const page = /** @type {JobPage | undefined} */ (error.evidence);
  return page?.job?.version ? page : undefined;
}

// @ts-check
// Writes of the bench, kept until they are done. Each is stored before it is sent, with a fixed idempotency
// key and the instant it happened, so that it is done exactly once however often the network breaks.
//
// They go up in order. A dead network or a server in trouble stops the line and is tried again later; a
// refusal is kept and shown until somebody has read it, and the line goes on. So is what the server fails on
// again and again, or what cannot be sent at all: one entry never holds up those behind it for good. Entries
// belong to the person who made them and never go up under another's sign-in.

import { ApiProblem, NetworkProblem } from "./call.js";

/** @import { Method, Problem } from "./contract.js" */

/**
 * @typedef {object} Write
 * @property {string} key the idempotency key, which names the write
 * @property {number} order
 * @property {string} person
 * @property {Method} method
 * @property {string} path
 * @property {Record<string, string>} [values] for the path
 * @property {unknown} body JSON, or a photo's bytes
 * @property {string} [feeds] key of the later write whose `photo_ids` take the identifier this one is answered with
 * @property {boolean} [behind] goes up when nothing else waits: a photo takes long, a clock should not wait for it
 * @property {string} at when it happened, RFC 3339
 * @property {string} label what it is, in words
 * @property {"waiting" | "refused"} state
 * @property {number} [failures] how often the server failed on it
 * @property {Problem} [problem] why it was refused
 */

/**
 * Where writes are kept.
 * @typedef {object} Shelf
 * @property {() => Promise<Write[]>} all
 * @property {(write: Write) => Promise<void>} put
 * @property {(writes: Write[]) => Promise<void>} putAll all of them or none
 * @property {(key: string) => Promise<void>} remove
 */

/** @typedef {Omit<Write, "order" | "person" | "state" | "problem">} NewWrite */

/**
 * @typedef {{ state: "done", data: unknown } | { state: "waiting" } | { state: "refused", problem: ApiProblem }} Outcome
 */

/** A server that fails on one write this often has a defect that waiting does not mend. */
const most = 8;

/** A write asked for while a photo is on its way waits this long for it, in milliseconds. */
const polite = 3000;

export class Queue {
  /**
   * @param {Shelf} shelf
   * @param {(write: Write) => Promise<unknown>} send
   * @param {string} person whose writes these are
   * @param {(work: () => Promise<void>) => Promise<void>} [exclusive] lets one tab at a time send
   */
  constructor(shelf, send, person, exclusive = (work) => work()) {
    this.shelf = shelf;
    this.send = send;
    this.person = person;
    this.exclusive = exclusive;
    /** @type {Map<string, Outcome>} */
    this.outcomes = new Map();
    /** @type {Promise<void> | undefined} */
    this.running = undefined;
    this.again = false;
    /** @type {Write | undefined} */
    this.sending = undefined;
    /** @type {Map<string, () => void>} */
    this.settled = new Map();
    /** @type {Set<(writes: Write[]) => void>} */
    this.watchers = new Set();
  }

  /** My writes that are not done, in order. */
  async mine() {
    const writes = await this.shelf.all();
    return writes.filter((w) => w.person === this.person).sort((a, b) => a.order - b.order);
  }

  /** How many writes of somebody else wait on this device. */
  async others() {
    return (await this.shelf.all()).filter((w) => w.person !== this.person).length;
  }

  /** @param {(writes: Write[]) => void} watcher @param {AbortSignal} signal */
  watch(watcher, signal) {
    this.watchers.add(watcher);
    signal.addEventListener("abort", () => this.watchers.delete(watcher), { once: true });
    this.mine().then((writes) => {
      if (!signal.aborted) watcher(writes);
    });
  }

  async tell() {
    const writes = await this.mine();
    for (const watcher of [...this.watchers]) watcher(writes);
  }

  /**
   * Keeps a write and tries to send it. A refusal met at once is given back instead of kept, since
   * whoever asked is still there to read it.
   * @param {NewWrite} write
   * @returns {Promise<Outcome>}
   */
  async add(write) {
    await this.#store([write]);
    /** @type {Promise<void>} */
    const settled = new Promise((done) => this.settled.set(write.key, done));
    const first = [settled, this.flush()];
    if (this.sending?.behind) first.push(new Promise((done) => setTimeout(done, polite)));
    await Promise.race(first);
    this.settled.delete(write.key);
    const outcome = this.outcomes.get(write.key) ?? (await this.#without(write.key));
    this.outcomes.delete(write.key);
    if (outcome.state === "refused") await this.drop(write.key);
    return outcome;
  }

  /**
   * Keeps writes that belong together, all or none, and lets them go up by themselves: photos first, then
   * what they are photos of. What becomes of them is seen by watching.
   * @param {NewWrite[]} writes
   */
  async keep(writes) {
    await this.#store(writes);
    this.flush().catch(() => {});
  }

  /** @param {NewWrite[]} writes */
  async #store(writes) {
    const last = (await this.shelf.all()).reduce((most, w) => Math.max(most, w.order), 0);
    await this.shelf.putAll(
      writes.map((write, i) => ({ ...write, order: last + 1 + i, person: this.person, state: "waiting" })),
    );
    await this.tell();
  }

  /** No outcome here: it waits, or another tab has sent it. @param {string} key @returns {Promise<Outcome>} */
  async #without(key) {
    const there = (await this.mine()).some((w) => w.key === key);
    return there ? { state: "waiting" } : { state: "done", data: undefined };
  }

  /** Sends what waits, in order. Calls that overlap share one run. */
  async flush() {
    if (this.running) {
      this.again = true;
      return this.running;
    }
    this.running = (async () => {
      do {
        this.again = false;
        await this.exclusive(() => this.run());
      } while (this.again);
    })();
    try {
      await this.running;
    } finally {
      this.running = undefined;
    }
  }

  async run() {
    for (;;) {
      const waiting = (await this.mine()).filter((w) => w.state === "waiting");
      const next = waiting.find((w) => !w.behind) ?? waiting[0];
      if (!next) return;
      this.sending = next;
      const outcome = await this.attempt(next);
      this.sending = undefined;
      if (outcome.state === "waiting") return;
      this.outcomes.set(next.key, outcome);
      if (outcome.state === "done") {
        await this.#feed(next, outcome.data);
        await this.shelf.remove(next.key);
      } else await this.shelf.put({ ...next, state: "refused", problem: plain(outcome.problem) });
      await this.tell();
      this.settled.get(next.key)?.();
    }
  }

  /**
   * Hands the identifier of what went up to the write that names it, before its own write leaves the shelf:
   * cut off in between, it goes up again under its key and is answered with the same identifier.
   * @param {Write} write @param {unknown} data
   */
  async #feed({ feeds }, data) {
    const fed = feeds && (await this.mine()).find((w) => w.key === feeds);
    const { id } = /** @type {{ id?: string }} */ (data ?? {});
    if (!fed || !id) return;
    const body = /** @type {{ photo_ids: string[] }} */ (fed.body);
    const photo_ids = [...new Set([...body.photo_ids, id])];
    await this.shelf.put({ ...fed, body: { ...body, photo_ids } });
  }

  /** @param {Write} write @returns {Promise<Outcome>} */
  async attempt(write) {
    try {
      return { state: "done", data: await this.send(write) };
    } catch (error) {
      if (error instanceof NetworkProblem) return { state: "waiting" };
      const problem = error instanceof ApiProblem ? error : unsendable(error);
      if (isRefusal(problem.status)) return { state: "refused", problem };
      return this.#failed(write, problem);
    }
  }

  /** An outage is waited for, however long; a failure on this very write only so often. @param {Write} write @param {ApiProblem} problem @returns {Promise<Outcome>} */
  async #failed(write, problem) {
    if (problem.status !== 500) return { state: "waiting" };
    const failures = (write.failures ?? 0) + 1;
    if (failures >= most) return { state: "refused", problem };
    await this.shelf.put({ ...write, failures });
    return { state: "waiting" };
  }

  /** Somebody has read the refusal. @param {string} key */
  async drop(key) {
    await this.shelf.remove(key);
    await this.tell();
  }
}

/**
 * A refusal is final: the same request would be refused again. Signed out, too slow, too many and server
 * trouble are not.
 * @param {number} status
 */
export function isRefusal(status) {
  return status >= 400 && status < 500 && ![401, 408, 425, 429].includes(status);
}

/** A write that this page cannot even send, as one kept by an older page. @param {unknown} error */
function unsendable(error) {
  console.error(error);
  const detail = "This page could not send it.";
  return new ApiProblem({ type: "about:blank", title: "Not sent", status: 400, detail });
}

/** @param {ApiProblem} problem @returns {Problem} */
function plain(problem) {
  const { type, title, status, detail, errors } = problem;
  return { type, title, status, detail, errors };
}

// @ts-check
// The bench's writes: through the queue, whether there is a network or not; and what Today looks like with
// the writes that have not gone up yet.

import { call, NetworkProblem, newKey, now } from "./call.js";
import { Queue } from "./queue.js";
import { online } from "./session.js";
import { writes } from "./shelf.js";

/** @import { HoursEntry, Me, TaskCard, Today, Schemas } from "./contract.js" */
/** @import { NewWrite, Write } from "./queue.js" */

/** Longer than this on a bad network is as good as no answer; the key makes trying again safe. */
const patience = 10_000;

/** A photo may take as long as it takes at this many bytes a millisecond: a bad network at 16 KB a second. */
const slowest = 16;

/** @param {Write} write */
async function send(write) {
  try {
    return await call(write.method, write.path, {
      path: write.values,
      body: write.body,
      key: write.key,
      signal: AbortSignal.timeout(
        patience + (write.body instanceof Blob ? Math.ceil(write.body.size / slowest) : 0),
      ),
    });
  } catch (error) {
    if (error instanceof DOMException) throw new NetworkProblem(error);
    throw error;
  }
}

/** @type {Queue | undefined} */
let queue;

/** The queue of whoever is signed in. @param {Me} me */
export function benchQueue(me) {
  if (queue?.person === me.person.id) return queue;
  const first = queue === undefined;
  queue = new Queue(writes, send, me.person.id, exclusive);
  if (first) keepTrying();
  return queue;
}

/** One tab at a time sends. Without locks (plain HTTP) the keys alone keep it to once. @param {() => Promise<void>} work */
async function exclusive(work) {
  if (navigator.locks) await navigator.locks.request("bareframe writes", work);
  else await work();
}

function keepTrying() {
  const flush = () => void sendWaiting().catch(() => {});
  addEventListener("online", flush);
  document.addEventListener("visibilitychange", flush);
  online.watch((is) => is && flush(), new AbortController().signal);
  setInterval(flush, 20_000);
}

/** Sends what waits. A refusal is said wherever its person is just now; Today keeps it with what to do. */
async function sendWaiting() {
  const mine = queue;
  if (!mine) return;
  const refused = async () => (await mine.mine()).filter((w) => w.state === "refused");
  const before = new Set((await refused()).map((w) => w.key));
  await mine.flush();
  const [first] = (await refused()).filter((w) => !before.has(w.key));
  if (!first) return;
  const { say } = await import("../components/bf-toast.js");
  say(`Refused: ${first.label}. Today says what to do.`);
}

/** The instant of an act, to the second, never ahead of the server's clock. */
export function instantNow() {
  return now()
    .toISOString()
    .replace(/\.\d{3}Z$/, "Z");
}

/**
 * A write of the bench by the contract's path.
 * @param {"/api/bench/clock/start" | "/api/bench/clock/stop" | "/api/bench/clock/switch" | "/api/bench/hours" | "/api/bench/hours/{entry}/correction" | "/api/jobs/{job}/photos" | "/api/jobs/{job}/findings" | "/api/jobs/{job}/observations"} path
 * @param {unknown} body
 * @param {string} label
 * @param {Record<string, string>} [values]
 */
export function benchWrite(path, body, label, values) {
  return {
    key: newKey(),
    method: /** @type {const} */ ("post"),
    path,
    values,
    body,
    at: instantNow(),
    label,
  };
}

/**
 * What was found or seen, with its photos: each a write of its own, the photos first.
 * @param {"/api/jobs/{job}/findings" | "/api/jobs/{job}/observations"} path
 * @param {string} job
 * @param {Schemas["FindingDraft"] | Schemas["ObservationDraft"]} body
 * @param {Blob[]} photos
 * @param {string} label
 * @returns {NewWrite[]}
 */
export function withPhotos(path, job, body, photos, label) {
  const main = { ...benchWrite(path, body, label, { job }), behind: true };
  return [
    ...photos.map((photo, i) => ({
      ...benchWrite("/api/jobs/{job}/photos", photo, `Photo ${i + 1} of ${label}`, { job }),
      behind: true,
      feeds: main.key,
    })),
    main,
  ];
}

/**
 * Today as it is with the writes that wait: an hour logged in the cellar shows at once.
 * @param {Today} today
 * @param {Write[]} waiting
 * @returns {Today}
 */
export function project(today, waiting) {
  return waiting.filter((w) => w.state === "waiting").reduce(after, today);
}

/**
 * The hours that a refused write stood for, as far as it says them, to be typed in; undefined where there are
 * none to type: a stop leaves its clock running, and a correction is made where its entry is.
 * @param {Write} write
 * @returns {Partial<Schemas["HoursLog"]> | undefined}
 */
export function toType(write) {
  if (write.path === "/api/bench/hours") return /** @type {Schemas["HoursLog"]} */ (write.body);
  const starts =
    write.path === "/api/bench/clock/start"
      ? /** @type {Schemas["ClockStart"]} */ (write.body)
      : write.path === "/api/bench/clock/switch"
        ? /** @type {Schemas["ClockSwitch"]} */ (write.body).start
        : undefined;
  if (!starts?.task_id) return undefined;
  return { task_id: starts.task_id, started_at: starts.at ?? write.at };
}

/** What can be begun from Today: what is next, and what is free beside the plan. @param {Today} today @returns {TaskCard[]} */
export const offered = ({ next, plan }) => [...next, ...(plan?.others ?? [])];

/** @param {Today} today @param {Write} write @returns {Today} */
function after(today, write) {
  if (write.path === "/api/bench/clock/start") {
    return started(today, /** @type {Schemas["ClockStart"]} */ (write.body), write);
  }
  if (write.path === "/api/bench/clock/stop") {
    return stopped(today, /** @type {Schemas["ClockStop"]} */ (write.body), write);
  }
  if (write.path === "/api/bench/clock/switch") {
    const body = /** @type {Schemas["ClockSwitch"]} */ (write.body);
    return started(stopped(today, body.stop, write), body.start, write);
  }
  return today;
}

/** @param {Today} today @param {Schemas["ClockStart"]} body @param {Write} write @returns {Today} */
function started(today, body, write) {
  const { plan } = today;
  const card = offered(today).find((c) => c.task_id === body.task_id);
  /** @type {HoursEntry} */
  const clock = {
    id: write.key,
    job_id: card?.job_id ?? body.job_id ?? "",
    job_number: card?.job_number ?? today.jobs.find((j) => j.id === body.job_id)?.number ?? 0,
    task_id: body.task_id,
    task_code: card?.code,
    task_name: card?.name ?? write.label,
    person: { id: write.person, name: "" },
    kind: body.waiting ? "waiting" : "work",
    waiting_code: body.waiting,
    started_at: body.at ?? write.at,
    minutes: 0,
    note: "",
    done: false,
    corrected: false,
    void: false,
    logged_at: write.at,
  };
  const without = (/** @type {TaskCard[]} */ cards) => cards.filter((c) => c !== card);
  const beside = plan && { plan: { ...plan, others: without(plan.others) } };
  return { ...today, clock, clock_task: card, next: without(today.next), ...beside };
}

/** @param {Today} today @param {Schemas["ClockStop"]} body @param {Write} write @returns {Today} */
function stopped(today, body, write) {
  const { clock, clock_task: card, ...rest } = today;
  if (!clock) return today;
  const finished = body.at ?? write.at;
  const minutes = Math.max(0, Math.round((Date.parse(finished) - Date.parse(clock.started_at)) / 60_000));
  const entry = { ...clock, finished_at: finished, minutes, done: body.done, hours_to_go: body.hours_to_go };
  return {
    ...rest,
    minutes_today: today.minutes_today + minutes,
    entries: [entry, ...today.entries],
    next: card && !body.done ? [card, ...today.next] : today.next,
  };
}

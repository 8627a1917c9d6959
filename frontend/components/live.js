// @ts-check
// What a screen reads for itself: at once, and again when somebody changed it, one read for a burst of
// events. An answer that says nothing new draws nothing, so that nobody loses a place.
//
//   const frame = await live({ job, context, place: root, read: () => get(…), draw: (data) => render(…) });
//   frame.take(await post(…));      an own save answered with the new state

import { showProblem } from "./bf-problem.js";

/** @import { Context } from "../lib/router.js" */

/**
 * @template T
 * @param {object} what
 * @param {string} what.job changes of other jobs are none of this screen's; empty: any
 * @param {Pick<Context, "signal" | "changed">} what.context
 * @param {HTMLElement} what.place where a failure is shown
 * @param {() => Promise<T>} what.read
 * @param {(data: T) => void} what.draw
 */
export async function live({ job, context, place, read, draw }) {
  const { signal } = context;
  /** @type {T | undefined} */
  let now;
  let asked = 0;
  /** @param {T} data */
  const take = (data) => {
    if (signal.aborted) return;
    const same = JSON.stringify(data) === JSON.stringify(now);
    now = data;
    if (!same) draw(data);
  };
  const again = async () => {
    asked += 1;
    const mine = asked;
    const data = await read();
    // A slower answer to an earlier question says nothing new.
    if (mine === asked) take(data);
  };
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let soon;
  context.changed((change) => {
    if (job && change.job && change.job !== job) return;
    clearTimeout(soon);
    // When it fails the page is as it was; the next event tries again.
    soon = setTimeout(() => again().catch(() => undefined), 250);
  });
  signal.addEventListener("abort", () => clearTimeout(soon));
  try {
    await again();
  } catch (error) {
    if (!signal.aborted) showProblem(place, error);
  }
  return {
    again,
    /** A read that began before an own save knows less than the save's answer. @param {T} data */
    take: (data) => {
      asked += 1;
      take(data);
    },
    get now() {
      return now;
    },
  };
}

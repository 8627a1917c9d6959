// @ts-check
// A job's frame for the bench: the server's, or the one this device kept when there was a network.

import { ApiProblem, get, NetworkProblem } from "./call.js";
import { keep, kept } from "./shelf.js";

/** @import { Schemas, Today } from "./contract.js" */

/** @param {string} job @param {AbortSignal} signal @returns {Promise<Schemas["Frame"]>} */
export async function frameOf(job, signal) {
  const name = `frame ${job}`;
  try {
    const frame = await get("/api/jobs/{job}/frame", { path: { job }, signal });
    keep(name, frame).catch(() => {});
    return frame;
  } catch (error) {
    const down = error instanceof NetworkProblem || (error instanceof ApiProblem && error.status >= 500);
    const copy = down ? await kept(name) : undefined;
    if (!copy) throw error;
    return /** @type {Schemas["Frame"]} */ (copy);
  }
}

/** @type {Set<string>} */
const fetched = new Set();

/** Frames of the jobs in work, so that a zone can be picked in the cellar. One after the other, once a visit. @param {Today} today @param {AbortSignal} signal */
export async function keepFrames(today, signal) {
  for (const { id } of today.jobs.filter((job) => !fetched.has(job.id))) {
    if (signal.aborted) return;
    await frameOf(id, signal);
    fetched.add(id);
  }
}

/** Zones whose name or code has every typed word, or its beginning. @param {Schemas["Zone"][]} zones @param {string} typed */
export function named(zones, typed) {
  const wanted = wordsOf(typed);
  return zones.filter(({ name, code }) => {
    const words = wordsOf(`${name} ${code}`);
    return wanted.length > 0 && wanted.every((w) => words.some((other) => other.startsWith(w)));
  });
}

/** The one zone that a task's words mean; none when they could mean several, or none. @param {Schemas["Zone"][]} zones @param {string} words */
export function meant(zones, words) {
  const wanted = wordsOf(words);
  const fit = zones.filter(({ name }) => {
    const there = wordsOf(name);
    return wanted.length > 1 && wanted.every((w) => there.includes(w));
  });
  return fit.length === 1 ? (fit[0]?.id ?? "") : "";
}

/** @param {string} text */
const wordsOf = (text) =>
  text
    .toLowerCase()
    .match(/[\p{L}\p{N}]+/gu)
    ?.filter((w) => w !== "the") ?? [];

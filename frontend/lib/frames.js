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

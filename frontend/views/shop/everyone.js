// @ts-check
// All people of a role: the list comes in pages, and a choice needs all of them.

import { get } from "../../lib/call.js";

/** @import { Schemas } from "../../lib/contract.js" */

/**
 * @param {Schemas["Role"] | undefined} role
 * @param {AbortSignal} signal
 */
export async function everyone(role, signal) {
  /** @type {Schemas["Person"][]} */
  const people = [];
  let cursor = "";
  do {
    const page = await get("/api/people", {
      query: { limit: 200, cursor, ...(role ? { role } : {}) },
      signal,
    });
    people.push(...page.items);
    cursor = page.next_cursor;
  } while (cursor);
  return people;
}

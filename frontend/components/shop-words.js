// @ts-check
// Words that only the owner's screens need, beside lib/words.js.

/** @import { Schemas } from "../lib/contract.js" */

/** What the owner does when moving a job. @type {Record<Schemas["JobTarget"], string>} */
export const jobMove = {
  surveyed: "Mark as surveyed",
  finished: "Mark as finished",
  closed: "Close the job",
  declined: "Mark as declined",
  cancelled: "Cancel the job",
};

/** @type {Record<Schemas["LagKind"], string>} */
export const lagKind = { working: "working hours", elapsed: "elapsed hours" };

/** What makes a draw due. @type {Record<string, string>} */
export const drawGate = {
  acceptance: "on acceptance",
  phase_end: "at the end of a phase",
  strip_gate: "when the inspection after stripping is released",
  hand_over: "at hand-over",
  named: "as its name says",
};

/** @type {Record<Schemas["TaxBasis"], string>} */
export const taxBasis = {
  document: "on the document's total for each rate",
  line: "on each line, then added up",
};

/** @type {Record<Schemas["Units"], string>} */
export const units = { metric: "Metric", inch: "Inch" };

/** How a state's frame is drawn (see .state in app.css); each frame holds its word too. @type {Record<string, string>} */
export const tone = {
  open: "watch",
  accepted: "good",
  finished: "good",
  in_work: "firm",
  authorised: "firm",
  declined: "stop",
  withdrawn: "stop",
  cancelled: "stop",
  expired: "stop",
  outside: "stop",
  opened: "watch",
  enquiry: "ranged",
  draft: "ranged",
  gathered: "ranged",
  reported: "watch",
  sent: "watch",
  approved: "good",
};

/**
 * "1 working day", "4 working days".
 * @param {number} count
 * @param {string} one
 * @param {string} [many]
 */
export function counted(count, one, many = `${one}s`) {
  return `${count} ${count === 1 ? one : many}`;
}

/**
 * A key such as frame_stand by the shop's own name, or in plain words.
 * @param {string} key
 * @param {{ key: string, name: string }[]} [known]
 */
export function named(key, known = []) {
  const found = known.find((each) => each.key === key);
  if (found) return found.name;
  const plain = key.replaceAll("_", " ");
  return plain.charAt(0).toUpperCase() + plain.slice(1);
}

/** "1967 Corvane Tern roadster". @param {Schemas["Vehicle"]} vehicle */
export function vehicleName(vehicle) {
  return `${vehicle.year} ${vehicle.make} ${vehicle.model}`;
}

/**
 * Whether the forecast keeps the promise, as a sentence.
 * @param {{ promise?: string | undefined, finish?: string | undefined, late_days: number }} job
 * @param {import("../lib/format.js").Formats} formats
 */
export function promiseSentence(job, formats) {
  if (!job.finish) return "No forecast yet.";
  const finish = `Forecast ${formats.day(job.finish)}`;
  if (!job.promise) return `${finish}; nothing promised yet.`;
  if (job.late_days > 0) return `${finish}, ${counted(job.late_days, "working day")} past the promise.`;
  return `${finish}, within the promise of ${formats.day(job.promise)}.`;
}

/** A vehicle option's chosen value in words. @param {Schemas["VehicleOption"]} option @param {string | undefined} chosen */
export function wordOfOption(option, chosen) {
  return option.choices.find((choice) => choice.key === chosen)?.name ?? "not said";
}

// @ts-check
// The words for the contract's named choices. A screen never shows a key.

/** @type {Record<string, string>} */
export const jobState = {
  enquiry: "Enquiry",
  surveyed: "Surveyed",
  quoted: "Quoted",
  accepted: "Accepted",
  in_work: "In work",
  finished: "Finished",
  closed: "Closed",
  declined: "Declined",
  cancelled: "Cancelled",
};

/** @type {Record<string, string>} */
export const quoteState = {
  open: "Waiting for a decision",
  accepted: "Accepted",
  declined: "Declined",
  superseded: "Replaced by a later revision",
  withdrawn: "Withdrawn",
  expired: "Expired",
};

/** @type {Record<string, string>} */
export const taskState = { open: "Not started", in_work: "In work", finished: "Finished" };

/** @type {Record<string, string>} */
export const taskKind = { work: "Work", cure: "Cure", sublet: "Sublet", hold: "Hold point" };

/** @type {Record<string, string>} */
export const scope = {
  estimate: "In the estimate",
  authorised: "Authorised",
  opened: "Opened by the owner",
  outside: "Outside the authorised scope",
};

/** @type {Record<string, string>} */
export const waitingCode = {
  parts: "Parts",
  client_decision: "Client's decision",
  station: "Station is taken",
  weather: "Weather for coating",
};

/** @type {Record<string, string>} */
export const decisionHow = {
  portal: "on this page",
  in_person: "in person",
  telephone: "by telephone",
  email: "by e-mail",
};

/** @type {Record<string, string>} */
export const role = { owner: "Owner", technician: "Technician", client: "Client" };

/** @type {Record<string, string>} */
export const taxClass = {
  repair_labour: "Repair labour",
  fabrication_labour: "Fabrication labour",
  part: "Part",
  material: "Material",
  consumable: "Consumable",
  sublet: "Sublet",
  storage: "Storage",
  fee: "Fee",
  exempt: "Exempt",
};

/** @type {Record<string, string>} */
export const lineKind = {
  labour: "Labour",
  material: "Material",
  sublet: "Sublet",
  fee: "Fee",
  allowance: "Allowance",
  credit: "Credit",
  reserve: "Reserve",
};

/** @type {Record<string, string>} */
export const linkType = {
  FS: "finish to start",
  SS: "start to start",
  FF: "finish to finish",
  SF: "start to finish",
};

/** @type {Record<string, string>} */
export const startReason = {
  link: "follows another task",
  start: "the job starts here",
  not_before: "not before a stated day",
  actual: "it has started",
  data_date: "work left starts from today",
};

/** How sure a figure is. @type {Record<string, string>} */
export const confidence = { not_computed: "not yet computed" };

/** The word for a key; a key without a word is shown with spaces. @param {Record<string, string>} words @param {string} key */
export function word(words, key) {
  return words[key] ?? key.replaceAll("_", " ");
}

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

/** When in the life of a job something was seen, in their order. @type {Record<string, string>} */
export const moment = {
  arrival: "As seen on arrival",
  body_off: "After removal",
  stripped: "After stripping",
  repaired: "After repair",
};

/** The level that steel is brought to. @type {Record<string, string>} */
export const finishLevel = {
  driver: "Driver: sound and sealed",
  show: "Show: even and clean where it is seen",
  concours: "Concours: as the maker left it",
  as_found: "As found: kept and made safe",
};

/** The stages of the work that have a method. @type {Record<string, string>} */
export const workStage = { strip: "Stripping", repair: "Repair", coat: "Coating", remount: "Remount" };

/** @type {Record<string, string>} */
export const findingWhat = {
  rust: "Rust",
  perforation: "Rusted through",
  patch_over_rot: "Patch over rot",
  crack: "Crack",
  broken_bolt: "Broken bolt",
  spun_nut: "Captive nut that turns",
  missing_opening: "Opening closed or gone",
  missing_bracket: "Bracket missing",
  bent: "Bent",
  other: "Something else",
};

/** @type {Record<string, string>} */
export const findingState = {
  reported: "Waits to be gathered",
  gathered: "In a draft",
  sent: "With the client",
  approved: "Approved",
  declined: "Declined",
  dismissed: "Nothing to do",
};

/** @type {Record<string, string>} */
export const orderKind = {
  inspection: "Inspection at the strip gate",
  finding: "From a finding",
  client_wish: "The client's wish",
  price_change: "A price changed",
  correction: "Correction",
};

/** @type {Record<string, string>} */
export const orderState = {
  draft: "Draft",
  sent: "Waiting for a decision",
  approved: "Approved",
  declined: "Declined",
  withdrawn: "Withdrawn",
  expired: "Expired",
};

/** @type {Record<string, string>} */
export const paymentHow = {
  transfer: "Transfer",
  card: "Card",
  cash: "Cash",
  cheque: "Cheque",
  other: "Other",
};

/** How sure a figure is. @type {Record<string, string>} */
export const confidence = { not_computed: "not yet computed" };

/** The word for a key; a key without a word is shown with spaces. @param {Record<string, string>} words @param {string} key */
export function word(words, key) {
  return words[key] ?? key.replaceAll("_", " ");
}

/** @type {Record<keyof import("./contract.js").Schemas["Week"], string>} */
export const weekday = {
  monday: "Monday",
  tuesday: "Tuesday",
  wednesday: "Wednesday",
  thursday: "Thursday",
  friday: "Friday",
  saturday: "Saturday",
  sunday: "Sunday",
};

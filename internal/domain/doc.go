// Package domain holds the stored nouns of a restoration shop and the rules of
// their lives: shop, person, template, job, phase, task, link, line, quote,
// hours entry, trail entry.
//
// Everything here is plain data with validation. It reads no clock and no
// store. Hours, quantities, prices and percentages are decimals; money of a
// document has the shop's currency; instants are UTC; days are days in the
// shop's own zone; durations are whole minutes, working or elapsed by field.
//
// The life of a job is enquiry, surveyed, quoted, accepted, in_work, finished,
// closed, with declined and cancelled as ends.
package domain

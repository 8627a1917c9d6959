// Package billing says what a client owes for a job that is under way: what
// would be due if the work stopped today, and how much of the authorised amount
// is used up.
//
// Terms. Worked is labour done at the rates that were sold. Fitted is what has
// been built in or used up, and work of others and fees that have come due.
// Ordered is what was ordered for this job and is not fitted. Authorised is what
// the client agreed to pay so far. Exposure is what the client is already in
// for: the larger of what was done and what was invoiced, because an invoice is
// for work done or to be done and the two do not add.
//
// Method of StopNow. Labour is minutes x rate / 60, one quotient rounded once. A
// special order is owed when it cannot be returned; one that can be costs its
// stated restocking fee. Storage is owed for the days beyond the free ones, and
// storage, teardown and reassembly only when the estimate had them: that is the
// law in more than one place and common practice elsewhere. What is not charged
// stays on the bill as a line of nothing that says why. Tax is worked out by
// class in the two ways of package pricing, which rests on EN 16931-1 and on
// section 324 of the Streamlined Sales and Use Tax Agreement: per document, the
// base of each rate summed and the tax rounded once; or per line, each rounded
// and summed. Total less payments is the balance; below zero it is owed to the
// client.
//
// Method of Watch. Warn from warn percent of the authorised amount on, stop
// above the authorised amount and its tolerance; both bounds exact, and shown as
// the first whole minor unit that warns and the last that does not stop.
//
// Rounding is half away from zero to the minor unit. Units: amounts in the
// input's currency, whole minutes, whole days, percents as "80".
//
// It leaves out: what may lawfully be charged in a place, and liens. The figures
// that limit it are settings, and the local law comes first. It also leaves out
// the division into draws, and whether worked minutes were well spent.
package billing

// Package calendar computes with a shop's time: when it is open, when work of
// so many minutes is done, and how much of a stretch of time was working time.
//
// # Terms
//
// Working minutes pass only while the shop is open; elapsed minutes pass day
// and night. Technicians need the first kind, paint that cures needs the
// second. Both are counted in whole minutes.
//
// A day of the shop's calendar is open during, in this order of precedence:
// the intervals of an extra opening on that day; nothing, when a closure covers
// the day; nothing, when the day is a public holiday of the shop's region, or
// the day on which such a holiday is observed; else the week's intervals for
// its weekday.
//
// # Clock changes
//
// The intervals are read on the clock on the shop's wall. The shop is open at
// an instant exactly when that clock then shows a day and a time inside an
// interval (closed on the left, open on the right). So a shift across the hour
// that is skipped in spring is an hour short, one across the hour that is
// repeated in autumn is an hour long, and what is counted is always the real
// time that passes. An interval that begins or ends inside a skipped hour
// begins or ends at the change; one that begins inside the repeated hour is
// open in both passes.
//
// # Method
//
// For a range of years the open stretches are laid out once, in order, as whole
// minutes since 1970-01-01T00:00Z with running sums of working time. Adding and
// measuring are searches over them, O(log n) at worst and a few steps as a rule.
// The range grows by doubling when a question reaches past it. The layout walks the stretches of constant offset
// of the time zone (time.Time.ZoneBounds) and the civil days inside each, so no
// wall time is ever turned into an instant by guessing.
//
// Conventions: work done forward ends at the earliest instant at which it is
// done, hence at the end of an interval rather than at the start of the next;
// work placed backward starts at the latest instant from which it fits, hence
// at the start of an interval rather than at the end of the one before.
//
// # Sources
//
// Time zones: the IANA Time Zone Database, from the system or the copy embedded
// in the program. Holidays: github.com/rickar/cal/v2, regions by ISO 3166 code.
// Public holidays change by law; a shop corrects them by closures and openings.
//
// # Limits
//
// Instants from 1970-01-01T00:00Z up to, but not including, 2200-01-01T00:00Z.
// An instant outside is moved to the nearer limit and a result that would lie
// outside stops there (Limits gives them); Calculate refuses both. Where a zone's
// offset is not in whole minutes (Monrovia before 1972), openings are rounded
// down to the minute.
//
// A person's or a station's calendar is laid over the shop's (Lay): open exactly
// when both are, so that nobody works in a closed shop. Extra hours of one's own
// therefore count only while the shop is open, by its week or by an extra opening.
//
// Left out: half-day holidays, and holidays of towns and parishes.
package calendar

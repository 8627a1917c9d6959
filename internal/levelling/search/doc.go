// Package search looks for a good order of work. It knows nothing of calendars,
// people or stations: a Decoder turns an order into a schedule and says what it
// costs; this package breeds orders from the schedules that came out well.
package search

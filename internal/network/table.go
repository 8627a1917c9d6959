package network

import (
	"time"

	"bareframe/internal/calendar"
)

// table is the stretch of a calendar that a large network most likely lies in,
// laid out so that a reading takes a step or two instead of a search. What lies
// outside is read from the axis. It gives the axis's own answers.
type table struct {
	open, shut []int64 // minutes at which the shop opens and closes, in turn
	worked     []int64 // working minutes up to each opening; rises strictly
	byMinute   []int32 // for each 2^clockBits minutes from open[0], the stretch to begin at
	byWorked   []int32 // the same by working minutes from worked[0]
}

const (
	clockBits = 9
	workBits  = 7

	tableFrom = 40 * 24 * time.Hour // before the origin
	tableTo   = 4 * 366 * 24 * time.Hour
	// tableSize is how many tasks and links make a table worth its laying out.
	tableSize = 10_000
)

// newTable lays out cal around origin; nil when it is hardly ever open.
func newTable(cal *calendar.Calendar, axis *calendar.Axis, origin time.Time) *table {
	first, beyond := calendar.Limits()
	from, to := origin.Add(-tableFrom), origin.Add(tableTo)
	if from.Before(first) {
		from = first
	}
	if to.After(beyond) {
		to = beyond
	}
	spans := cal.OpenIntervals(from.Truncate(time.Minute), to.Truncate(time.Minute))
	if len(spans) < 3 {
		return nil
	}
	t := &table{}
	worked := axis.Worked(axis.Minute(spans[0].From))
	for _, s := range spans {
		a, b := axis.Minute(s.From), axis.Minute(s.To)
		t.open, t.shut, t.worked = append(t.open, a), append(t.shut, b), append(t.worked, worked)
		worked += b - a
	}
	t.byMinute = steps(t.open, clockBits)
	t.byWorked = steps(t.worked, workBits)
	return t
}

// steps gives, for each 2^bits from marks[0], the last mark at or before it.
func steps(marks []int64, bits int) []int32 {
	last := len(marks) - 1
	by := make([]int32, (marks[last]-marks[0])>>bits+1)
	k := 0
	for b := range by {
		for k < last && marks[k+1] <= marks[0]+int64(b)<<bits {
			k++
		}
		by[b] = int32(k)
	}
	return by
}

// at gives the stretch that m lies in or after, and false when the table does
// not reach it.
func (t *table) at(m int64) (int, bool) {
	if t == nil || m < t.open[0] || m >= t.open[len(t.open)-1] {
		return 0, false
	}
	k := int(t.byMinute[(m-t.open[0])>>clockBits])
	for t.open[k+1] <= m {
		k++
	}
	return k, true
}

// earliest is the first minute by which w working minutes have passed.
func (t *table) earliest(w int64) (int64, bool) {
	if t == nil || w <= t.worked[0] || w > t.worked[len(t.worked)-1] {
		return 0, false
	}
	k := int(t.byWorked[(w-1-t.worked[0])>>workBits])
	for t.worked[k+1] < w {
		k++
	}
	return t.open[k] + w - t.worked[k], true
}

package domain

import (
	"cmp"
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// EntryKind says whether somebody worked or waited.
type EntryKind string

// The kinds of entry.
const (
	Worked  EntryKind = "work"
	Waiting EntryKind = "waiting"
)

// WaitingCode gives lost time an owner.
type WaitingCode string

// What people wait for.
const (
	WaitParts    WaitingCode = "parts"
	WaitDecision WaitingCode = "client_decision"
	WaitStation  WaitingCode = "station"
	WaitWeather  WaitingCode = "weather"
)

// Entry is somebody's time on a task, or waiting. It is never overwritten: a
// correction is a further entry that names the one it replaces.
type Entry struct {
	ID          ID
	JobID       ID
	TaskID      ID // empty while waiting for a job as a whole
	PersonID    ID
	Kind        EntryKind
	WaitingCode WaitingCode
	StartedAt   time.Time
	FinishedAt  *time.Time // nil while the clock runs
	HoursToGo   *decimal.Decimal
	Done        bool
	Note        string
	CorrectsID  ID
	CorrectedBy ID // the entry that took its place; set once
	Void        bool
	Reason      string // of a correction
	LoggedAt    time.Time
	LoggedBy    ID
}

// MaxEntry bounds one entry: nobody works longer at a stretch.
const MaxEntry = 16 * time.Hour

// Minutes returns the minutes worked, 0 while the clock runs or when void. Both
// ends are read to the minute that they lie in, so that entries that follow on
// each other add up to the minutes of their whole, and nothing is lost at a
// switch.
func (e Entry) Minutes() int {
	if e.FinishedAt == nil || e.Void {
		return 0
	}
	return int(e.FinishedAt.Truncate(time.Minute).Sub(e.StartedAt.Truncate(time.Minute)) / time.Minute)
}

// Counts reports whether the entry stands: not corrected and not void.
func (e Entry) Counts() bool { return e.CorrectedBy == "" && !e.Void }

// Running reports whether the clock of this entry runs.
func (e Entry) Running() bool { return e.FinishedAt == nil && e.Counts() }

// Validate refuses times that cannot be: finish before start, longer than
// MaxEntry, in the future of now (a minute of slack for device clocks), or
// more than a year ago.
func (e Entry) Validate(now time.Time) error {
	var c fault.Collector
	limit := now.Add(time.Minute)
	if e.StartedAt.After(limit) {
		c.Add("/started_at", "The start lies in the future.")
	}
	if now.Sub(e.StartedAt) > 366*24*time.Hour {
		c.Add("/started_at", "The start lies more than a year back.")
	}
	if e.FinishedAt != nil {
		switch length := e.FinishedAt.Sub(e.StartedAt); {
		case length <= 0:
			c.Add("/finished_at", "The finish must come after the start.")
		case length > MaxEntry:
			c.Add("/finished_at", "One entry is at most %d hours; split it.", int(MaxEntry.Hours()))
		case e.FinishedAt.After(limit):
			c.Add("/finished_at", "The finish lies in the future.")
		}
	}
	if e.HoursToGo != nil && (e.HoursToGo.IsNegative() || e.HoursToGo.GreaterThan(decimal.NewFromInt(MaxHours))) {
		c.Add("/hours_to_go", "Hours to go lie between 0 and %d.", MaxHours)
	}
	if e.Done && e.HoursToGo != nil && e.HoursToGo.IsPositive() {
		c.Add("/hours_to_go", "A finished task has no hours to go.")
	}
	return c.Err("entry-invalid")
}

// Overlap returns the first entry that stands and shares time with e, leaving
// out e itself and the one it corrects. Entries that merely touch do not
// overlap. A running entry reaches to the end of time.
func (e Entry) Overlap(others []Entry) (Entry, bool) {
	for _, o := range others {
		if o.ID == e.ID || o.ID == e.CorrectsID || !o.Counts() || o.PersonID != e.PersonID {
			continue
		}
		startsBeforeEnd := o.FinishedAt == nil || e.StartedAt.Before(*o.FinishedAt)
		endsAfterStart := e.FinishedAt == nil || o.StartedAt.Before(*e.FinishedAt)
		if startsBeforeEnd && endsAfterStart {
			return o, true
		}
	}
	return Entry{}, false
}

// TaskProgress is what the entries of one task say.
type TaskProgress struct {
	WorkedMinutes  int
	WaitingMinutes int
	Started        *time.Time
	Finished       *time.Time       // when somebody said done, and no later entry took it up again
	ToGo           *decimal.Decimal // the latest hours to go, if anybody said
}

// ProgressOf sums the standing entries by task, keyed by task ID; entries that
// wait for a job as a whole are under the empty ID. Entries may come in any
// order: the last word on a task is that of the entry that ended last, and a
// clock that still runs comes after all of them.
func ProgressOf(entries []Entry) map[ID]TaskProgress {
	standing := make([]Entry, 0, len(entries))
	for _, e := range entries {
		if e.Counts() {
			standing = append(standing, e)
		}
	}
	slices.SortFunc(standing, lastWord)
	out := map[ID]TaskProgress{}
	for _, e := range standing {
		p := out[e.TaskID]
		p.take(e)
		out[e.TaskID] = p
	}
	return out
}

// lastWord orders entries by when something was said at their end.
func lastWord(a, b Entry) int {
	if a.Running() != b.Running() {
		if b.Running() {
			return -1
		}
		return 1
	}
	ended := 0
	if a.FinishedAt != nil && b.FinishedAt != nil {
		ended = a.FinishedAt.Compare(*b.FinishedAt)
	}
	return cmp.Or(ended, a.StartedAt.Compare(b.StartedAt), a.LoggedAt.Compare(b.LoggedAt), cmp.Compare(a.ID, b.ID))
}

// take adds an entry that ended after those before it.
func (p *TaskProgress) take(e Entry) {
	if e.Kind == Waiting {
		p.WaitingMinutes += e.Minutes()
		return
	}
	p.WorkedMinutes += e.Minutes()
	if p.Started == nil || e.StartedAt.Before(*p.Started) {
		started := e.StartedAt
		p.Started = &started
	}
	p.Finished = nil
	if e.FinishedAt == nil {
		return
	}
	p.ToGo = e.HoursToGo // none said: the older figure is stale
	if e.Done {
		finished := *e.FinishedAt
		p.Finished, p.ToGo = &finished, nil
	}
}

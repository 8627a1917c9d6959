package network

import (
	"strconv"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"
)

// Bounds of what is accepted. They are far outside any real job and keep every
// sum of minutes inside an int64 and every lag inside an int32.
const (
	MaxTasks   = 250_000
	MaxLinks   = 1_000_000
	MaxMinutes = 10 * 366 * 24 * 60 // of one duration or lag: ten years
	MinYear    = 1970
	MaxYear    = 2199

	maxIDBytes   = 200
	maxNameBytes = 500
	maxFaults    = 100 // named in one answer
)

// checker gathers what is wrong with an input, up to maxFaults.
type checker struct {
	faults fault.Collector
	count  int
}

func (c *checker) add(pointer, detail string, args ...any) {
	if c.count++; c.count <= maxFaults {
		c.faults.Add(pointer, detail, args...)
	}
}

// joint is a checked link: the tasks that it joins, by their place in the
// input, and what the passes need to know of it.
type joint struct {
	from, to, lag int32
	code          arcCode
}

// validate checks in and resolves the ends of its links. It names every fault
// it finds by JSON pointer, up to a hundred.
func validate(in *Input) ([]joint, error) {
	c := &checker{}
	if len(in.Tasks) > MaxTasks {
		c.add("/tasks", "there may be at most %d tasks, not %d", MaxTasks, len(in.Tasks))
	}
	if len(in.Links) > MaxLinks {
		c.add("/links", "there may be at most %d links, not %d", MaxLinks, len(in.Links))
	}
	if c.count > 0 {
		return nil, c.faults.Err("network-invalid")
	}
	if !known(&in.Start) {
		c.add("/start", unknownYear, MinYear, MaxYear)
	}
	if !known(in.DataDate) {
		c.add("/data_date", unknownYear, MinYear, MaxYear)
	}
	if !known(in.Promise) {
		c.add("/promise", unknownYear, MinYear, MaxYear)
	}
	index := newIndex(in.Tasks)
	for i := range in.Tasks {
		c.task(in, i, index)
	}
	joints := make([]joint, len(in.Links))
	for i := range in.Links {
		joints[i] = c.link(in, i, index)
	}
	return joints, c.faults.Err("network-invalid")
}

func (c *checker) task(in *Input, i int, index *index) {
	t := &in.Tasks[i]
	at := func(name string) string { return "/tasks/" + strconv.Itoa(i) + "/" + name }
	switch {
	case t.ID == "":
		c.add(at("id"), "a task needs an id")
	case len(t.ID) > maxIDBytes:
		c.add(at("id"), "an id may have at most %d bytes", maxIDBytes)
	default:
		if first := index.add(i); first != int32(i) {
			c.add(at("id"), "id %q is already that of task %d", t.ID, first+1)
		}
	}
	if len(t.Name) > maxNameBytes {
		c.add(at("name"), "a name may have at most %d bytes", maxNameBytes)
	}
	if t.Duration < 0 || t.Duration > MaxMinutes {
		c.add(at("minutes"), "a duration lies between 0 and %d minutes, not %d", MaxMinutes, t.Duration)
	}
	if !kindKnown(t.Kind) {
		c.add(at("kind"), "a kind of time is working or elapsed")
	}
	if t.Remaining != nil && (*t.Remaining < 0 || *t.Remaining > MaxMinutes) {
		c.add(at("remaining_minutes"), "what is left lies between 0 and %d minutes, not %d", MaxMinutes, *t.Remaining)
	}
	if !known(t.NotBefore) {
		c.add(at("not_before"), unknownYear, MinYear, MaxYear)
	}
	if !known(t.FinishBy) {
		c.add(at("finish_by"), unknownYear, MinYear, MaxYear)
	}
	if t.ActualStart != nil || t.ActualFinish != nil {
		c.actuals(in, t, at)
	}
}

func (c *checker) actuals(in *Input, t *Task, at func(string) string) {
	if t.ActualStart == nil {
		c.add(at("actual_start"), "a finished task needs its actual start too")
	}
	for _, a := range []struct {
		name string
		when *time.Time
	}{{"actual_start", t.ActualStart}, {"actual_finish", t.ActualFinish}} {
		if a.when == nil {
			continue
		}
		if !known(a.when) {
			c.add(at(a.name), unknownYear, MinYear, MaxYear)
		}
		switch {
		case in.DataDate == nil:
			c.add(at(a.name), "actual dates need a data date to count up to")
		case a.when.After(*in.DataDate):
			c.add(at(a.name), "an actual date cannot lie after the data date")
		}
	}
	if t.ActualStart != nil && t.ActualFinish != nil && t.ActualFinish.Before(*t.ActualStart) {
		c.add(at("actual_finish"), "a task cannot finish before it started")
	}
}

func (c *checker) link(in *Input, i int, index *index) joint {
	l := &in.Links[i]
	at := func(name string) string { return "/links/" + strconv.Itoa(i) + "/" + name }
	if len(l.ID) > maxIDBytes {
		c.add(at("id"), "an id may have at most %d bytes", maxIDBytes)
	}
	from, _, _ := index.find(l.From)
	if from < 0 {
		c.add(at("from"), "there is no task %q", clip(l.From))
	}
	to, _, _ := index.find(l.To)
	if to < 0 {
		c.add(at("to"), "there is no task %q", clip(l.To))
	} else if from == to {
		c.add(at("to"), "task %q cannot wait for itself", clip(l.To))
	}
	switch l.Type {
	case FS, SS, FF, SF, "":
	default:
		c.add(at("type"), "a link is FS, SS, FF or SF")
	}
	if l.Lag < -MaxMinutes || l.Lag > MaxMinutes {
		c.add(at("lag_minutes"), "a lag lies between -%d and %d minutes, not %d", MaxMinutes, MaxMinutes, l.Lag)
	}
	if !kindKnown(l.LagKind) {
		c.add(at("lag_kind"), "a kind of time is working or elapsed")
	}
	if m := l.MaxLag; m != nil {
		switch {
		case *m < -MaxMinutes || *m > MaxMinutes:
			c.add(at("max_lag_minutes"), "a lag lies between -%d and %d minutes, not %d", MaxMinutes, MaxMinutes, *m)
		case *m < l.Lag:
			c.add(at("max_lag_minutes"), "the most time between two ends cannot be less than the least, %d minutes", l.Lag)
		}
	}
	return joint{from, to, int32(l.Lag), codeOf(l)}
}

// unknownYear says what is wrong with a date that is not known.
const unknownYear = "a date lies between the years %d and %d"

// known says whether a date, if given, lies in the years that are known.
func known(t *time.Time) bool {
	if t == nil {
		return true
	}
	y := t.UTC().Year()
	return MinYear <= y && y <= MaxYear
}

func kindKnown(k calendar.Kind) bool {
	return k == "" || k == calendar.Working || k == calendar.Elapsed
}

// clip shortens what an answer repeats of its question.
func clip(s string) string {
	if len(s) > maxIDBytes {
		return s[:maxIDBytes] + "…"
	}
	return s
}

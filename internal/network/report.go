package network

import (
	"cmp"
	"slices"
)

// result turns a finished schedule into its answer.
func (s *schedule) result(in *Input) Result {
	d := s.drivers()
	start := s.start
	for i := range s.tasks {
		if s.traits[i]&started != 0 {
			start = min(start, s.began[i])
		}
	}
	res := Result{
		Start: s.time(start), Finish: s.time(s.finish),
		WorkingMinutes: s.between(start, s.finish, false),
		ElapsedMinutes: s.between(start, s.finish, true),
		Tasks:          make([]TaskResult, len(s.tasks)),
		DrivingChain:   []string{},
		OutOfSequence:  s.outOfSequence(),
	}
	names := make([]string, 0, len(d.links))
	for i := range s.tasks {
		from := len(names)
		for _, b := range d.into(int32(i)) {
			names = append(names, s.linkName(b.link))
		}
		s.fill(&res.Tasks[i], int32(i), d)
		if len(names) > from {
			res.Tasks[i].Driving = names[from:len(names):len(names)]
		}
	}
	last := s.last(d)
	if last >= 0 {
		res.DrivingChain, _ = s.chain(last, d)
	}
	res.Shortfalls, res.ShortfallCount = s.shortfalls(in, last, d)
	return res
}

// fill writes the dates and floats of task i.
func (s *schedule) fill(t *TaskResult, i int32, d *drivers) {
	t.ID = s.tasks[i].ID
	t.Reason = s.reason(i, d)
	t.EarlyFinish, t.LateFinish = s.time(s.end[i]), s.time(s.lateEnd[i])
	x := s.traits[i]
	if x&started != 0 {
		t.EarlyStart = s.time(s.began[i])
		t.LateStart = t.EarlyStart
	} else {
		t.EarlyStart, t.LateStart = s.time(s.early[i]), s.time(s.lateStart[i])
	}
	switch {
	case x&finished != 0:
		t.State = Finished
		return
	case x&started != 0:
		t.State = InProgress
		resume := s.time(s.early[i])
		t.Resume = &resume
	default:
		t.State = NotStarted
	}
	own := x&elapsed != 0
	t.TotalFloat = s.between(s.early[i], s.lateStart[i], own)
	t.FreeFloat = s.between(s.early[i], s.free[i], own)
	t.Critical = s.between(s.early[i], s.toFinish[i], own) == 0
}

// missed is a date that cannot be kept, before it is spelled out.
type missed struct {
	limit Limit
	task  int32
	due   int64
	end   int64
}

// shortfalls lists the dates that cannot be kept, and counts them.
func (s *schedule) shortfalls(in *Input, last int32, d *drivers) ([]Shortfall, int) {
	var all []missed
	if in.Promise != nil && last >= 0 {
		if due := s.minute(*in.Promise); due < s.finish {
			all = append(all, missed{LimitPromise, last, due, s.finish})
		}
	}
	for i := range s.tasks {
		if fb := s.tasks[i].FinishBy; fb != nil && s.traits[i]&finished == 0 {
			if due := s.minute(*fb); due < s.end[i] {
				all = append(all, missed{LimitFinishBy, int32(i), due, s.end[i]})
			}
		}
	}
	slices.SortFunc(all, func(a, b missed) int {
		return cmp.Or(-cmp.Compare(a.limit, b.limit), // the promise first
			cmp.Compare(b.end-b.due, a.end-a.due),
			cmp.Compare(s.tasks[a.task].ID, s.tasks[b.task].ID))
	})
	spelled := make([]Shortfall, min(len(all), MaxShortfalls))
	for k := range spelled {
		m := all[k]
		chain, because := s.chain(m.task, d)
		spelled[k] = Shortfall{
			Limit: m.limit, Task: s.tasks[m.task].ID,
			Due: s.time(m.due), Finish: s.time(m.end),
			WorkingMinutes: s.between(m.due, m.end, false),
			ElapsedMinutes: s.between(m.due, m.end, true),
			Chain:          chain, Because: because,
		}
	}
	return spelled, len(all)
}

package network

import (
	"cmp"
	"slices"

	"bareframe/internal/calendar"
)

// result turns a finished schedule into its answer.
func (s *schedule) result(in *Input) Result {
	d := s.drivers()
	start := s.start
	for i := range s.tasks {
		if s.traits[i]&started != 0 {
			start = min(start, s.began[i].at)
		}
	}
	res := Result{
		Start: s.time(start), Finish: s.time(s.finish),
		WorkingMinutes: between(s.spot(start), s.spot(s.finish), false),
		ElapsedMinutes: between(s.spot(start), s.spot(s.finish), true),
		Tasks:          make([]TaskResult, len(s.tasks)),
		DrivingChain:   []string{},
		OutOfSequence:  s.outOfSequence(),
		LagOverruns:    s.lagOverruns(),
	}
	names := s.names(d)
	for i := range s.tasks {
		s.fill(&res.Tasks[i], int32(i), d)
		if from, to := d.first[i], d.first[i+1]; from < to {
			res.Tasks[i].Driving = names[from:to:to]
		}
	}
	last := s.last(d)
	if last >= 0 {
		res.DrivingChain, _ = s.chain(last, d)
	}
	res.Shortfalls, res.ShortfallCount = s.shortfalls(in, last, d)
	return res
}

// names gives what the driving links are called. All of them share one array,
// and the made-up ones one text: a large network has a great many.
func (s *schedule) names(d *drivers) []string {
	names := make([]string, len(d.links))
	text, ends := make([]byte, 0, 8*len(names)), make([]int32, len(names))
	for k, b := range d.links {
		if b.code&named == 0 {
			text = appendPlace(text, b.link)
		}
		ends[k] = int32(len(text))
	}
	made, from := string(text), int32(0)
	for k, b := range d.links {
		if b.code&named != 0 {
			names[k] = s.links[b.link].ID
		} else {
			names[k] = made[from:ends[k]]
		}
		from = ends[k]
	}
	return names
}

// fill writes the dates and floats of task i.
func (s *schedule) fill(t *TaskResult, i int32, d *drivers) {
	t.ID = s.tasks[i].ID
	t.Reason = s.reason(i, d)
	t.EarlyFinish, t.LateFinish = s.time(s.early[i][1].at), s.time(s.late[i][1].at)
	x := s.traits[i]
	if x&started != 0 {
		t.EarlyStart = s.time(s.began[i].at)
		t.LateStart = t.EarlyStart
	} else {
		t.EarlyStart, t.LateStart = s.time(s.early[i][0].at), s.time(s.late[i][0].at)
	}
	switch {
	case x&finished != 0:
		t.State = Finished
		return
	case x&started != 0:
		t.State = InProgress
		resume := s.time(s.early[i][0].at)
		t.Resume = &resume
	default:
		t.State = NotStarted
	}
	own := x&elapsed != 0
	t.TotalFloat = between(s.early[i][0], s.late[i][0], own)
	t.FreeFloat = calendar.Minutes(s.free[i])
	t.Critical = between(s.early[i][0], s.toFinish[i][0], own) == 0
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
			if due := s.minute(*fb); due < s.early[i][1].at {
				all = append(all, missed{LimitFinishBy, int32(i), due, s.early[i][1].at})
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
			WorkingMinutes: between(s.spot(m.due), s.spot(m.end), false),
			ElapsedMinutes: between(s.spot(m.due), s.spot(m.end), true),
			Chain:          chain, Because: because,
		}
	}
	return spelled, len(all)
}

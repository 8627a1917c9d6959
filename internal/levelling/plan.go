package levelling

import (
	"time"

	"bareframe/internal/calendar"
)

// minutesFrom gives the minutes from Now to a date, zero where there is none.
func minutesFrom(in *Input, t *time.Time) *int64 {
	m := int64(0)
	if t != nil {
		m = (t.Unix() - in.Now.Unix()) / 60
	}
	return &m
}

// result writes what the decoder holds.
func (p *plan) result() Result {
	s := p.s
	r := Result{Status: Feasible, Cost: costOf(p.cost), Bound: costOf(p.bound), Schedules: p.count, Tasks: []Placement{}, Jobs: []JobResult{}}
	for i := range s.tasks {
		if s.unplaced[i] != nil {
			r.Unplaced = append(r.Unplaced, *s.unplaced[i])
		} else {
			r.Tasks = append(r.Tasks, p.placement(int32(i)))
		}
	}
	x := newExplainer(s, p.d)
	for j := range s.jobs {
		job := p.jobResult(int32(j))
		if chain, lost := x.chain(int32(j)); chain != nil {
			job.Chain, job.Lost = chain, lost
		}
		r.Jobs = append(r.Jobs, job)
	}
	switch {
	case p.ended:
		r.Status = Cancelled
	case len(r.Unplaced) > 0:
		r.Status = Partial
	case p.cost[0] <= p.bound[0] && p.cost[1] <= p.bound[1]:
		r.Status = Optimal
	}
	return r
}

func (p *plan) placement(i int32) Placement {
	s, d := p.s, p.d
	t := &s.tasks[i]
	out := Placement{Task: s.in.Tasks[i].ID}
	if t.state == finished {
		out.Start, out.Finish = s.in.Tasks[i].ActualStart.In(s.loc), s.in.Tasks[i].ActualFinish.In(s.loc)
		return out
	}
	out.Start, out.Finish = s.time(d.start[i]), s.time(d.finish[i])
	if t.state == underWay {
		out.Start = s.in.Tasks[i].ActualStart.In(s.loc)
	}
	if t.minutes == 0 {
		return out
	}
	for _, q := range d.crew[s.slot[i]:s.slot[i+1]] {
		out.People = append(out.People, s.in.People[q].ID)
	}
	if t.held && t.interruptible && len(d.cut[i]) > 1 {
		for _, c := range d.cut[i] {
			out.Pieces = append(out.Pieces, calendar.Span{From: s.time(c.from), To: s.time(c.to)})
		}
	}
	return out
}

// jobResult says when a job is finished: its last task that is planned.
func (p *plan) jobResult(j int32) JobResult {
	s, job := p.s, &p.s.jobs[j]
	out := JobResult{Job: s.in.Jobs[j].ID, Chain: []string{}}
	finish, least := job.done, job.done
	for _, i := range job.tasks {
		if p.d.start[i] < never {
			finish, least = max(finish, p.d.finish[i]), max(least, s.aloneEnd[i])
		}
	}
	if finish < 0 {
		finish, least = s.now, s.now
	}
	out.Finish, out.EarliestFinish = s.time(finish), s.time(least)
	out.LateMinutes = calendar.Minutes(max(0, finish-job.promise))
	return out
}

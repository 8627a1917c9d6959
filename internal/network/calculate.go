package network

import (
	"bareframe/internal/calendar"
	"bareframe/internal/fault"
)

// Calculate computes the network of in on the calendar that in describes.
//
// It refuses, as a *fault.Error of kind Invalid: "network-invalid" with every
// value at fault by JSON pointer; "network-cycle" with a Cycle as evidence;
// "network-too-long" when the dates run out of the years it knows;
// "max-lag-cannot-hold" with a Contradiction; "network-unsettled" when a great
// many maximum lags pull on each other; and whatever the calendar refuses. Cost
// as CalculateOn, and laying out the calendar.
func Calculate(in Input) (Result, error) {
	var cal *calendar.Calendar
	if in.Calendar != nil {
		var err error
		if cal, err = calendar.New(*in.Calendar); err != nil {
			return Result{}, atCalendar(err)
		}
	}
	return CalculateOn(cal, in)
}

// CalculateOn computes the network of in on cal, a calendar already built, or
// round the clock when cal is nil; in.Calendar is not read. O(tasks + links)
// expected, each task reading the calendar a few times in time logarithmic in
// its length; maximum lags may take more passes.
//
// Method: a forward and a backward pass in topological order (Kelley and
// Walker 1959) over precedences between either end of two tasks (Elmaghraby
// and Kamburowski 1992).
func CalculateOn(cal *calendar.Calendar, in Input) (Result, error) {
	joints, err := validate(&in)
	if err != nil {
		return Result{}, err
	}
	p, err := newPlan(&in, joints)
	if err != nil {
		return Result{}, err
	}
	r, err := newRuler(cal, in.Start, len(in.Tasks)+len(in.Links))
	if err != nil {
		return Result{}, err
	}
	return p.calculate(r, &in)
}

// atCalendar moves a calendar's refusal to where the calendar stands in the
// input.
func atCalendar(err error) error {
	e := fault.As(err)
	if e == nil {
		return err
	}
	moved := *e
	moved.Fields = make([]fault.Field, len(e.Fields))
	for i, f := range e.Fields {
		moved.Fields[i] = fault.Field{Pointer: "/calendar" + f.Pointer, Detail: f.Detail}
	}
	return &moved
}

// calculate runs the passes on one ruler.
func (p *plan) calculate(r *ruler, in *Input) (Result, error) {
	s := newSchedule(p, r, in)
	err := s.forward()
	if r.above && err == nil {
		return Result{}, fault.New(fault.Invalid, "network-too-long",
			"the work would run beyond the year %d: shorten durations or lags, or open the calendar", MaxYear)
	}
	if err == nil {
		err = s.lateDates(in)
	}
	if err != nil {
		return Result{}, err
	}
	s.slack()
	if r.under {
		return Result{}, fault.New(fault.Invalid, "network-too-long",
			"the latest dates would lie before the year %d: shorten durations or lags, or move the promise", MinYear)
	}
	return s.result(in), nil
}

// lateDates runs the backward passes: one against what was asked for, and one
// against the finish when that is something else.
func (s *schedule) lateDates(in *Input) (err error) {
	s.toFinish, err = s.backward(ceilings{whole: s.finish})
	s.late = s.toFinish
	asked := ceilings{whole: s.finish}
	if in.Promise != nil {
		asked.whole = s.minute(*in.Promise)
	}
	for i := range s.tasks {
		asked.finishBy = asked.finishBy || s.tasks[i].FinishBy != nil
	}
	if err == nil && (in.Promise != nil || asked.finishBy) {
		s.late, err = s.backward(asked)
	}
	return err
}

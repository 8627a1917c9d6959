package domain

import (
	"slices"
	"strconv"

	"bareframe/internal/fault"
)

// The quote decides which options are taken. One that it left can be brought in
// by a change order later: the order then holds work of its own, priced and dated
// as orders are, and names the option. Option.Taken stays as the quote left it, so
// that the option's own work stays out of price and plan and nothing counts twice.

// TakenBy says with which approved change order each option came in that the
// quote had left, by the option's ID.
func TakenBy(orders []ChangeOrder) map[ID]ChangeOrder {
	out := map[ID]ChangeOrder{}
	for _, o := range orders {
		if o.State != OrderApproved || o.Decision == nil {
			continue
		}
		for _, c := range o.Decision.Choices {
			if _, option, ok := o.Option(c); ok && option.TakesOption != "" {
				out[option.TakesOption] = o
			}
		}
	}
	return out
}

// TakesOption reports whether an order holds an option of the job.
func (o ChangeOrder) TakesOption(id ID) bool {
	for _, item := range o.Items {
		for _, option := range item.Options {
			if option.TakesOption == id {
				return true
			}
		}
	}
	return false
}

// AfterOrders returns the estimate with the options taken that came in by change
// orders, each instead of another of its group: what the options buy and cost is
// reckoned on it, never price or plan.
func (e Estimate) AfterOrders(by map[ID]ChangeOrder) Estimate {
	e.Options = slices.Clone(e.Options)
	for _, o := range e.Options {
		if _, came := by[o.ID]; !came {
			continue
		}
		for i, other := range e.Options {
			if other.ID == o.ID || o.Group != "" && other.Group == o.Group {
				e.Options[i].Taken = other.ID == o.ID
			}
		}
	}
	return e
}

// GainsInstead adds up the judged points of an option, less those of the taken one
// of its group that it replaces.
func (e Estimate) GainsInstead(o Option) PointEffect {
	var out PointEffect
	out.Originality, out.Condition = o.Gains()
	for _, other := range e.Options {
		if o.Group != "" && other.Group == o.Group && other.Taken && other.ID != o.ID {
			originality, condition := other.Gains()
			out.Originality, out.Condition = out.Originality.Sub(originality), out.Condition.Sub(condition)
		}
	}
	return out
}

// takes checks an option of an order that brings in one of the job: it was left,
// and buys what the quote said that it buys.
func (v *orderCheck) takes(at string, o OrderOption) {
	if o.TakesOption == "" {
		return
	}
	option, ok := v.e.Option(o.TakesOption)
	switch {
	case !ok:
		v.faults.Add(at+"/takes_option", "This job has no such option.")
	case option.Taken:
		v.faults.Add(at+"/takes_option", "%s was taken with the quote.", option.Label())
	default:
		gains := v.e.GainsInstead(option)
		if !o.Originality.Equal(gains.Originality) {
			v.faults.Add(at+"/points_originality", "%s gains %s points for originality; the order keeps to that.", option.Label(), gains.Originality)
		}
		if !o.Condition.Equal(gains.Condition) {
			v.faults.Add(at+"/points_condition", "%s gains %s points for condition; the order keeps to that.", option.Label(), gains.Condition)
		}
	}
}

// links checks the links of an option that After and Before cannot say.
func (v *orderCheck) links(at string, o OrderOption, own map[string]OrderTask) {
	known := Estimate{}
	for key := range own {
		known.Tasks = append(known.Tasks, Task{ID: key})
	}
	known.Tasks = append(known.Tasks, v.e.Tasks...)
	seen := map[OrderLink]bool{}
	for i, l := range o.Links {
		here := at + "/links/" + strconv.Itoa(i)
		if e := fault.As(Link{FromID: l.From, ToID: l.To, Type: l.Type, LagHours: l.LagHours, LagKind: l.LagKind, MaxLagHours: l.MaxLagHours}.Validate(known)); e != nil {
			v.faults.Add(here, "%s", e.Fields[0].Detail)
		}
		_, from := own[l.From]
		_, to := own[l.To]
		if !from && !to {
			v.faults.Add(here, "A link of an order has a task of its option at one end.")
		}
		if pair := (OrderLink{From: l.From, To: l.To, Type: l.Type}); seen[pair] {
			v.faults.Add(here, "These two tasks are linked %s already.", l.Type)
		} else {
			seen[pair] = true
		}
	}
}

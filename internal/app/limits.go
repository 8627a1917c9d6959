package app

import (
	"fmt"
	"strings"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/network"
)

// limit is a maximum lag whose first end has happened: the task must have begun by then.
type limit struct {
	link domain.Link
	by   time.Time
}

// planHeld is planOf for reading. An estimate that agreed when it was made may stop
// agreeing when the shop closes on a day: it is then scheduled without its limits, and
// the plan keeps which of them clash. An edit that ends in such a plan is refused.
func (a *App) planHeld(shop domain.Shop, job domain.Job, e domain.Estimate, progress map[domain.ID]domain.TaskProgress, now time.Time) (Plan, error) {
	plan, err := a.planOf(shop, job, e, progress, now)
	clash := fault.As(err)
	if clash == nil || clash.Code != "max-lag-cannot-hold" && clash.Code != "network-unsettled" {
		return plan, err
	}
	free := e
	free.Links = make([]domain.Link, len(e.Links))
	for i, l := range e.Links {
		l.MaxLagHours = nil
		free.Links[i] = l
	}
	plan, err = a.planOf(shop, job, free, progress, now)
	plan.clash = clash
	return plan, err
}

// limitsOf finds, by task that has not begun, the first instant by which it must.
func limitsOf(cal *calendar.Calendar, e domain.Estimate, actuals map[domain.ID]actual) map[domain.ID]limit {
	out := map[domain.ID]limit{}
	for _, l := range e.Links {
		from := actuals[l.FromID].finish
		if l.Type == network.SS {
			from = actuals[l.FromID].start
		}
		if l.MaxLagHours == nil || from == nil || actuals[l.ToID].start != nil || l.Type != network.FS && l.Type != network.SS {
			continue
		}
		by := from.Add(time.Duration(minutesOf(*l.MaxLagHours)) * time.Minute)
		if l.LagKind == calendar.Working {
			by = cal.Add(*from, minutesOf(*l.MaxLagHours))
		}
		if known, ok := out[l.ToID]; !ok || by.Before(known.by) {
			out[l.ToID] = limit{l, by}
		}
	}
	return out
}

// byWords says until when a task must have begun, or that it is too late; empty where
// nothing limits it.
func (p JobPage) byWords(t domain.Task) string {
	l, limited := p.Plan.limits[t.ID]
	if !limited {
		return ""
	}
	from, _ := p.Estimate.Task(l.link.FromID)
	at := l.by.In(p.Shop.Zone()).Format("15:04 on 2 January")
	if p.AsOf.After(l.by) {
		return fmt.Sprintf("Too late since %s: not later than %s h after %s. Do that again first, or hold to what the data sheet says.", at, l.link.MaxLagHours, from.Describe())
	}
	return fmt.Sprintf("Begin by %s, or do %s again: not later than %s h after it.", at, from.Describe(), l.link.MaxLagHours)
}

// inTasks says a contradiction of the network in the estimate's tasks and hours.
func inTasks(err error, e domain.Estimate) error {
	f := fault.As(err)
	if f == nil || f.Code != "max-lag-cannot-hold" {
		return err
	}
	clash, ok := f.Evidence.(network.Contradiction)
	if !ok {
		return err
	}
	var claims []string
	for _, c := range clash.Lags {
		claims = append(claims, claimWords(c, e))
	}
	out := *f
	out.Detail = "These cannot all hold: " + strings.Join(claims, "; ") + "."
	out.Fields = nil
	for _, field := range f.Fields {
		field.Pointer = strings.Replace(field.Pointer, "max_lag_minutes", "max_lag_hours", 1)
		out.Fields = append(out.Fields, field)
	}
	return &out
}

func claimWords(c network.LagClaim, e domain.Estimate) string {
	from, _ := e.Task(c.From)
	to, _ := e.Task(c.To)
	than := "not earlier than"
	if c.AtMost {
		than = "not later than"
	}
	return fmt.Sprintf("%s %s %s h (%s) after %s", to.Describe(), than, hoursOf(int(c.Minutes)), c.Kind, from.Describe())
}

package app

import (
	"fmt"
	"strings"
	"time"

	"github.com/shopspring/decimal"

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
	claims := ringWords(clash.Lags, e)
	out := *f
	out.Detail = "These cannot all hold: " + strings.Join(claims, "; ") + "."
	out.Fields = nil
	for _, field := range f.Fields {
		field.Pointer = strings.Replace(field.Pointer, "max_lag_minutes", "max_lag_hours", 1)
		out.Fields = append(out.Fields, field)
	}
	return &out
}

// ringWords says each lag of a contradiction, and how long the work takes that lies
// between two of them.
func ringWords(lags []network.LagClaim, e domain.Estimate) []string {
	var out []string
	name := namedOnce(e)
	for k, c := range lags {
		out = append(out, claimWords(c, name))
		into, enters := reached(c)
		from, leaves := left(lags[(k+1)%len(lags)])
		if t, known := e.Task(into); known && into == from && enters == "begins" && leaves == "ends" {
			if long := lasting(*t); long != "" {
				out = append(out, name(into)+" takes "+long)
			}
		}
	}
	return out
}

// namedOnce gives a task's code with its name the first time, later its code alone.
func namedOnce(e domain.Estimate) func(domain.ID) string {
	named := map[domain.ID]bool{}
	return func(id domain.ID) string {
		t, _ := e.Task(id)
		if named[id] && t.Code != "" {
			return t.Code
		}
		named[id] = true
		return t.Describe()
	}
}

// reached is the task that a lag asks something of, and of which end; left is where it
// is counted from. A maximum asks it of the first task of its link.
func reached(c network.LagClaim) (domain.ID, string) {
	if c.AtMost {
		return c.From, firstEnd(c.Type)
	}
	return c.To, secondEnd(c.Type)
}

func left(c network.LagClaim) (domain.ID, string) {
	if c.AtMost {
		return c.To, secondEnd(c.Type)
	}
	return c.From, firstEnd(c.Type)
}

func firstEnd(t network.LinkType) string {
	if t == network.SS || t == network.SF {
		return "begins"
	}
	return "ends"
}

func secondEnd(t network.LinkType) string {
	if t == network.FF || t == network.SF {
		return "ends"
	}
	return "begins"
}

func claimWords(c network.LagClaim, name func(domain.ID) string) string {
	ends := name(c.To) + " " + secondEnd(c.Type)
	begin := name(c.From) + " " + firstEnd(c.Type)
	hours := hoursWords(hoursOf(max(int(c.Minutes), -int(c.Minutes))), c.Kind)
	switch {
	case c.AtMost && c.Minutes < 0:
		return fmt.Sprintf("%s at least %s before %s", ends, hours, begin)
	case c.AtMost:
		return fmt.Sprintf("%s not later than %s after %s", ends, hours, begin)
	case c.Minutes == 0:
		return fmt.Sprintf("%s only after %s", ends, begin)
	case c.Minutes < 0:
		return fmt.Sprintf("%s not more than %s before %s", ends, hours, begin)
	default:
		return fmt.Sprintf("%s not earlier than %s after %s", ends, hours, begin)
	}
}

// lasting is how long a task takes as the plan reckons, in words; empty for no time.
func lasting(t domain.Task) string {
	switch {
	case t.Kind == domain.Cure:
		return hoursWords(t.ElapsedHours, calendar.Elapsed)
	case t.Kind == domain.Sublet && t.LeadDays == 1:
		return "1 working day"
	case t.Kind == domain.Sublet:
		return fmt.Sprintf("%d working days", t.LeadDays)
	}
	each := t.Hours.Mean().DivRound(decimal.NewFromInt(int64(max(1, t.People()))), 2)
	if each.IsZero() {
		return ""
	}
	return hoursWords(each, calendar.Working)
}

func hoursWords(hours decimal.Decimal, kind calendar.Kind) string {
	if hours.Equal(decimal.NewFromInt(1)) {
		return fmt.Sprintf("1 %s hour", kind)
	}
	return fmt.Sprintf("%s %s hours", hours, kind)
}

package app

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/levelling"
)

// The dates of an order come from the floor: the plan that holds is followed once
// with the order's work in it and once without, and the finish moves by the
// difference. Nothing is searched, so the same floor gives the same days. What was
// sent is a snapshot that stands for as long as the promise that it moves.

// orderFloor is the floor as the orders of one job meet it.
type orderFloor struct {
	base     *floorBase
	plan     domain.ShopPlan // without its body
	previous []levelling.Placement
	facts    string // everything that a finish follows from, but for the order
	alone    string // why the dates count the car alone; empty where they do not
}

const (
	aloneUnplanned = "The dates count this car alone: the shop's floor is not planned yet."
	aloneAside     = "The dates count this car alone: it is not on the shop's floor."
	aloneRefused   = "The dates count this car alone: the shop's floor could not be planned with this change."
	alonePartly    = "The dates count this car alone: part of it cannot be planned on the shop's floor yet."
	aloneAsSent    = "The dates count this car alone, without the other cars in the shop."
)

// floor reads the floor and the plan that holds, once.
func (b *orderBase) floor() (*orderFloor, error) {
	if b.onFloor != nil {
		return b.onFloor, nil
	}
	if stands, err := b.standsAhead(); err != nil || stands {
		return b.onFloor, err
	}
	f := &orderFloor{}
	plan, err := b.app.agreedPlan(b.reader)
	if err != nil {
		return nil, err
	}
	if plan == nil {
		f.alone, b.onFloor = aloneUnplanned, f
		return f, nil
	}
	f.previous = plan.placements()
	if f.base, err = b.app.floorBaseOf(b.reader, ""); err != nil {
		return nil, err
	}
	if !slices.ContainsFunc(f.base.jobs, func(j domain.Job) bool { return j.ID == b.job.ID }) {
		f.alone = aloneAside
	}
	f.base.settleTime()
	f.plan, f.facts, b.onFloor = plan.ShopPlan, fmt.Sprintf("%s %s %s %d", b.job.ID, plan.ID, f.base.facts(), f.base.now.Unix()), f
	return f, nil
}

// selection names what was chosen of an order, so that what follows from it can be
// found again.
func selection(o domain.ChangeOrder, choices []domain.Choice) string {
	body, err := json.Marshal([]any{o.Number, o.Items, choices})
	if err != nil {
		return o.ID // plain values always marshal
	}
	return string(body)
}

// ends follows the plan that holds with the agreed work changed; without selection,
// as it stands.
func (b *orderBase) ends(f *orderFloor, selection string, e domain.Estimate) (floorEnds, error) {
	sum := sha256.Sum256([]byte(f.facts + selection))
	return b.app.orderEnds.get(hex.EncodeToString(sum[:]), func() (floorEnds, error) {
		if b.beside {
			return floorEnds{}, errReckonAnew
		}
		base := f.base
		if selection != "" {
			base = base.with(b.job, e)
		}
		r, err := levelling.Follow(base.input(f.previous))
		if fault.As(err) != nil {
			return floorEnds{failed: true}, nil
		}
		return base.ends(b.job.ID, r), err
	})
}

// refusedBy says why the floor does not answer, and is empty where it does.
func refusedBy(job domain.ID, was, is floorEnds) string {
	if was.failed || is.failed {
		return aloneRefused
	}
	if is.unsure[job] != "" {
		return alonePartly
	}
	for id, why := range is.unsure {
		if why != was.unsure[id] {
			return aloneRefused
		}
	}
	return ""
}

// datesFrom puts the floor's dates in the place of the car's own, or says why not.
// of is what was chosen, a what that does to the work; next gives identifiers.
func (b *orderBase) datesFrom(own domain.DateEffect, of string, a applied, next func() domain.ID) (moved, error) {
	own.Source = domain.FromOwnSchedule
	out := moved{dates: own}
	f, err := b.floor()
	if err != nil || f.alone != "" {
		if f != nil {
			out.dates.Words = f.alone
		}
		return out, err
	}
	was, err := b.ends(f, "", domain.Estimate{})
	if err != nil {
		return out, err
	}
	after := agreedWork(a.e, next)
	is, err := b.ends(f, of, after)
	if err != nil {
		return out, err
	}
	if out.dates.Words = refusedBy(b.job.ID, was, is); out.dates.Words != "" {
		return out, nil
	}
	zone := b.shop.Zone()
	d := &out.dates
	d.Source, d.Words = domain.FromFloor, f.words()
	d.FinishBefore, d.FinishAfter = domain.DayOf(was.jobs[b.job.ID], zone), domain.DayOf(is.jobs[b.job.ID], zone)
	days := b.daysBetween(was.jobs[b.job.ID], is.jobs[b.job.ID])
	if d.Days = b.owed(a, days); d.Days != days {
		d.FinishAfter = d.FinishBefore
	}
	if !b.job.Promise.IsZero() {
		d.PromiseAfter = workingDayAfter(b.cal, zone, b.job.Promise, d.Days)
	}
	d.Why = b.whyFloor(own.Days, d.Days, is.chain, a)
	out.phases = b.phaseMoves(endsByCode(was.tasks), endsByCode(is.tasks), after)
	out.floor = &domain.OrderFloor{PlanID: f.plan.ID, Revision: f.plan.Revision, MadeAt: f.plan.MadeAt, OwnDays: own.Days, Cars: f.base.carMoves(b.job.ID, was, is)}
	return out, nil
}

// moved is how dates, phases and other cars move.
type moved struct {
	dates  domain.DateEffect
	phases []domain.PhaseMove
	floor  *domain.OrderFloor
}

func endsByCode(ends map[string]time.Time) func(domain.Task) (time.Time, bool) {
	return func(t domain.Task) (time.Time, bool) { at, ok := ends[t.Code]; return at, ok }
}

// owed holds the days to what the work can be blamed for: where people and places
// are chosen one after the other, more work can by luck end earlier and less work
// later (R. L. Graham, "Bounds on multiprocessing timing anomalies", 1969, from
// memory). That luck is not the order's.
func (b *orderBase) owed(a applied, days int) int {
	more, less := len(a.tasks) > 0, len(a.removedTasks) > 0
	for _, t := range a.changed {
		if was, ok := b.e.Task(t.ID); ok {
			c := t.Hours.Mean().Cmp(was.Hours.Mean())
			more, less = more || c > 0, less || c < 0
		}
	}
	if !less {
		days = max(0, days)
	}
	if !more {
		days = min(0, days)
	}
	return days
}

// words says where the dates come from, for the client's eyes too.
func (f *orderFloor) words() string {
	others := "the shop's people, stations and hours"
	if n := len(f.base.jobs) - 1; n > 0 {
		others = fmt.Sprintf("%s in the shop: their people, stations and hours", plural(n, "other car"))
	}
	return fmt.Sprintf("The dates count %s, as in the shop's plan %d of %s.", others, f.plan.Revision, domain.DayOf(f.plan.MadeAt, f.base.zone).Long())
}

// whyFloor says in a sentence what moves the finish on the floor.
func (b *orderBase) whyFloor(own, days int, chain []string, a applied) string {
	var driving []string
	for _, t := range slices.Concat(a.tasks, a.changed) {
		if slices.Contains(chain, t.Code) && len(driving) < 3 {
			driving = append(driving, t.Name)
		}
	}
	alone := ""
	if own != days && own > 0 && days > 0 {
		alone = fmt.Sprintf(" Were it alone in the shop, the car would need %s more.", plural(own, "working day"))
	}
	switch {
	case days > 0 && len(driving) > 0:
		return fmt.Sprintf("The finish moves by %s: it now hangs on %s.%s", plural(days, "working day"), strings.Join(driving, ", "), alone)
	case days > 0:
		return fmt.Sprintf("The finish moves by %s.%s", plural(days, "working day"), alone)
	case days < 0:
		return fmt.Sprintf("The finish comes %s earlier.", plural(-days, "working day"))
	case own > 0:
		return "The finish does not move: the work fits in where this car waits for people or places."
	}
	return b.whyDates(0, Plan{}, a)
}

// standsAsSent reports whether the dates of what the client was sent still stand for
// these choices: they are the same, and so is the promise that they move.
func (b *orderBase) standsAsSent(o domain.ChangeOrder, choices []domain.Choice) bool {
	return o.StateAt(b.now) == domain.OrderSent && o.Effect.Dates.Source == domain.FromFloor &&
		o.Effect.Dates.PromiseBefore == b.job.Promise && slices.Equal(o.Effect.Choices, choices)
}

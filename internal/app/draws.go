package app

import (
	"slices"
	"strings"

	"bareframe/internal/domain"
)

// dueDraws says of each draw what of this job it waits for and when that is: by
// the plan, or the day on which it came about. A draw whose gate the job lacks is
// due at hand-over, and stays so once it was agreed.
func (p JobPage) dueDraws(draws []domain.OfferDraw) []domain.OfferDraw {
	out := slices.Clone(draws)
	for i := range out {
		p.due(&out[i])
	}
	return out
}

func (p JobPage) due(d *domain.OfferDraw) {
	d.On, d.Reached = "", false
	if d.Lacking {
		p.dueAtHandOver(d)
		return
	}
	switch d.Due {
	case domain.GateAcceptance:
		if q, ok := p.Accepted(); ok && q.Decision != nil {
			d.On, d.Reached = domain.DayOf(q.Decision.DecidedAt, p.Shop.Zone()), true
		}
	case domain.GatePhaseEnd:
		p.dueAfterPhase(d)
	case domain.GateStripGate:
		p.dueAfterStripGate(d)
	case domain.GateHandOver:
		p.dueAtHandOver(d)
	}
}

// dueAtHandOver is the promise, or the finish where it lies past it; once the job
// is finished, the day of that.
func (p JobPage) dueAtHandOver(d *domain.OfferDraw) {
	if len(p.Estimate.Tasks) == 0 {
		d.On = p.Job.Promise
		return
	}
	finish := domain.DayOf(p.Ahead.Finish, p.Shop.Zone())
	if d.Reached = p.Job.State == domain.Finished || p.Job.State == domain.Closed; d.Reached {
		d.On = finish
		return
	}
	d.On = max(p.Job.Promise, finish)
}

func (p JobPage) dueAfterPhase(d *domain.OfferDraw) {
	ph, ok := p.drawPhase(*d)
	if !ok {
		d.Lacking, d.PhaseID = true, ""
		p.dueAtHandOver(d)
		return
	}
	d.Phase, d.PhaseID = ph.Phase.Name, ph.Phase.ID
	_, finish := p.PhaseAhead(ph.Phase.ID)
	d.On, d.Reached = domain.DayOf(*finish, p.Shop.Zone()), ph.Standing.State == TaskFinished
}

// drawPhase finds the phase that a draw waits for, among those with work: the one
// it was agreed for, else by key, else by name.
func (p JobPage) drawPhase(d domain.OfferDraw) (PhaseStanding, bool) {
	for _, is := range []func(domain.Phase) bool{
		func(ph domain.Phase) bool { return d.PhaseID != "" && ph.ID == d.PhaseID },
		func(ph domain.Phase) bool { return ph.Key != "" && ph.Key == d.Phase },
		func(ph domain.Phase) bool {
			return strings.EqualFold(strings.TrimSpace(ph.Name), strings.TrimSpace(d.Phase))
		},
	} {
		for _, ph := range p.Phases {
			if ph.Finish != nil && is(ph.Phase) {
				return ph, true
			}
		}
	}
	return PhaseStanding{}, false
}

func (p JobPage) dueAfterStripGate(d *domain.OfferDraw) {
	for _, t := range p.Estimate.Tasks {
		if !t.StripGate {
			continue
		}
		at := p.Plan.Of(t.ID).EarlyFinish
		if d.Reached = t.ReleasedAt != nil; d.Reached {
			at = *t.ReleasedAt
		}
		d.On = domain.DayOf(at, p.Shop.Zone())
		return
	}
	d.Lacking = true
	p.dueAtHandOver(d)
}

package api

import (
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// Nothing in this file reads a cost, a margin, a markup, a wage or the hours
// that were sold; a test marshals what it makes and looks for them.

func clientJobSummary(p app.JobPage) ClientJobSummary {
	j := p.Job
	return ClientJobSummary{ID: j.ID, Number: j.Number, Title: j.Title, Vehicle: j.Vehicle.Label(), State: JobState(j.State), Sentence: p.ClientSentence()}
}

// clientJob maps what a client may see of a job. Dates are shown only once they
// were offered: of the open quote as it was issued, and as they are forecast
// today when a quote was accepted. Drafts stay in the shop.
func clientJob(p app.JobPage) ClientJob {
	out := ClientJob{
		Summary: clientJobSummary(p), Currency: p.Job.Currency, AgreedAmount: moneyText(p.Job.AuthorisedAmount, p.Job.Currency),
		PercentDone: p.Whole.Percent, Confidence: ConfidenceNotComputed, Assumptions: texts(p.Assumptions()),
		Phases: each(p.Phases, clientPhase), Next: []ClientNext{}, Opened: clientOpened(p), Draws: []DrawView{},
		Quotes: each(p.Quotes, func(q domain.Quote) QuoteSummary { return quoteSummary(q, p.AsOf) }),
	}
	zone := p.Shop.Zone()
	if _, ok := p.Accepted(); ok && p.Job.Sold() {
		out.Draws = each(p.Draws, drawView)
		out.Promise, out.Finish, out.LateDays = dayOrNil(p.Job.Promise), dayIn(zone, &p.Ahead.Finish), p.Ahead.LateDays
		for i, ph := range p.Phases {
			start, finish := p.PhaseAhead(ph.Phase.ID)
			out.Phases[i].Start, out.Phases[i].Finish = dayIn(zone, start), dayIn(zone, finish)
		}
		if p.Job.Workable() {
			out.Next = clientNext(p, zone)
		}
		return out
	}
	if q, ok := p.OpenQuote(); ok {
		out.Draws = each(q.Offer.Draws, drawView)
		out.Promise, out.Finish = dayOrNil(p.Job.Promise), dayOrNil(q.Offer.Finish)
		datePhases(out.Phases, q.Offer.Phases)
	}
	return out
}

func clientPhase(ph app.PhaseStanding) ClientPhase {
	state := ph.Standing.State
	if state == "" {
		state = app.TaskOpen // a phase without a task
	}
	return ClientPhase{Name: ph.Phase.Name, PercentDone: ph.Standing.Percent, State: TaskState(state)}
}

// datePhases gives phases the days that a quote offered, by name.
func datePhases(phases []ClientPhase, offered []domain.OfferPhase) {
	for i := range phases {
		for _, o := range offered {
			if o.Name == phases[i].Name {
				phases[i].Start, phases[i].Finish = dayOrNil(o.Start), dayOrNil(o.Finish)
			}
		}
	}
}

// comingUp is how many tasks a client sees ahead.
const comingUp = 3

func clientNext(p app.JobPage, zone *time.Location) []ClientNext {
	return each(p.ComingUp(comingUp), func(t domain.Task) ClientNext {
		next := ClientNext{Name: t.Name, Day: Day(domain.DayOf(p.StartAhead(t.ID), zone))}
		if ph, ok := p.Estimate.Phase(t.PhaseID); ok {
			next.Phase = ph.Name
		}
		return next
	})
}

// clientOpened lists the work that was opened outside the agreed scope, and why.
func clientOpened(p app.JobPage) []ClientOpened {
	out := []ClientOpened{}
	for _, t := range p.Estimate.Tasks {
		if t.Scope == domain.Opened && t.OpenedAt != nil {
			out = append(out, ClientOpened{Task: t.Name, Reason: t.OpenedAs, At: t.OpenedAt.UTC()})
		}
	}
	return out
}

// clientQuote maps a quote for its client: as issued, or with the figures of what
// was chosen once it was accepted.
func clientQuote(issued domain.Quote, now time.Time) ClientQuote {
	q := issued.AsAgreed()
	return ClientQuote{
		ID: q.ID, JobID: q.JobID, Number: q.Number, Revision: q.Revision, State: QuoteState(q.StateAt(now)),
		IssuedAt: q.IssuedAt.UTC(), ExpiresAt: q.ExpiresAt.UTC(), Currency: q.Currency,
		Net: moneyText(q.Net, q.Currency), Tax: moneyText(q.Tax, q.Currency), Total: moneyText(q.Total, q.Currency),
		Taxes:  each(q.Offer.Taxes, taxLine),
		Draws:  each(q.Offer.Draws, drawView),
		Phases: each(q.Offer.Phases, clientQuotePhase),
		Start:  dayOrNil(q.Offer.Start), Finish: dayOrNil(q.Offer.Finish), Note: q.Note, Terms: q.Terms,
		DocumentHash: q.DocumentHash, Confidence: ConfidenceNotComputed, Decision: decisionView(q),
		FirmNet: textOrNil(q.Offer.Firm), RangedNet: textOrNil(q.Offer.Ranged),
		Opening: textOrNil(q.Offer.Opening), Closing: textOrNil(q.Offer.Closing),
		Options: optionsOf(issued), IssuedTotal: moneyText(issued.Total, issued.Currency), DateWords: textOrNil(issued.Offer.DateWords),
	}
}

func clientQuotePhase(ph domain.OfferPhase) ClientQuotePhase {
	return ClientQuotePhase{Name: ph.Name, Net: ph.Net, Start: dayOrNil(ph.Start), Finish: dayOrNil(ph.Finish),
		Lines: each(ph.Lines, clientQuoteLine)}
}

func clientQuoteLine(l domain.OfferLine) ClientQuoteLine {
	return ClientQuoteLine{Description: l.Description, Kind: string(l.Kind), Quantity: shownQuantity(l.Quantity), Unit: l.Unit, Net: l.Net}
}

// shownQuantity rounds a billed quantity to the places that the contract shows;
// with waste it may have more. Nothing is computed from it.
func shownQuantity(text string) string {
	d, err := decimal.NewFromString(text)
	if err != nil {
		return text
	}
	return plainText(d.Round(decimalPlaces))
}

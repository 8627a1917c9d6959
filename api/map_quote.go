package api

import (
	"time"

	"bareframe/internal/domain"
)

// quoteSummary maps a revision as it reads at an instant: an open one past its
// expiry is expired.
func quoteSummary(q domain.Quote, now time.Time) QuoteSummary {
	return QuoteSummary{
		ID: q.ID, Number: q.Number, Revision: q.Revision, State: QuoteState(q.StateAt(now)), IssuedAt: q.IssuedAt.UTC(), ExpiresAt: q.ExpiresAt.UTC(),
		Total: moneyText(q.Total, q.Currency), Currency: q.Currency, Finish: dayOrNil(q.Offer.Finish), Decision: decisionView(q),
	}
}

func quoteView(q domain.Quote, now time.Time) Quote {
	return Quote{
		Summary: quoteSummary(q, now), JobID: q.JobID, DocumentHash: q.DocumentHash, Note: q.Note, IssuedBy: q.IssuedBy, Terms: q.Terms,
		Cost: moneyText(q.Cost, q.Currency), Margin: moneyText(q.Net.Sub(q.Cost), q.Currency),
		FirmNet: textOrNil(q.Offer.Firm), RangedNet: textOrNil(q.Offer.Ranged),
	}
}

func decisionView(q domain.Quote) *Decision {
	d := q.Decision
	if d == nil {
		return nil
	}
	out := Decision{Outcome: DecisionOutcomeDeclined, How: DecisionHow(d.How), Name: d.Name, Signature: d.Signature, DecidedAt: d.DecidedAt.UTC(),
		Amount: moneyText(d.Amount, q.Currency), RecordedBy: d.RecordedBy, Contact: d.Contact, Said: d.Said, Reason: d.Reason}
	if d.Accepted {
		out.Outcome = DecisionOutcomeAccepted
	}
	return &out
}

func recordedFrom(b RecordedDecision) (domain.Decision, error) {
	var r reading
	d := domain.Decision{Accepted: b.Outcome == DecisionOutcomeAccepted, How: domain.DecisionHow(b.How), Name: b.Name, Contact: b.Contact,
		Said: b.Said, DecidedAt: b.DecidedAt.UTC(), Amount: r.decimal("/amount", b.Amount)}
	return d, r.err()
}

package api

import (
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// quoteSummary maps a revision as it reads at an instant: an open one past its
// expiry is expired.
func quoteSummary(q domain.Quote, now time.Time) QuoteSummary {
	agreed := q.AsAgreed()
	return QuoteSummary{
		ID: q.ID, Number: q.Number, Revision: q.Revision, State: QuoteState(q.StateAt(now)), IssuedAt: q.IssuedAt.UTC(), ExpiresAt: q.ExpiresAt.UTC(),
		Total: moneyText(agreed.Total, q.Currency), Currency: q.Currency, Finish: dayOrNil(agreed.Offer.Finish), Decision: decisionView(q),
	}
}

func quoteView(q domain.Quote, now time.Time) Quote {
	agreed := q.AsAgreed()
	return Quote{
		Summary: quoteSummary(q, now), JobID: q.JobID, DocumentHash: q.DocumentHash, Note: q.Note, IssuedBy: q.IssuedBy, Terms: q.Terms,
		Cost: moneyText(agreed.Cost, q.Currency), Margin: moneyText(agreed.Net.Sub(agreed.Cost), q.Currency),
		FirmNet: textOrNil(agreed.Offer.Firm), RangedNet: textOrNil(agreed.Offer.Ranged),
		Options: optionsOf(q), IssuedTotal: moneyText(q.Total, q.Currency), DateWords: textOrNil(q.Offer.DateWords),
	}
}

func decisionView(q domain.Quote) *Decision {
	d := q.Decision
	if d == nil {
		return nil
	}
	out := Decision{Outcome: DecisionOutcomeDeclined, How: DecisionHow(d.How), Name: d.Name, Signature: d.Signature, DecidedAt: d.DecidedAt.UTC(),
		Amount: moneyText(d.Amount, q.Currency), RecordedBy: d.RecordedBy, Contact: d.Contact, Said: d.Said, Reason: d.Reason}
	if q.Agreed != nil {
		ids := texts(q.Agreed.OptionIDs)
		out.OptionIds, out.DocumentHash = &ids, &q.Agreed.DocumentHash
	}
	if d.Accepted {
		out.Outcome = DecisionOutcomeAccepted
	}
	return &out
}

func recordedFrom(b RecordedDecision) (domain.Decision, error) {
	var r reading
	d := domain.Decision{Accepted: b.Outcome == DecisionOutcomeAccepted, How: domain.DecisionHow(b.How), Name: b.Name, Contact: b.Contact,
		Said: b.Said, DecidedAt: b.DecidedAt.UTC(), Amount: r.decimal("/amount", b.Amount), OptionIDs: orZero(b.OptionIds)}
	return d, r.err()
}

// decidedFrom reads what a client decided in the portal.
func decidedFrom(b ClientDecision) (app.PortalDecision, error) {
	var r reading
	d := app.PortalDecision{Accepted: b.Outcome == DecisionOutcomeAccepted, Name: b.Name, Signature: b.Signature, DocumentHash: b.DocumentHash, Reason: b.Reason,
		OptionIDs: orZero(b.OptionIds), Finish: r.day("/finish", b.Finish)}
	if b.Amount != nil {
		amount := r.decimal("/amount", *b.Amount)
		d.Amount = &amount
	}
	return d, r.err()
}

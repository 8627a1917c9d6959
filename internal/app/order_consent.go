package app

import (
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// consent says what the law of the place asks for, as the shop has chosen its
// rule. Whatever it says, work that an order adds begins only with a recorded
// decision.
func (b *orderBase) consent(e *domain.OrderEffect) error {
	e.ConsentDue = e.Amount.IsPositive()
	e.ConsentWhy = "No rule set is chosen, so that any increase needs consent. Check local law."
	return nil
}

// recordComplete names what the rule asks a record of consent to hold and this
// one does not.
func (s *sitting) recordComplete(_ *fault.Collector, _ domain.OrderDecision, _ domain.OrderEffect) error {
	return nil
}

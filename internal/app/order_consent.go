package app

import (
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/money"
	"bareframe/internal/pricing/localrules"
)

// consent says whether the rule set that the shop goes by asks for the client's
// consent. Whatever it says, work that an order adds begins only with a recorded
// decision.
func (b *orderBase) consent(e *domain.OrderEffect) error {
	rule, err := b.app.ruleOf(b.shop.GoesBy())
	if err != nil { // the rule set has gone from the program
		e.ConsentDue, e.ConsentWhy = e.Amount.IsPositive(), "The shop's rule set is not known any more, so that any increase needs consent. Check local law."
		return nil
	}
	c, err := money.ParseCurrency(b.job.Currency)
	if err != nil {
		return err
	}
	revised := authorisedAfter(*e)
	if revised.IsNegative() || e.AuthorisedBefore.IsNegative() {
		e.ConsentWhy = "More would be taken back than was agreed."
		return nil
	}
	r, err := localrules.ConsentDue(rule.At(b.job.Rate()), money.Round(e.AuthorisedBefore, c), money.Round(revised, c))
	if err != nil {
		return err
	}
	e.ConsentDue, e.ConsentWhy = r.Due, r.Why+" "+rule.Check
	return nil
}

// recordPointers says where each thing that a rule wants named stands in a
// recorded decision.
var recordPointers = map[localrules.Field]string{
	localrules.Date: "/decided_at", localrules.Time: "/decided_at", localrules.Person: "/name", localrules.How: "/how",
	localrules.NumberOrAddress: "/contact", localrules.WhatWasSaid: "/said", localrules.AddedParts: "/added_parts",
	localrules.AddedLabour: "/added_labour", localrules.RevisedTotal: "/revised_total",
}

// recordComplete names what the shop's rule set asks a record of consent to hold
// and this one does not.
func (s *sitting) recordComplete(c *fault.Collector, d domain.OrderDecision) error {
	rule, err := s.w.consentRule()
	if err != nil {
		return err
	}
	zone := s.b.shop.Zone()
	r := localrules.Record{Date: d.DecidedAt.In(zone).Format("2006-01-02"), Time: d.DecidedAt.In(zone).Format("15:04"), Person: d.Name, How: string(d.How),
		NumberOrAddress: d.Contact, WhatWasSaid: d.Said, AddedParts: d.AddedParts, AddedLabour: d.AddedLabour}
	if !d.RevisedTotal.IsZero() {
		r.RevisedTotal = d.RevisedTotal.String()
	}
	for _, field := range localrules.Missing(rule, r) {
		c.Add(recordPointers[field], "%s asks that the record names this: %s. Check local law.", rule.Name, field)
	}
	return nil
}

// mayAuthorise refuses the word of somebody whom the client has not named.
func (s *sitting) mayAuthorise(c *fault.Collector, name string) error {
	who, err := authorisersOf(s.w, s.job)
	if err != nil {
		return err
	}
	if !who.May(name) {
		c.Add("/name", "%s can authorise work on this job, or somebody whom they have named; this name is neither.", who.Client.Name)
	}
	return nil
}

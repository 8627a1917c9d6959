package app_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/pricing"
	"bareframe/internal/pricing/localrules"
)

// Under none of the rule sets that come with the program, and for no size of
// change, does an order's work begin before a decision with all that the rule
// asks for was recorded: also where the rule asks for no consent.
func TestNoRuleLetsWorkBeginUnrecorded(t *testing.T) {
	for _, rule := range ruleSets(t) {
		t.Run(rule.Code, func(t *testing.T) {
			b := open(t, settings("EUR", pricing.PerDocument))
			now, err := b.app.ShopRules(t.Context(), b.owner)
			b.ok("reading the rules", err)
			chosen := now.Chosen
			chosen.RuleSet, chosen.Overrides = rule.Code, localrules.Overrides{}
			_, err = b.app.ChangeShopRules(t.Context(), b.owner, app.Precondition{Given: true, Version: now.Version}, chosen)
			b.ok("choosing the rule", err)
			job := b.soldJob()
			for i, hours := range []string{"0.01", "400"} {
				heldUntilRecorded(t, b, job.Job.ID, rule, fmt.Sprintf("Work %d", i), hours)
			}
		})
	}
}

// heldUntilRecorded sends an order for some hours of a task and leaves out of
// its record one thing after the other.
func heldUntilRecorded(t *testing.T, b *bench, jobID domain.ID, rule localrules.RuleSet, name, much string) {
	t.Helper()
	d := patch(t, b.page(jobID))
	d.Items[0].MayLeave = false
	d.Items[0].Options = d.Items[0].Options[:1]
	d.Items[0].Options[0].Tasks[0].Name, d.Items[0].Options[0].Tasks[0].Hours = name, hours(much, much, much)
	p := b.send(b.draft(jobID, d), 14)
	whole := domain.OrderDecision{Approved: true, How: domain.ByTelephone, Name: "Sorei Vantesse", Contact: "+00 555 0142", Said: "Yes, do it.",
		DecidedAt: b.now(), Choices: []domain.Choice{{ItemKey: "i1", OptionKey: "patch"}}, Amount: p.Order.Effect.Amount,
		RevisedTotal: p.Order.Effect.AuthorisedBefore.Add(p.Order.Effect.Amount), AddedParts: "none", AddedLabour: much + " h"}
	leave := map[localrules.Field]func(*domain.OrderDecision){
		localrules.NumberOrAddress: func(d *domain.OrderDecision) { d.Contact = "" },
		localrules.WhatWasSaid:     func(d *domain.OrderDecision) { d.Said = " " },
		localrules.AddedParts:      func(d *domain.OrderDecision) { d.AddedParts = "" },
		localrules.AddedLabour:     func(d *domain.OrderDecision) { d.AddedLabour = "" },
		localrules.RevisedTotal:    func(d *domain.OrderDecision) { d.RevisedTotal = decimal.Zero },
		localrules.Person:          func(d *domain.OrderDecision) { d.Name = "Somebody Else" },
	}
	pointers := map[localrules.Field]string{localrules.NumberOrAddress: "/contact", localrules.WhatWasSaid: "/said", localrules.AddedParts: "/added_parts",
		localrules.AddedLabour: "/added_labour", localrules.RevisedTotal: "/revised_total", localrules.Person: "/name"}
	asked := 0
	for field, without := range leave {
		if !slices.Contains(rule.RecordMustName, field) {
			continue
		}
		asked++
		lacking := whole
		without(&lacking)
		_, err := b.app.RecordOrderDecision(t.Context(), b.owner, p.Order.ID, b.key(), lacking)
		e := fault.As(err)
		if e == nil || !slices.ContainsFunc(e.Fields, func(f fault.Field) bool { return f.Pointer == pointers[field] }) {
			t.Errorf("%s h without %s: got %v, want a refusal at %s", much, field, err, pointers[field])
		}
		if begun(b.page(jobID), name) {
			t.Fatalf("%s h without %s: the task is there", much, field)
		}
	}
	if asked == 0 {
		t.Fatalf("the rule asks a record for nothing that can be left out: %v", rule.RecordMustName)
	}
	_, err := b.app.RecordOrderDecision(t.Context(), b.owner, p.Order.ID, b.key(), whole)
	b.ok("recording all that is asked for", err)
	if !begun(b.page(jobID), name) {
		t.Errorf("%s h: recorded in full, and the task is not there", much)
	}
}

func begun(p app.JobPage, name string) bool {
	return slices.ContainsFunc(p.Estimate.Tasks, func(t domain.Task) bool { return t.Name == name })
}

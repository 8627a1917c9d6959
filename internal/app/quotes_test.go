package app_test

import (
	"crypto/sha256"
	"encoding/hex"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

func TestAcceptanceSetsAmountPromiseScopeAndBaselineTogether(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	p := b.job(b.template)
	q := b.issue(p)
	if q.Number != "1-1" || q.State != domain.QuoteOpen || q.IssuedBy != b.owner.Name || !q.ExpiresAt.Equal(time.Date(2031, 4, 3, 0, 0, 0, 0, time.UTC)) {
		t.Errorf("issued: %s %s by %s until %v", q.Number, q.State, q.IssuedBy, q.ExpiresAt)
	}
	q = b.accept(q)
	p = b.page(p.Job.ID)
	if p.Job.State != domain.Accepted || p.Job.AcceptedQuoteID != q.ID || !p.Job.AuthorisedAmount.Equal(q.Total) || p.Job.Promise != q.Offer.Finish || p.Job.Promise == "" {
		t.Errorf("job: %s, quote %s, %s authorised, promised %s", p.Job.State, p.Job.AcceptedQuoteID, p.Job.AuthorisedAmount, p.Job.Promise)
	}
	d := q.Decision
	if !d.Accepted || d.How != domain.ByPortal || d.Name != "Sorei Vantesse" || d.Signature != "Sorei Vantesse" || !d.DecidedAt.Equal(b.now()) || d.From != b.client.From {
		t.Errorf("the decision: %+v", d)
	}
	for _, x := range p.Estimate.Tasks {
		if base, ok := p.Baseline[x.ID]; !ok || x.Scope != domain.Authorised || !base.Hours.Equal(x.Hours.Mean()) {
			t.Errorf("%s: scope %s, baseline %+v", x.Describe(), x.Scope, base)
		}
	}
	for _, l := range p.Estimate.Lines {
		if l.Scope != domain.Authorised {
			t.Errorf("line %s: scope %s", l.Description, l.Scope)
		}
	}
	doc, err := b.app.QuoteDocument(t.Context(), b.owner, q.ID, app.AsHTML)
	b.ok("document", err)
	if sum := sha256.Sum256(doc.Body); doc.Hash != hex.EncodeToString(sum[:]) || doc.Hash != q.DocumentHash {
		t.Errorf("the document's bytes do not have the hash that was accepted")
	}
}

func TestDecisionsThatAreRefused(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	yes := func(q domain.Quote) app.PortalDecision {
		return app.PortalDecision{Accepted: true, Name: "Sorei", Signature: "Sorei", DocumentHash: q.DocumentHash}
	}
	decide := func(q domain.Quote, who domain.Actor, p app.PortalDecision) error {
		_, err := b.app.DecideQuote(ctx, who, q.ID, b.key(), p)
		return err
	}
	p := b.job(b.template)
	first := b.issue(p)
	refused(t, "another client", decide(first, b.other, yes(first)), "not-found")
	refused(t, "the owner at the client's table", decide(first, b.owner, yes(first)), "not-for-this-role")
	elsewhere := b.client
	elsewhere.OnlyJob = "00000000-0000-7000-8000-00000000dead"
	refused(t, "a link for another job", decide(first, elsewhere, yes(first)), "not-found")
	unsigned := yes(first)
	unsigned.Signature = "  "
	refused(t, "no signature", decide(first, b.client, unsigned), "decision-invalid")
	refused(t, "no reason", decide(first, b.client, app.PortalDecision{DocumentHash: first.DocumentHash}), "decision-invalid")
	stale := yes(first)
	stale.DocumentHash = "00"
	refused(t, "another document", decide(first, b.client, stale), "another-document")

	second := b.issue(b.page(p.Job.ID))
	if second.Number != "1-2" {
		t.Errorf("the next revision is %s", second.Number)
	}
	refused(t, "the superseded revision", decide(first, b.client, yes(first)), "quote-superseded")
	b.set(second.ExpiresAt)
	refused(t, "the expired revision", decide(second, b.client, yes(second)), "quote-expired")
	b.set(second.ExpiresAt.Add(-time.Second))
	b.accept(second)
	refused(t, "a second acceptance", decide(second, b.client, yes(second)), "quote-decided")
	_, err := b.app.IssueQuote(ctx, b.owner, p.Job.ID, made(b.page(p.Job.ID)), b.key(), 30, "")
	refused(t, "a quote after acceptance", err, "job-not-quotable")

	kept, err := b.app.ClientQuote(ctx, b.client, first.ID)
	b.ok("the old revision", err)
	if kept.State != domain.QuoteSuperseded || kept.DocumentHash != first.DocumentHash || !kept.Total.Equal(first.Total) {
		t.Errorf("the superseded revision reads %+v", kept)
	}
	if _, err := b.app.ClientQuoteDocument(ctx, b.client, first.ID, app.AsHTML); err != nil {
		t.Errorf("its document: %v", err)
	}
}

func TestDecisionsThatAnOwnerRecords(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	q := b.issue(b.job(b.template))
	b.pass(time.Hour)
	good := domain.Decision{Accepted: true, How: domain.ByTelephone, Name: "Sorei Vantesse", Contact: "+00 555 0134", Said: "Go ahead.", DecidedAt: b.now(), Amount: q.Total}
	for name, change := range map[string]func(d *domain.Decision){
		"another amount":          func(d *domain.Decision) { d.Amount = d.Amount.Add(dec("0.01")) },
		"no number":               func(d *domain.Decision) { d.Contact = " " },
		"tomorrow":                func(d *domain.Decision) { d.DecidedAt = d.DecidedAt.Add(24 * time.Hour) },
		"before it was issued":    func(d *domain.Decision) { d.DecidedAt = q.IssuedAt.Add(-time.Hour) },
		"declined without a word": func(d *domain.Decision) { d.Accepted, d.Said = false, "" },
	} {
		d := good
		change(&d)
		_, err := b.app.RecordDecision(ctx, b.owner, q.ID, b.key(), d)
		refused(t, name, err, "decision-invalid")
	}
	_, err := b.app.RecordDecision(ctx, b.marik, q.ID, b.key(), good)
	refused(t, "recorded by a technician", err, "not-for-this-role")
	q, err = b.app.RecordDecision(ctx, b.owner, q.ID, b.key(), good)
	b.ok("recording", err)
	if q.State != domain.QuoteAccepted || q.Decision.RecordedBy != b.owner.Name || q.Decision.How != domain.ByTelephone || q.Decision.Contact != "+00 555 0134" {
		t.Errorf("recorded: %s, %+v", q.State, q.Decision)
	}
}

func TestTheEstimateStandsStillWhileTheClientDecides(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	p := b.job(b.template)
	q := b.issue(p)
	p = b.page(p.Job.ID)
	id, task, line, link := p.Job.ID, taskCalled(t, p, "A10"), p.Estimate.Lines[0], p.Estimate.Links[0]
	edits := map[string]func(p app.JobPage) error{
		"add a phase": func(p app.JobPage) error { _, err := b.app.AddPhase(ctx, b.owner, id, made(p), "More", 1); return err },
		"change a phase": func(p app.JobPage) error {
			_, err := b.app.ChangePhase(ctx, b.owner, id, p.Estimate.Phases[0].ID, made(p), "Other", 1)
			return err
		},
		"change a task": func(p app.JobPage) error {
			_, err := b.app.ChangeTask(ctx, b.owner, id, task.ID, made(p), task, nil)
			return err
		},
		"remove a task": func(p app.JobPage) error { _, err := b.app.RemoveTask(ctx, b.owner, id, task.ID, made(p)); return err },
		"add a task": func(p app.JobPage) error {
			x := task
			x.Code = "N1"
			_, err := b.app.AddTask(ctx, b.owner, id, made(p), x, nil, nil)
			return err
		},
		"change a line": func(p app.JobPage) error {
			_, err := b.app.ChangeLine(ctx, b.owner, id, line.ID, made(p), line)
			return err
		},
		"add a line":    func(p app.JobPage) error { _, err := b.app.AddLine(ctx, b.owner, id, made(p), line); return err },
		"remove a line": func(p app.JobPage) error { _, err := b.app.RemoveLine(ctx, b.owner, id, line.ID, made(p)); return err },
		"remove a link": func(p app.JobPage) error {
			_, err := b.app.RemoveTaskLink(ctx, b.owner, id, link.ID, made(p))
			return err
		},
		"change the head": func(p app.JobPage) error {
			_, err := b.app.ChangeJob(ctx, b.owner, id, made(p), app.JobHead{Title: "T", Vehicle: p.Job.Vehicle})
			return err
		},
		"cancel": func(p app.JobPage) error {
			_, err := b.app.MoveJob(ctx, b.owner, id, made(p), domain.Cancelled, "No.")
			return err
		},
	}
	for name, edit := range edits {
		refused(t, name, edit(p), "quote-open")
	}
	if again := b.page(id); again.Job.Version != p.Job.Version {
		t.Errorf("refused edits moved the version from %d to %d", p.Job.Version, again.Job.Version)
	}
	_, err := b.app.WithdrawQuote(ctx, b.owner, q.ID, b.key(), "A line was missing.")
	b.ok("withdrawing", err)
	for _, name := range []string{"change a task", "change a line", "change the head"} {
		if err := edits[name](b.page(id)); err != nil {
			t.Errorf("%s after the quote was withdrawn: %v", name, err)
		}
	}
	refused(t, "an edit of an older version", edits["change a task"](p), "stale-edit")
	_, err = b.app.ChangeTask(ctx, b.owner, id, task.ID, app.Precondition{}, task, nil)
	refused(t, "an edit without a version", err, "if-match-missing")
}

func TestWhatWasSoldStays(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	p := b.soldJob()
	id, task, line := p.Job.ID, taskCalled(t, p, "A10"), p.Estimate.Lines[0]
	dearer := task
	dearer.Hours.High = dec("60")
	_, err := b.app.ChangeTask(ctx, b.owner, id, task.ID, made(p), dearer, nil)
	refused(t, "hours of a sold task", err, "already-sold")
	_, err = b.app.RemoveTask(ctx, b.owner, id, task.ID, made(p))
	refused(t, "removing a sold task", err, "already-sold")
	_, err = b.app.ChangeLine(ctx, b.owner, id, line.ID, made(p), line)
	refused(t, "changing a sold line", err, "already-sold")
	_, err = b.app.RemoveLine(ctx, b.owner, id, line.ID, made(p))
	refused(t, "removing a sold line", err, "already-sold")
	_, err = b.app.ChangeJob(ctx, b.owner, id, made(p), app.JobHead{Title: "T", Vehicle: p.Job.Vehicle, Promise: "2031-12-31"})
	refused(t, "moving an agreed promise", err, "promise-agreed")
	noted := task
	noted.Note = "Mind the brake pipe."
	if _, err := b.app.ChangeTask(ctx, b.owner, id, task.ID, made(p), noted, nil); err != nil {
		t.Errorf("a note on a sold task: %v", err)
	}
	// A new price book does not move what was sold.
	b.rates(dec("500"))
	if got := b.page(id).Price.Totals.GrandTotal.Decimal(); !got.Equal(p.Job.AuthorisedAmount) {
		t.Errorf("after the rates rose the job costs %s, agreed were %s", got, p.Job.AuthorisedAmount)
	}
}

// The price of a job that is not sold follows the shop's rates and taxes, however
// often it was looked at before. Arithmetic: at a whole rate for every skill the
// labour is that rate times the hours, which have two places, so nothing is rounded.
func TestAPriceFollowsTheShop(t *testing.T) {
	b, ctx := open(t, settings("EUR", "document")), t.Context()
	p := b.job(b.template)
	hours := decimal.Zero
	for _, x := range p.Estimate.Tasks {
		if x.Skill != "" {
			hours = hours.Add(x.Hours.Mean())
		}
	}
	labour := func() (sum decimal.Decimal) {
		for _, l := range b.page(p.Job.ID).Price.Lines {
			if l.Kind == pricing.Labour {
				sum = sum.Add(l.Net.Decimal())
			}
		}
		return sum
	}
	for _, rate := range []string{"100", "250", "100"} {
		b.rates(dec(rate))
		for range 2 {
			if got, want := labour(), hours.Mul(dec(rate)); !got.Equal(want) || !got.IsPositive() {
				t.Errorf("%s h at %s cost %s, want %s", hours, rate, got, want)
			}
		}
	}
	shop, err := b.app.Shop(ctx, b.owner)
	b.ok("shop", err)
	for i := range shop.Settings.TaxRates {
		shop.Settings.TaxRates[i].Percent = decimal.Zero
	}
	_, err = b.app.ChangeShop(ctx, b.owner, app.Precondition{Given: true, Version: shop.Version}, shop.Settings)
	b.ok("taking the taxes away", err)
	if got := b.page(p.Job.ID).Price.Totals; !got.TaxTotal.IsZero() || !got.GrandTotal.Decimal().Equal(got.TaxBasisTotal.Decimal()) {
		t.Errorf("without taxes the tax is %s and %s is asked for %s", got.TaxTotal, got.GrandTotal, got.TaxBasisTotal)
	}
}

package app_test

import (
	"slices"
	"strings"
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

// The date of a quote counts the cars that are on the floor, says so, and is what
// the acceptance promises. The first car has nobody before it.
func TestAQuotesDateComesFromTheFloor(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	for range 3 {
		b.soldJob()
	}
	b.plans()
	job := b.job(b.template)
	q, err := b.app.Queue(t.Context(), b.owner, job.Job.ID)
	b.ok("asking for the queue", err)
	if !q.Behind || q.Finish <= q.Alone || !strings.Contains(q.Words, "3 other cars") {
		t.Fatalf("behind three cars: got %+v; want a later day that counts three cars", q)
	}
	quote := b.issue(job)
	if quote.Offer.Finish != q.Finish || quote.Offer.DateWords != q.Words {
		t.Errorf("the quote says %s (%q), the floor %s (%q)", quote.Offer.Finish, quote.Offer.DateWords, q.Finish, q.Words)
	}
	doc, err := b.app.QuoteDocument(t.Context(), b.owner, quote.ID, app.AsHTML)
	b.ok("the document", err)
	if !strings.Contains(string(doc.Body), "The date counts 3 other cars in the shop") {
		t.Error("the document does not say where its date comes from")
	}
	seen, err := b.app.ClientJob(t.Context(), b.client, job.Job.ID)
	b.ok("the client's page", err)
	if says := seen.Assumptions(); !slices.Contains(says, q.Words) || strings.Contains(strings.Join(says, " "), "are free when this car needs them") {
		t.Errorf("beside the quote's date the client reads %q; want %q", says, q.Words)
	}
	b.accept(quote)
	if p := b.page(job.Job.ID); p.Job.Promise != q.Finish {
		t.Errorf("accepted, the promise is %s, want %s", p.Job.Promise, q.Finish)
	}
}

func TestTheFirstCarWaitsForNobody(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	job := b.job(b.template)
	q, err := b.app.Queue(t.Context(), b.owner, job.Job.ID)
	b.ok("asking", err)
	if q.Behind || q.Finish != q.Alone || q.Words != "" || q.Finish == domain.Day("") {
		t.Errorf("alone in the shop: got %+v", q)
	}
}

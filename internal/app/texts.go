package app

import (
	"context"
	"fmt"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/paper"
	"bareframe/internal/wording"
)

// worded fills the shop's texts of a quote in, as they were written on the day of
// issue. What comes out is kept with the quote and not filled in again.
func worded(p JobPage, q domain.Quote) domain.Quote {
	values := paper.QuoteValues(paper.QuoteData{Shop: p.Shop, Job: p.Job, Client: p.Client, Quote: q})
	q.Offer.Opening = wording.Fill(q.Offer.Wording.Opening, values)
	q.Offer.Closing = wording.Fill(q.Offer.Wording.Closing, values)
	q.Terms = wording.Fill(q.Offer.Wording.Terms, values)
	return q
}

// openingOf fills the shop's opening of an order in.
func openingOf(r Reader, b *orderBase, o domain.ChangeOrder) (string, error) {
	client, err := r.Person(b.job.ClientID)
	d := paper.OrderData{Shop: b.shop, Job: b.job, Client: client, Order: o}
	return wording.Fill(b.shop.Settings.Text(domain.OrderOpening), paper.OrderValues(d, b.now)), err
}

// mailOf fills subject and text of a mail in.
func mailOf(s domain.ShopSettings, subject, body domain.TextKey, values map[string]string) (string, string) {
	return shortened(oneLine(wording.Fill(s.Text(subject), values)), domain.MostSubject), wording.Fill(s.Text(body), values)
}

// TextPreview is how a draft of a text reads about a job that was made up for it.
type TextPreview struct {
	Kind domain.TextKind
	Text string
}

// Texts lists what a shop can word, with the variables of each.
func (a *App) Texts(ctx context.Context, actor domain.Actor) (shop domain.Shop, kinds []domain.TextKind, err error) {
	err = a.view(ctx, actor, "listTexts", func(r Reader) (err error) {
		shop, err = r.Shop()
		return err
	})
	return shop, domain.TextKinds(), err
}

// PreviewText fills a draft in with what a made-up job would say. It refuses what
// saving it would refuse, and keeps nothing.
func (a *App) PreviewText(ctx context.Context, actor domain.Actor, key domain.TextKey, draft string) (out TextPreview, err error) {
	err = a.view(ctx, actor, "previewText", func(r Reader) error {
		kind, ok := domain.TextKindOf(key)
		if !ok {
			return fault.InvalidField("text-invalid", "/key", "There is no text %q.", string(key))
		}
		var c fault.Collector
		for _, reason := range kind.Faults(draft) {
			c.Add("/draft", "%s", reason)
		}
		if err := c.Err("text-invalid"); err != nil {
			return err
		}
		shop, err := r.Shop()
		if err != nil {
			return err
		}
		values, err := paper.SampleValues(shop, a.now())
		if err != nil {
			return fmt.Errorf("making up a job for the preview: %w", err)
		}
		out = TextPreview{kind, wording.Fill(draft, values)}
		if kind.OneLine {
			out.Text = shortened(oneLine(out.Text), domain.MostSubject)
		}
		return nil
	})
	return out, err
}

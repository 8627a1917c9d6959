package paper

import (
	"fmt"
	"maps"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/money"
)

// notPromised stands for a promise that was not given.
const notPromised = "a day that is not promised yet"

// values are what every text of a job can speak of.
func values(shop domain.Shop, job domain.Job, client domain.Person, now time.Time) map[string]string {
	return map[string]string{
		"client": client.Name, "vehicle": job.Vehicle.Label(), "serial": job.Vehicle.Serial, "job number": fmt.Sprint(job.Number), "job title": job.Title,
		"shop name": shop.Settings.Name, "shop address": shop.Settings.Address, "today": longDay(now.In(shop.Zone())), "promise": promised(job.Promise),
	}
}

func promised(d domain.Day) string {
	if d.IsZero() {
		return notPromised
	}
	return day(d)
}

// QuoteValues are what the texts of a quote, and of the mail with it, can speak of.
func QuoteValues(d QuoteData) map[string]string {
	q := d.Quote
	out := values(d.Shop, d.Job, d.Client, q.IssuedAt)
	out["quote number"], out["revision"], out["expiry"] = q.Number, fmt.Sprint(q.Revision), day(domain.LastDay(q.ExpiresAt, d.Shop.Zone()))
	out["start"], out["promise"] = promised(q.Offer.Start), promised(q.Offer.Finish)
	if in, err := money.ParseCurrency(q.Currency); err == nil {
		out["total"], out["tax"] = amount(q.Total, in)+" "+q.Currency, amount(q.Tax, in)+" "+q.Currency
		out["deposit"] = fixed(decimal.Zero, in) + " " + q.Currency
		for _, x := range q.Offer.Draws {
			if x.Due == domain.GateAcceptance {
				out["deposit"] = grouped(x.Amount) + " " + q.Currency
				break
			}
		}
	}
	return out
}

// OrderValues are what the texts of a change order, and of the mail with it, can
// speak of.
func OrderValues(d OrderData, now time.Time) map[string]string {
	out := values(d.Shop, d.Job, d.Client, now)
	out["order number"], out["order title"], out["expiry"] = fmt.Sprint(d.Order.Number), d.Order.Title, "the day that it is sent with"
	if d.Order.ExpiresAt != nil {
		out["expiry"] = day(domain.LastDay(*d.Order.ExpiresAt, d.Shop.Zone()))
	}
	if after := d.Order.Effect.Dates.PromiseAfter; !after.IsZero() {
		out["promise"] = day(after)
	}
	return out
}

// LetterValues are what the texts of a progress letter can speak of.
func LetterValues(shop domain.Shop, job domain.Job, client domain.Person, finish, now time.Time) map[string]string {
	out := values(shop, job, client, now)
	out["forecast"] = longDay(finish.In(shop.Zone()))
	return out
}

// InspectionValues are what the opening of an inspection's report can speak of.
func InspectionValues(d InspectionData) map[string]string {
	return values(d.Shop, d.Job, d.Client, d.AsOf)
}

// JobCardValues are what the shop's own caution on a job card can speak of.
func JobCardValues(d JobCardData) map[string]string {
	out := values(d.Shop, d.Job, domain.Person{}, d.AsOf)
	out["phase"] = d.Phase.Name
	return out
}

// SampleValues are what texts speak of in a preview: a job that was made up, of
// this shop and in its currency.
func SampleValues(shop domain.Shop, now time.Time) (map[string]string, error) {
	in, err := money.ParseCurrency(shop.Settings.Currency)
	if err != nil {
		return nil, err
	}
	total := money.Round(decimal.NewFromInt(28400), in)
	deposit := total.Decimal().Mul(shop.Settings.DepositPercent).Shift(-2).Round(in.Places())
	today := domain.DayOf(now, shop.Zone())
	job := domain.Job{Number: 12, Title: "Body-off restoration", Vehicle: domain.Vehicle{Year: 1962, Make: "Aldra", Model: "Courser", Serial: "AC 62 0417"}, Promise: today.AddDays(140)}
	client := domain.Person{Name: "Mirel Dance"}
	expires := today.AddDays(shop.Settings.QuoteValidDays + 1).Start(shop.Zone())
	out := LetterValues(shop, job, client, now.AddDate(0, 0, 138), now)
	maps.Copy(out, OrderValues(OrderData{Shop: shop, Job: job, Client: client, Order: domain.ChangeOrder{Number: 3, Title: "Left rail ahead of the rear wheel", ExpiresAt: &expires}}, now))
	maps.Copy(out, QuoteValues(QuoteData{Shop: shop, Job: job, Client: client, Quote: domain.Quote{Number: "12-2", Revision: 2, IssuedAt: now, ExpiresAt: expires,
		Currency: in.Code(), Total: total.Decimal(), Tax: money.Round(decimal.NewFromInt(4733), in).Decimal(),
		Offer: domain.Offer{Start: today.AddDays(14), Finish: job.Promise, Draws: []domain.OfferDraw{{Due: domain.GateAcceptance, Amount: fixed(deposit, in)}}}}}))
	out["phase"] = "Media stripping"
	return out, nil
}

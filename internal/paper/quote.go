package paper

import (
	"fmt"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/money"
)

// QuoteData is what a quote's document is written from. Nothing of it is the
// owner's own: cost and margin are not read.
type QuoteData struct {
	Shop   domain.Shop
	Job    domain.Job
	Client domain.Person
	Quote  domain.Quote
}

// Quote describes a quote's document. Money is grouped by thousands with a point
// for decimals and the ISO 4217 code; days are written out.
func Quote(d QuoteData) (Sheet, error) {
	currency, err := money.ParseCurrency(d.Quote.Currency)
	if err != nil {
		return Sheet{}, fmt.Errorf("writing quote %s: %w", d.Quote.Number, err)
	}
	q := d.Quote
	s := sheetOf(d.Shop, "quote-"+q.Number, "Quote "+q.Number, q.IssuedAt)
	s.Author = q.IssuedBy
	if q.Agreed != nil {
		s.Name += "-agreed"
	}
	total := amount(q.Total, currency) + " " + q.Currency
	d.lead(s.part(""), total, currency)
	for _, ph := range q.Offer.Phases {
		d.phase(s.part(ph.Name), ph)
	}
	d.options(&s)
	totals := s.part("Total").table("Total", "", "#")
	totals.row("Before tax", amount(q.Net, currency))
	taxed(totals, q.Offer.Taxes)
	totals.sum("To pay in all", total)
	if len(q.Offer.Draws) > 0 {
		draws := s.part("When it is paid").table("When it is paid", "", "#", "#")
		for _, x := range q.Offer.Draws {
			draws.row(x.Name, percentage(x.Percent), grouped(x.Amount)).Cells[0].Small = x.When()
		}
	}
	if early := stopping(q.Basis.Stopping, currency); len(early) > 0 {
		p := s.part("If the work is stopped early")
		p.lines("Labour done, parts fitted and special orders that cannot be returned are owed. Besides, before tax:\n" + strings.Join(early, "\n"))
	}
	d.decision(&s, currency)
	if strings.TrimSpace(q.Offer.Closing) != "" {
		s.part("").lines(q.Offer.Closing)
	}
	if strings.TrimSpace(q.Terms) != "" {
		s.part("Terms").lines(q.Terms)
	}
	signing(s.part("To accept"), "this quote")
	s.part("").lines("Figures of labour and material are the shop's own. Where the law of the place asks for more than this quote says, the law holds.")
	issued := longDay(q.IssuedAt.In(d.Shop.Zone()))
	s.Block = [][]Field{
		{{Label: "Job", Value: fmt.Sprint(d.Job.Number)}, {Label: "Revision", Value: fmt.Sprint(q.Revision)}, {Label: "Issued", Value: issued}},
		{{Label: "Vehicle", Value: d.Job.Vehicle.Label(), Wide: true}, {Label: "Issued by", Value: q.IssuedBy}},
		{{Label: "Total, authorised when accepted", Value: total, Wide: true}, {Label: "Finished by", Value: day(q.Offer.Finish)}},
	}
	return s, nil
}

// lead says who it is for, what it costs and when it is finished.
func (d QuoteData) lead(p *Part, total string, c money.Currency) {
	q, offer := d.Quote, d.Quote.Offer
	p.lines(offer.Opening)
	p.lines(forWhom(d.Client, d.Job))
	if fitted := options(d.Job); len(fitted) > 0 {
		p.lines(strings.Join(fitted, "; ") + ".")
	}
	p.lines(q.Note)
	expires := longDay(q.ExpiresAt.In(d.Shop.Zone()).Add(-time.Second))
	p.say(Lead, strong(total), plain(" including tax of ", amount(q.Tax, c), " ", q.Currency, ". Work starts ", day(offer.Start), " and is finished by "),
		strong(day(offer.Finish)), plain(". This quote holds until ", expires, "."))
	if offer.DateWords != "" {
		p.lines(offer.DateWords)
	}
	p.say(Ranged, plain("How sure price and date are is not yet computed: the hours are the means of three-point estimates, and steel that nobody has seen may change both. Nothing beyond this quote is done without your decision."))
	if offer.Firm != "" {
		p.say(Ranged, plain("Before tax, ", grouped(offer.Firm), " ", q.Currency, " is firm: the work up to the inspection after stripping. ", grouped(offer.Ranged), " ", q.Currency,
			" is a range: the work past it, priced on what can be seen today. At the inspection you get one report with price and dates, and decide once; no repair past it begins before."))
	}
}

// phase lists what is bought in a phase.
func (d QuoteData) phase(p *Part, ph domain.OfferPhase) {
	if ph.Start != "" {
		p.lines(day(ph.Start) + " to " + day(ph.Finish))
	}
	if len(ph.Lines) == 0 {
		p.lines("No charge in this phase.")
		return
	}
	t := p.table(ph.Name+", lines", "Item", "#Quantity", "#"+d.Quote.Currency+" before tax")
	for _, l := range ph.Lines {
		t.row(l.Description+kindNote(string(l.Kind)), measured(l.Quantity, l.Unit), grouped(l.Net))
	}
	t.sum(ph.Name, grouped(ph.Net))
}

// signing makes room for who accepts on paper.
func signing(p *Part, what string) {
	p.lines("Accept " + what + " on your private page, or sign here and give it back.")
	p.Blocks = append(p.Blocks, Block{Sign: []string{"Client: name, signature, date", "For the shop: name, signature, date"}})
}

// kindNote marks the lines that are no plain price.
func kindNote(kind string) string {
	switch kind {
	case "allowance":
		return " (allowance)"
	case "reserve":
		return " (reserve for hidden damage)"
	}
	return ""
}

// taxed appends a row a rate.
func taxed(t *Table, taxes []domain.OfferTax) {
	for _, x := range taxes {
		t.row("Tax at "+percentage(x.Percent)+" of "+grouped(x.Base), grouped(x.Tax))
	}
}

// stopping states the charges that may be made when the work stops early, so
// that they were on the estimate.
func stopping(t domain.StopTerms, c money.Currency) []string {
	in := func(d decimal.Decimal) string { return amount(d, c) + " " + c.Code() }
	var out []string
	if t.Teardown.IsPositive() {
		out = append(out, fmt.Sprintf("Teardown %s, where it is not billed by its hours.", in(t.Teardown)))
	}
	if t.Reassembly.IsPositive() {
		out = append(out, fmt.Sprintf("Reassembly %s, where the car was taken apart and is not together again.", in(t.Reassembly)))
	}
	if t.StoragePerDay.IsPositive() {
		out = append(out, fmt.Sprintf("Storage %s a day after the first %d days.", in(t.StoragePerDay), t.StorageFreeDays))
	}
	return out
}

// options says in words how the vehicle is fitted out.
func options(j domain.Job) []string {
	var out []string
	for _, o := range j.VehicleOptions {
		if c := choice(o, j.Vehicle.Options[o.Key]); c != "" {
			out = append(out, o.Name+": "+c)
		}
	}
	return out
}

func choice(o domain.VehicleOption, key string) string {
	for _, c := range o.Choices {
		if c.Key == key {
			return c.Name
		}
	}
	return ""
}

package paper

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/money"
)

// OrderData is what a change order's document is written from. Nothing of it is
// the owner's own: cost and margin are not read.
type OrderData struct {
	Shop     domain.Shop
	Job      domain.Job
	Client   domain.Person
	Order    domain.ChangeOrder
	Findings map[domain.ID]domain.Finding
	Zones    map[domain.ID]string
}

// Order describes the document of a change order: as sent, or with a decision as
// decided, with the choices marked and the decision in a part of its own.
func Order(d OrderData) (Sheet, error) {
	currency, err := money.ParseCurrency(d.Job.Currency)
	if err != nil {
		return Sheet{}, fmt.Errorf("writing order %d: %w", d.Order.Number, err)
	}
	o := d.Order
	s := sheetOf(d.Shop, fmt.Sprintf("change-order-%d-%d", d.Job.Number, o.Number), fmt.Sprintf("Change order %d: %s", o.Number, o.Title), d.at())
	s.Author = o.CreatedBy
	d.lead(s.part(""), currency)
	for _, item := range o.Items {
		d.item(s.part(item.Title), item, currency)
	}
	if len(o.Effect.Lines) > 0 {
		t := s.part("Lines").table("Lines", "Item", "#Quantity", "#"+o.Effect.Currency+" before tax")
		for _, l := range o.Effect.Lines {
			t.row(l.Description+orderKindNote(string(l.Kind)), measured(l.Quantity, l.Unit), grouped(l.Net))
		}
	}
	d.total(s.part("Total"), currency)
	d.dates(s.part("Dates"))
	switch {
	case o.Decision != nil:
		d.decision(s.part("Decision"), currency)
	case o.SentAt != nil:
		signing(s.part("To decide"), "this order as advised, or say which options you choose,")
	}
	s.part("").lines("Figures of labour and material are the shop's own. Check your local law: where the law of the place asks for more than this order says, the law holds. Local codes, product data sheets and qualified persons come first.")
	s.Block = d.block(currency)
	return s, nil
}

// at is the instant that the document speaks from.
func (d OrderData) at() time.Time {
	switch o := d.Order; {
	case o.Decision != nil:
		return o.Decision.RecordedAt
	case o.SentAt != nil:
		return *o.SentAt
	default:
		return o.CreatedAt
	}
}

// date writes an instant's day, or nothing.
func (d OrderData) date(at *time.Time, back time.Duration) string {
	if at == nil {
		return ""
	}
	return longDay(at.In(d.Shop.Zone()).Add(-back))
}

func (d OrderData) block(c money.Currency) [][]Field {
	o := d.Order
	sent, by, who := Field{Label: "Draft", Value: "not sent"}, "Drafted by", o.CreatedBy
	if o.SentAt != nil {
		sent, by, who = Field{Label: "Sent", Value: d.date(o.SentAt, 0)}, "Sent by", o.SentBy
	}
	number := fmt.Sprint(o.Number)
	if o.Revision > 1 {
		number += fmt.Sprintf(", revision %d", o.Revision)
	}
	return [][]Field{
		{{Label: "Job", Value: fmt.Sprint(d.Job.Number)}, {Label: "Change order", Value: number}, sent},
		{{Label: "Vehicle", Value: d.Job.Vehicle.Label(), Wide: true}, {Label: by, Value: who}},
		{{Label: "This order; agreed with it", Value: fmt.Sprintf("%s; %s %s", amount(o.Effect.Amount, c), d.after(c), o.Effect.Currency), Wide: true}, {Label: "Promised by", Value: day(o.Effect.Dates.PromiseAfter)}},
	}
}

func (d OrderData) after(c money.Currency) string {
	return amount(d.Order.Effect.AuthorisedBefore.Add(d.Order.Effect.Amount), c)
}

// lead says what the order comes from, costs and moves.
func (d OrderData) lead(p *Part, c money.Currency) {
	o, e := d.Order, d.Order.Effect
	p.lines(o.Opening)
	p.lines(forWhom(d.Client, d.Job) + " It comes from " + kindWord[o.Kind] + ".")
	p.lines(o.Reason)
	p.lines(o.Note)
	if e.Contradiction != nil {
		p.say(Ranged, plain("This cannot be scheduled as it stands: ", e.Contradiction.Detail))
	}
	runs := []Run{strong(amount(e.Amount, c), " ", e.Currency),
		plain(" including tax of ", amount(e.Tax, c), " ", e.Currency, ". With it ", d.after(c), " ", e.Currency, " is agreed in all, instead of ", amount(e.AuthorisedBefore, c), ". The finish ", movedBy(e.Dates.Days))}
	if promise := day(e.Dates.PromiseAfter); promise != "" {
		runs = append(runs, plain("; promised by "), strong(promise))
	}
	end := "."
	if o.SentAt != nil && o.Decision == nil {
		end += " This order waits for your decision until " + d.date(o.ExpiresAt, time.Second) + "."
	}
	p.say(Lead, append(runs, plain(end))...)
	p.say(Ranged, plain("How sure price and dates are is not yet computed: the hours are the means of three-point estimates. Nothing in this order is done without your decision."))
}

var kindWord = map[domain.OrderKind]string{
	domain.FromFinding: "something that was found", domain.FromClientWish: "a wish of yours", domain.FromPrice: "a price that changed",
	domain.FromCorrection: "a correction", domain.FromInspection: "the inspection after stripping",
}

func orderKindNote(kind string) string {
	if kind == "credit" {
		return " (credit)"
	}
	return kindNote(kind)
}

func (d OrderData) total(p *Part, c money.Currency) {
	e := d.Order.Effect
	t := p.table("Total", "", "#")
	t.row("Before tax", amount(e.Net, c))
	taxed(t, e.Taxes)
	t.sum("This order", amount(e.Amount, c)+" "+e.Currency)
	t.row("Agreed so far", amount(e.AuthorisedBefore, c))
	t.sum("Agreed with this order", d.after(c)+" "+e.Currency)
}

func (d OrderData) dates(p *Part) {
	e := d.Order.Effect
	t := p.table("Dates", "", "Without this order", "With it")
	t.row("Finish as it looks today", day(e.Dates.FinishBefore), day(e.Dates.FinishAfter))
	t.row("Promised by", day(e.Dates.PromiseBefore), day(e.Dates.PromiseAfter))
	for _, ph := range e.Phases {
		t.row("End of "+ph.Phase, day(ph.Before), day(ph.After))
	}
	p.lines(e.Dates.Why)
	p.lines(cmp.Or(e.Dates.Words, "These are the dates of this car's own schedule; the other cars in the shop are not counted in them."))
	if len(e.Others.Orders) > 0 {
		p.lines(others(e.Others))
	}
	which := "advised"
	if d.Order.Decision != nil {
		which = "chosen"
	}
	p.lines("Judged points gained by what is " + which + ": originality " + signed(e.Originality) + ", condition " + signed(e.Condition) + ".")
}

// others says what happens together with the other orders that wait.
func others(o domain.OtherOrders) string {
	names := make([]string, len(o.Orders))
	for i, x := range o.Orders {
		names[i] = fmt.Sprintf("order %d", x.Number)
	}
	wait := "wait"
	if len(names) == 1 {
		wait = "waits"
	}
	text := "Together with " + strings.Join(names, ", ") + ", which " + wait + " for your decision too: "
	if promise := day(o.Dates.PromiseAfter); promise != "" {
		text += "promised by " + promise + ". "
	}
	return text + o.Dates.Why
}

var howWord = map[domain.DecisionHow]string{"portal": "in the portal", "in_person": "in person", "telephone": "by telephone", "email": "by e-mail"}

// decision repeats who decided what, when and how.
func (d OrderData) decision(p *Part, c money.Currency) {
	x, currency := d.Order.Decision, d.Order.Effect.Currency
	t := p.table("Decision", "", "")
	said := func(name, what string) {
		if what != "" {
			t.row(name, what)
		}
	}
	outcome := "Declined"
	if x.Approved {
		outcome = "Approved"
	}
	t.row("Outcome", outcome).Cells[1].Strong = true
	t.row("By", x.Name)
	said("Signed by typing", x.Signature)
	how := howWord[x.How]
	if x.Contact != "" {
		how += ", " + x.Contact
	}
	t.row("How", how)
	t.row("When", longInstant(x.DecidedAt.In(d.Shop.Zone())))
	said("What was said", x.Said)
	said("Reason", x.Reason)
	if x.Approved {
		t.row("Agreed to", amount(x.Amount, c)+" "+currency)
		said("Added parts", x.AddedParts)
		said("Added labour", x.AddedLabour)
		t.row("Total revised price", amount(x.RevisedTotal, c)+" "+currency)
	}
	t.row("Recorded by", x.RecordedBy)
	if d.Order.DocumentHash != "" {
		t.row("Document that was decided on", "").Cells[1].Small = "SHA-256 " + d.Order.DocumentHash
	}
}

func movedBy(days int) string {
	switch {
	case days == 0:
		return "does not move"
	case days == 1:
		return "moves by 1 working day"
	case days == -1:
		return "comes 1 working day earlier"
	case days < 0:
		return fmt.Sprintf("comes %d working days earlier", -days)
	}
	return fmt.Sprintf("moves by %d working days", days)
}

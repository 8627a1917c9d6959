package paper

import (
	"fmt"
	"strings"
	"time"

	"bareframe/internal/billing"
	"bareframe/internal/domain"
	"bareframe/internal/money"
)

// StopNowData is what the bill of a job that stops now is written from.
type StopNowData struct {
	Shop       domain.Shop
	Job        domain.Job
	Client     domain.Person
	Bill       billing.StopNowResult
	AsOf       time.Time
	Authorised money.Amount
	Check      string // to check local law
}

// StopNow describes the bill if the work stopped now. It is a statement and no
// invoice, and says so; a balance below nothing is owed to the client.
func StopNow(d StopNowData) Sheet {
	b, currency := d.Bill, d.Job.Currency
	in := func(a money.Amount) string { return grouped(a.String()) + " " + currency }
	at := d.AsOf.In(d.Shop.Zone()).Format("2 January 2006, 15:04")
	s := sheetOf(d.Shop, fmt.Sprintf("if-stopped-now-%d", d.Job.Number), "If the work stopped now", d.AsOf)
	p := s.part("")
	p.lines(forWhom(d.Client, d.Job) + " As of " + at + ".")
	owed, meaning := owes(b.Balance)
	p.say(Lead, strong(in(owed)), plain(" ", meaning, " Total ", in(b.Total), " including tax of ", grouped(b.Tax.String()), ", less ", grouped(b.Paid.String()), " paid."))
	p.say(Ranged, plain("This is a statement of how the job stands and not an invoice. It moves with every hour and every part."))
	d.done(s.part("What was done and ordered"))
	t := s.part("Total").table("Total", "", "#")
	t.row("Before tax", grouped(b.Net.String()))
	for _, x := range b.Taxes {
		name := "Tax at " + percentage(x.Percent) + " of " + grouped(x.Base.String())
		if x.Exempt {
			name = "Exempt from tax: " + grouped(x.Base.String())
		}
		t.row(name, grouped(x.Tax.String()))
	}
	t.sum("Total", in(b.Total))
	t.row("Paid", grouped(b.Paid.String()))
	t.sum("Balance", in(b.Balance))
	s.part("How it follows").lines(strings.Join(b.Words, "\n"))
	mind := s.part("Mind")
	mind.lines("Teardown, reassembly and storage may be charged only where the estimate stated them and the law of the place allows it.\n" + d.Check)
	mind.say(Caution, plain("A car that stands taken apart on a stand or lift is secured before anybody leaves it; local codes and qualified persons come first."))
	s.Block = [][]Field{
		{{Label: "Job", Value: fmt.Sprint(d.Job.Number)}, {Label: "As of", Value: at}, {Label: "Authorised", Value: in(d.Authorised)}},
		{{Label: "Vehicle", Value: d.Job.Vehicle.Label(), Wide: true}, {Label: "Paid", Value: grouped(b.Paid.String())}},
		{{Label: "Total", Value: in(b.Total), Wide: true}, {Label: "Balance", Value: in(b.Balance)}},
	}
	return s
}

func (d StopNowData) done(p *Part) {
	if len(d.Bill.Lines) == 0 {
		p.lines("Nothing was worked, fitted or ordered yet.")
		return
	}
	t := p.table("What was done and ordered", "Item", "#Quantity", "#"+d.Job.Currency+" before tax")
	for _, l := range d.Bill.Lines {
		t.row(l.Description, measured(l.Quantity, l.Unit), grouped(l.Net.String())).Cells[0].Small = l.Why
	}
	t.sum("Before tax", grouped(d.Bill.Net.String()))
}

// owes returns what is owed without its sign, and by whom.
func owes(balance money.Amount) (money.Amount, string) {
	switch balance.Sign() {
	case 0:
		return balance, "would be owed on either side."
	case -1:
		return balance.Neg(), "would be owed to the client."
	}
	return balance, "would be owed by the client."
}

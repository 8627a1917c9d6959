package paper

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"time"

	"bareframe/internal/billing"
	"bareframe/internal/domain"
	"bareframe/internal/money"
)

//go:embed stopnow.html
var stopNowSource string

var stopNowTemplate = template.Must(template.New("stop now").Funcs(template.FuncMap{
	"money":      grouped,
	"style":      func() template.CSS { return template.CSS(documentStyle) },
	"percentage": func(p string) string { return p + " %" },
}).Parse(stopNowSource))

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

// stopNowLine is a line as it is printed: labour in hours.
type stopNowLine struct{ Description, Why, Quantity, Unit, Net string }

// stopNowTax is the tax of one rate as it is printed.
type stopNowTax struct {
	Exempt             bool
	Percent, Base, Tax string
}

// StopNow writes the bill if the work stopped now. It is a statement and no
// invoice, and says so; a balance below nothing is owed to the client.
func StopNow(d StopNowData) ([]byte, error) {
	b := d.Bill
	lines := make([]stopNowLine, len(b.Lines))
	for i, l := range b.Lines {
		lines[i] = stopNowLine{l.Description, l.Why, l.Quantity, l.Unit, l.Net.String()}
	}
	taxes := make([]stopNowTax, len(b.Taxes))
	for i, t := range b.Taxes {
		taxes[i] = stopNowTax{t.Exempt, t.Percent, t.Base.String(), t.Tax.String()}
	}
	meaning := "would be owed by the client."
	switch b.Balance.Sign() {
	case 0:
		meaning = "would be owed on either side."
	case -1:
		meaning = "would be owed to the client."
	}
	owed := b.Balance
	if owed.Sign() < 0 {
		owed = owed.Neg()
	}
	var out bytes.Buffer
	err := stopNowTemplate.Execute(&out, struct {
		StopNowData
		Lines                                                []stopNowLine
		Taxes                                                []stopNowTax
		At, Currency, Meaning                                string
		Net, Tax, Total, Paid, Balance, Owed, AuthorisedText string
	}{d, lines, taxes, d.AsOf.In(d.Shop.Zone()).Format("2 January 2006, 15:04"), d.Job.Currency, meaning,
		b.Net.String(), b.Tax.String(), b.Total.String(), b.Paid.String(), b.Balance.String(), owed.String(), d.Authorised.String()})
	if err != nil {
		return nil, fmt.Errorf("writing the bill of job %d if it stopped now: %w", d.Job.Number, err)
	}
	return out.Bytes(), nil
}

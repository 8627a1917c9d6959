package paper

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/money"
)

//go:embed order.html
var orderSource string

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

var orderTemplate = template.Must(template.New("order").Funcs(template.FuncMap{
	"day":        day,
	"money":      grouped,
	"lines":      func(s string) []string { return strings.Split(strings.TrimSpace(s), "\n") },
	"style":      func() template.CSS { return template.CSS(documentStyle) },
	"percentage": func(p string) string { return p + " %" },
	"signed":     signed,
}).Parse(orderSource))

// orderItem is an item as the document shows it.
type orderItem struct {
	domain.OrderItem
	Found   []string
	Options []orderOption
	Left    bool // decided, and nothing of it taken
}

// orderOption is an option with what it does by itself.
type orderOption struct {
	domain.OrderOption
	Amount, Points string
	Days           int
	Taken          bool // as decided; before a decision what the shop advises
}

// Order writes the document of a change order: as sent, or with a decision as
// decided, with the choices marked and the decision in a block of its own.
func Order(d OrderData) ([]byte, error) {
	currency, err := money.ParseCurrency(d.Job.Currency)
	if err != nil {
		return nil, fmt.Errorf("writing order %d: %w", d.Order.Number, err)
	}
	e, zone := d.Order.Effect, d.Shop.Zone()
	date := func(at *time.Time, back time.Duration) string {
		if at == nil {
			return ""
		}
		return at.In(zone).Add(-back).Format("2 January 2006")
	}
	decided := ""
	if d.Order.Decision != nil {
		decided = d.Order.Decision.DecidedAt.In(zone).Format("2 January 2006, 15:04 MST")
	}
	var out bytes.Buffer
	err = orderTemplate.Execute(&out, struct {
		OrderData
		Items                           []orderItem
		Net, Tax, Amount, Before, After string
		Sent, Expires, Decided, Outcome string
		Agreed, Revised                 string
		Days                            string
		Kind                            string
	}{d, d.items(currency), fixed(e.Net, currency), fixed(e.Tax, currency), fixed(e.Amount, currency),
		fixed(e.AuthorisedBefore, currency), fixed(e.AuthorisedBefore.Add(e.Amount), currency),
		date(d.Order.SentAt, 0), date(d.Order.ExpiresAt, time.Second), decided, outcomeWord(d.Order),
		d.agreed(currency), d.revised(currency), movedBy(e.Dates.Days), kindWord[d.Order.Kind]})
	if err != nil {
		return nil, fmt.Errorf("writing order %d: %w", d.Order.Number, err)
	}
	return out.Bytes(), nil
}

var kindWord = map[domain.OrderKind]string{
	domain.FromFinding: "something that was found", domain.FromClientWish: "a wish of yours", domain.FromPrice: "a price that changed",
	domain.FromCorrection: "a correction", domain.FromInspection: "the inspection after stripping",
}

func outcomeWord(o domain.ChangeOrder) string {
	switch {
	case o.Decision == nil:
		return ""
	case o.Decision.Approved:
		return "Approved"
	}
	return "Declined"
}

func (d OrderData) agreed(c money.Currency) string {
	if d.Order.Decision == nil {
		return ""
	}
	return fixed(d.Order.Decision.Amount, c)
}

func (d OrderData) revised(c money.Currency) string {
	if d.Order.Decision == nil || !d.Order.Decision.Approved {
		return ""
	}
	return fixed(d.Order.Decision.RevisedTotal, c)
}

// items joins items and options with their effects and with what was chosen.
func (d OrderData) items(c money.Currency) []orderItem {
	taken := map[domain.Choice]bool{}
	choices := d.Order.Effect.Choices
	if d.Order.Decision != nil {
		choices = d.Order.Decision.Choices
	}
	for _, choice := range choices {
		taken[choice] = true
	}
	does := map[domain.Choice]domain.OptionEffect{}
	for _, x := range d.Order.Effect.Options {
		does[domain.Choice{ItemKey: x.ItemKey, OptionKey: x.OptionKey}] = x
	}
	var out []orderItem
	for _, item := range d.Order.Items {
		row := orderItem{OrderItem: item, Left: d.Order.Decision != nil && taken[domain.Choice{ItemKey: item.Key}]}
		for _, id := range item.FindingIDs {
			if f, ok := d.Findings[id]; ok {
				row.Found = append(row.Found, d.found(f))
			}
		}
		for _, option := range item.Options {
			key := domain.Choice{ItemKey: item.Key, OptionKey: option.Key}
			x := does[key]
			row.Options = append(row.Options, orderOption{OrderOption: option, Amount: fixed(x.Amount, c), Days: x.Days,
				Points: points(x.Originality, x.Condition), Taken: taken[key]})
		}
		out = append(out, row)
	}
	return out
}

// found says in a line what was found where.
func (d OrderData) found(f domain.Finding) string {
	text := fmt.Sprintf("Finding %d: %s", f.Number, strings.ReplaceAll(string(f.What), "_", " "))
	if zone := d.Zones[f.ZoneID]; zone != "" {
		text += ", " + zone
	}
	if f.LengthMM > 0 && f.WidthMM > 0 {
		text += fmt.Sprintf(", %d × %d mm", f.LengthMM, f.WidthMM)
	}
	if f.Count > 1 {
		text += fmt.Sprintf(", %d places", f.Count)
	}
	if f.Note != "" {
		text += ": " + f.Note
	}
	return text
}

// points says what a change gains or loses on a judge's sheet.
func points(originality, condition decimal.Decimal) string {
	if originality.IsZero() && condition.IsZero() {
		return "none"
	}
	return fmt.Sprintf("originality %s, condition %s", signed(originality), signed(condition))
}

func signed(d decimal.Decimal) string {
	switch {
	case d.IsPositive():
		return "+" + d.String()
	case d.IsNegative():
		return "−" + d.Abs().String()
	}
	return "0"
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

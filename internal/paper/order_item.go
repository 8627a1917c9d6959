package paper

import (
	"fmt"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/money"
)

// taken holds what was chosen, before a decision what the shop advises.
func (d OrderData) taken() map[domain.Choice]bool {
	choices := d.Order.Effect.Choices
	if d.Order.Decision != nil {
		choices = d.Order.Decision.Choices
	}
	out := map[domain.Choice]bool{}
	for _, choice := range choices {
		out[choice] = true
	}
	return out
}

// item shows what was found, the options with their effects, and what was chosen.
func (d OrderData) item(p *Part, item domain.OrderItem, c money.Currency) {
	for _, id := range item.FindingIDs {
		if f, ok := d.Findings[id]; ok {
			p.lines(found(f, d.Zones[f.ZoneID]))
		}
	}
	p.lines(item.Why)
	d.options(p, item, c)
	if item.IfNot != "" {
		p.lines("If it is not done: " + item.IfNot)
	}
	decided := d.Order.Decision != nil
	switch {
	case decided && d.taken()[domain.Choice{ItemKey: item.Key}]:
		p.say(Plain, strong("Left out by decision."))
	case !decided && item.MayLeave:
		p.lines("You may leave this out.")
	}
}

func (d OrderData) options(p *Part, item domain.OrderItem, c money.Currency) {
	decided, taken := d.Order.Decision != nil, d.taken()
	does := map[domain.Choice]domain.OptionEffect{}
	for _, x := range d.Order.Effect.Options {
		does[domain.Choice{ItemKey: x.ItemKey, OptionKey: x.OptionKey}] = x
	}
	head := "Advised"
	if decided {
		head = "Chosen"
	}
	t := p.table(item.Title+", options", head, "Option", "Judged points", "#Working days", "#"+d.Order.Effect.Currency+" with tax")
	for _, option := range item.Options {
		key := domain.Choice{ItemKey: item.Key, OptionKey: option.Key}
		x := does[key]
		row := t.row("", option.Name, points(x.Originality, x.Condition), fmt.Sprint(x.Days), amount(x.Amount, c))
		row.Cells[0] = chosen(decided, taken[key])
		row.Cells[1].Small = option.Note
	}
}

// chosen says whether an option was taken; before a decision whether it is
// advised.
func chosen(decided, taken bool) Cell {
	switch {
	case decided && taken:
		return Cell{Box: Ticked, Words: "yes"}
	case decided:
		return Cell{Box: Open, Words: "no"}
	case taken:
		return Cell{Words: "yes"}
	}
	return Cell{}
}

// found says in a line what was found where.
func found(f domain.Finding, zone string) string {
	text := fmt.Sprintf("Finding %d: %s", f.Number, words(string(f.What)))
	if zone != "" {
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

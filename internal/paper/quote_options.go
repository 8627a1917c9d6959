package paper

import (
	"fmt"

	"bareframe/internal/domain"
	"bareframe/internal/money"
)

// options lays out what the client may combine; as decided, with the choices
// marked.
func (d QuoteData) options(s *Sheet) {
	offered, decided := d.Quote.Offer.Options, d.Quote.Agreed != nil
	if len(offered) == 0 {
		return
	}
	heading := "What you can choose"
	if decided {
		heading = "What was chosen"
	}
	p := s.part(heading)
	if !decided {
		p.lines("The lines and the total of this quote are for what we advise. What an option changes is against that; together figures may differ, and the portal shows the total and the date of any combination.")
	}
	heads := []string{"Advised", "Option", "#Hours", "Judged points", "#" + d.Quote.Currency + " before tax", "#Working days if changed", "#Total changes by"}
	if decided {
		heads = append([]string{"Chosen"}, heads[1:5]...)
	}
	t := p.table("Options", heads...)
	for _, o := range offered {
		cells := []string{"", optionLabel(o), o.Hours, points(o.Originality, o.Condition), grouped(o.Net), changedDays(o.Days), grouped(o.Difference)}
		row := t.row(cells[:len(heads)]...)
		row.Cells[0], row.Cells[1].Small = chosen(decided, o.Taken), o.Note
	}
}

func optionLabel(o domain.OfferOption) string {
	if o.Group == "" {
		return o.Name
	}
	return o.Group + ": " + o.Name
}

func changedDays(days int) string {
	if days == 0 {
		return "0"
	}
	return fmt.Sprintf("%+d", days)
}

// decision says who agreed to the selection, and how that is known.
func (d QuoteData) decision(s *Sheet, c money.Currency) {
	decided := d.Quote.Decision
	if d.Quote.Agreed == nil || decided == nil {
		return
	}
	t := s.part("Decision").table("Decision", "", "")
	say := func(what, is string) {
		if is != "" {
			t.row(what, is)
		}
	}
	how := howWord[decided.How]
	if decided.Contact != "" {
		how += ", " + decided.Contact
	}
	say("Accepted by", decided.Name)
	say("Signed by typing", decided.Signature)
	say("How", how)
	say("When", decided.DecidedAt.In(d.Shop.Zone()).Format("2 January 2006, 15:04"))
	say("What was said", decided.Said)
	say("Agreed to", amount(d.Quote.Total, c)+" "+d.Quote.Currency)
	say("Recorded by", decided.RecordedBy)
	say("Document that was decided on", "SHA-256 "+d.Quote.DocumentHash)
}

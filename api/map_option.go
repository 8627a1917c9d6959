package api

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

func optionFrom(b OptionDraft) (domain.Option, error) {
	var r reading
	o := domain.Option{Group: b.Group, Name: b.Name, Note: b.Note, Taken: b.Taken, Points: []domain.PointEffect{}}
	for i, p := range b.Points {
		at := fmt.Sprintf("/points/%d", i)
		o.Points = append(o.Points, domain.PointEffect{ItemKey: p.ItemKey, Originality: r.decimal(at+"/originality", p.Originality),
			Condition: r.decimal(at+"/condition", p.Condition)})
	}
	return o, r.err()
}

func optionView(o domain.Option) OptionView {
	return OptionView{ID: o.ID, Group: o.Group, Name: o.Name, Note: o.Note, Taken: o.Taken, Points: each(o.Points, pointEffect)}
}

func pointEffect(p domain.PointEffect) PointEffect {
	return PointEffect{ItemKey: p.ItemKey, Originality: plainText(p.Originality), Condition: plainText(p.Condition)}
}

// notTaken shows what belongs to options that are not taken, as it is edited.
func notTaken(p app.JobPage) NotTaken {
	out := NotTaken{Tasks: []NotTakenTask{}, Links: []LinkView{}, Lines: []NotTakenLine{}}
	tasks, lines := p.All.LeftOut()
	for _, t := range p.All.Tasks {
		if tasks[t.ID] {
			out.Tasks = append(out.Tasks, notTakenTask(t))
		}
	}
	for _, l := range p.All.Links {
		if tasks[l.FromID] || tasks[l.ToID] {
			out.Links = append(out.Links, linkView(l, driving{}))
		}
	}
	for _, l := range p.All.Lines {
		if lines[l.ID] {
			out.Lines = append(out.Lines, notTakenLine(l))
		}
	}
	return out
}

func notTakenTask(t domain.Task) NotTakenTask {
	return NotTakenTask{ID: t.ID, PhaseID: t.PhaseID, Code: t.Code, Name: t.Name, Note: t.Note, Kind: TaskKind(t.Kind),
		Hours: threePointView(t.Hours), MeanHours: hoursText(t.Hours.Mean()), ElapsedHours: hoursText(t.ElapsedHours), LeadDays: t.LeadDays,
		Skill: t.Skill, Crew: t.Crew, Station: t.Station, Zone: t.Zone, Cautions: texts(t.Cautions), HoldPoint: t.HoldPoint, TaxClass: TaxClass(t.TaxClass),
		NotBefore: dayOrNil(t.NotBefore), FinishBy: dayOrNil(t.FinishBy), AllowanceLineID: textOrNil(t.AllowanceLineID), OptionID: t.OptionID, Floor: floorView(t.Floor)}
}

func notTakenLine(l domain.Line) NotTakenLine {
	return NotTakenLine{ID: l.ID, PhaseID: l.PhaseID, TaskID: textOrNil(l.TaskID), Kind: LineKind(l.Kind), Description: l.Description,
		Quantity: plainText(l.Quantity), Unit: l.Unit, UnitCost: unitMoneyText(l.UnitCost), MarkupPercent: plainText(l.MarkupPercent),
		WastePercent: plainText(l.WastePercent), DiscountPercent: plainText(l.DiscountPercent), TaxClass: TaxClass(l.TaxClass), OptionID: textOrNil(l.OptionID), PriceItem: textOrNil(l.PriceItem)}
}

func ownerSelection(s app.Selection, advised []domain.ID) OwnerSelection {
	money := func(d decimal.Decimal) string { return moneyText(d, s.Currency) }
	return OwnerSelection{OptionIds: texts(s.OptionIDs), Currency: s.Currency, Net: money(s.Net), Tax: money(s.Tax), Total: money(s.Total),
		Cost: money(s.Cost), Margin: money(s.Net.Sub(s.Cost)), Finish: Day(s.Offer.Finish), ComputedFinish: Day(s.Computed), Days: s.Days,
		Hours: hoursText(s.Hours), PointsOriginality: plainText(s.Originality), PointsCondition: plainText(s.Condition),
		Options: quoteOptions(s.Offer.Options, advised)}
}

// clientSelection maps a selection for its client: no cost, no margin.
func clientSelection(s app.Selection) ClientSelection {
	money := func(d decimal.Decimal) string { return moneyText(d, s.Currency) }
	return ClientSelection{OptionIds: texts(s.OptionIDs), Currency: s.Currency, Net: money(s.Net), Tax: money(s.Tax), Total: money(s.Total),
		Taxes: each(s.Offer.Taxes, taxLine), Draws: each(s.Offer.Draws, drawView), Phases: each(s.Offer.Phases, clientQuotePhase),
		Start: dayOrNil(s.Offer.Start), Finish: dayOrNil(s.Offer.Finish), Days: s.Days, FirmNet: textOrNil(s.Offer.Firm), RangedNet: textOrNil(s.Offer.Ranged),
		PointsOriginality: plainText(s.Originality), PointsCondition: plainText(s.Condition), Options: quoteOptions(s.Offer.Options, s.Advised)}
}

func taxLine(t domain.OfferTax) TaxLine { return TaxLine{Percent: t.Percent, Base: t.Base, Tax: t.Tax} }

// optionsOf are a quote's options: as advised when it was issued, and as chosen
// where it was accepted.
func optionsOf(q domain.Quote) []QuoteOption {
	return quoteOptions(q.AsAgreed().Offer.Options, advisedIn(q.Offer))
}

func advisedIn(o domain.Offer) []domain.ID {
	out := []domain.ID{}
	for _, x := range o.Options {
		if x.Taken {
			out = append(out, x.ID)
		}
	}
	return out
}

func quoteOptions(options []domain.OfferOption, advised []domain.ID) []QuoteOption {
	return each(options, func(o domain.OfferOption) QuoteOption {
		return QuoteOption{ID: o.ID, Group: o.Group, Name: o.Name, Note: o.Note, Advised: slices.Contains(advised, o.ID), Taken: o.Taken,
			Net: o.Net, Difference: o.Difference, Days: o.Days, Hours: o.Hours, Points: each(o.Points, pointEffect),
			PointsOriginality: plainText(o.Originality), PointsCondition: plainText(o.Condition), Lines: each(o.Lines, clientQuoteLine)}
	})
}

package api

import (
	"fmt"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

func priceBookView(book domain.PriceBook, version int, on domain.Day) PriceBook {
	return PriceBook{Version: version, On: Day(on), Units: domain.Units(),
		Labour: each(book.Labour, func(r domain.LabourRate) LabourRate {
			return LabourRate{Skill: r.Skill, Name: r.Name, CostRate: unitMoneyText(r.CostRate), SellRate: unitMoneyText(r.SellRate)}
		}),
		Materials: each(book.Materials, func(m domain.Material) Material {
			return Material{Key: m.Key, Name: m.Name, Unit: m.Unit, UnitCost: unitMoneyText(m.UnitCost),
				MarkupPercent: plainText(m.MarkupPercent), WastePercent: plainText(m.WastePercent), TaxClass: TaxClass(m.TaxClass)}
		}),
		Vendors: each(book.Vendors, func(v domain.Vendor) Vendor {
			return Vendor{Key: v.Key, Name: v.Name, LeadDays: v.LeadDays, MarkupPercent: plainText(v.MarkupPercent), Note: v.Note}
		}),
	}
}

func priceRowView(r domain.PriceRow) PriceRow {
	ref, held := r.Ref(), r.Held()
	out := PriceRow{Kind: PriceKind(ref.Kind), Key: ref.Key, Name: r.Name(), ValidFrom: dayOrNil(held.ValidFrom), ValidTo: dayOrNil(held.ValidTo)}
	unit := func(d decimal.Decimal) *string { text := unitMoneyText(d); return &text }
	plain := func(d decimal.Decimal) *string { text := plainText(d); return &text }
	switch {
	case r.Labour != nil:
		out.CostRate, out.SellRate = unit(r.Labour.CostRate), unit(r.Labour.SellRate)
	case r.Material != nil:
		m := r.Material
		class := TaxClass(m.TaxClass)
		packs := each(m.Packs, func(p domain.Pack) Pack { return Pack{Size: plainText(p.Size), Cost: unitMoneyText(p.Cost)} })
		out.Unit, out.UnitCost, out.MarkupPercent, out.WastePercent = &m.Unit, unit(m.UnitCost), plain(m.MarkupPercent), plain(m.WastePercent)
		out.TaxClass, out.Packs, out.WholePacks = &class, &packs, &m.WholePacks
	default:
		out.LeadDays, out.MarkupPercent, out.Note = &r.Vendor.LeadDays, plain(r.Vendor.MarkupPercent), &r.Vendor.Note
	}
	return out
}

func priceListView(l app.PriceList) PriceList {
	return PriceList{Version: l.Version, Today: Day(l.Today), Found: l.Found, Next: textOrNil(l.Next), Units: domain.Units(),
		Items: each(l.Items, func(k app.PricedKey) PricedKey {
			out := PricedKey{Kind: PriceKind(k.Kind), Key: k.Key, Name: k.Name, Rows: each(k.Rows, priceRowView)}
			if k.Now != nil {
				now := priceRowView(*k.Now)
				out.Now = &now
			}
			return out
		})}
}

func priceChangeFrom(c PriceChange) (app.PriceChange, error) {
	var r reading
	out := app.PriceChange{}
	for i, row := range c.Set {
		out.Set = append(out.Set, r.priceRow(fmt.Sprintf("/set/%d", i), row))
	}
	for i, ref := range c.Removed {
		out.Removed = append(out.Removed, domain.PriceRef{Kind: domain.PriceKind(ref.Kind), Key: ref.Key, From: r.day(fmt.Sprintf("/removed/%d/valid_from", i), ref.ValidFrom)})
	}
	return out, r.err()
}

// needed reads a decimal that the kind of row asks for.
func (r *reading) needed(pointer string, text *string) decimal.Decimal {
	if text == nil {
		r.faults.Add(pointer, "This kind of row needs it.")
		return decimal.Zero
	}
	return r.decimal(pointer, *text)
}

func (r *reading) priceRow(at string, b PriceRow) (out domain.PriceRow) {
	held := domain.Held{ValidFrom: r.day(at+"/valid_from", b.ValidFrom), ValidTo: r.day(at+"/valid_to", b.ValidTo)}
	switch domain.PriceKind(b.Kind) {
	case domain.PricedLabour:
		out.Labour = &domain.LabourRate{Skill: b.Key, Name: b.Name, CostRate: r.needed(at+"/cost_rate", b.CostRate), SellRate: r.needed(at+"/sell_rate", b.SellRate), Held: held}
	case domain.PricedMaterial:
		m := &domain.Material{Key: b.Key, Name: b.Name, Unit: orZero(b.Unit), UnitCost: r.needed(at+"/unit_cost", b.UnitCost),
			MarkupPercent: r.needed(at+"/markup_percent", b.MarkupPercent), WastePercent: r.needed(at+"/waste_percent", b.WastePercent),
			TaxClass: pricing.TaxClass(orZero(b.TaxClass)), WholePacks: orZero(b.WholePacks), Held: held}
		for i, p := range orZero(b.Packs) {
			at := fmt.Sprintf("%s/packs/%d", at, i)
			m.Packs = append(m.Packs, domain.Pack{Size: r.decimal(at+"/size", p.Size), Cost: r.decimal(at+"/cost", p.Cost)})
		}
		out.Material = m
	default:
		out.Vendor = &domain.Vendor{Key: b.Key, Name: b.Name, LeadDays: orZero(b.LeadDays), MarkupPercent: r.needed(at+"/markup_percent", b.MarkupPercent), Note: orZero(b.Note), Held: held}
	}
	return out
}

func movedPricesView(m app.MovedPrices) MovedPrices {
	return MovedPrices{AsOf: Day(m.AsOf), Currency: m.Before.Currency().Code(), NetBefore: m.Before.String(), NetAfter: m.After.String(), Difference: m.Difference.String(),
		Items: each(m.Items, func(i app.MovedPrice) MovedPrice {
			return MovedPrice{Kind: PriceKind(i.Kind), Key: i.Key, Name: i.Name, Was: i.Was, Now: i.Now, Percent: i.Percent, Uses: i.Uses, Difference: i.Difference.String()}
		})}
}

func priceImportView(i app.PriceImport) PriceImport {
	return PriceImport{Rows: i.Rows, Added: i.Added, Changed: i.Changed, Unchanged: i.Unchanged, Version: i.Version, FaultCount: i.Faults.Count,
		Faults: each(i.Faults.List, func(p app.ListProblem) ImportFault {
			return ImportFault{Row: p.Row, Column: p.Column, Reason: p.Reason}
		}),
		Moves: each(i.Moves, func(m app.PriceMove) ImportMove {
			return ImportMove{Row: m.Row, Kind: PriceKind(m.Ref.Kind), Key: m.Ref.Key, Name: m.Name, Was: m.Was, Is: m.Is}
		})}
}

package app

import (
	"strings"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/money"
	"bareframe/internal/pricing"
	"bareframe/internal/tabular"
)

// TableFormat is the format of a list as a file; ListProblem is what is wrong
// with a row of one.
type (
	TableFormat = tabular.Format
	ListProblem = tabular.Problem
)

// priceTable describes a price list as a file. The columns that a kind of row
// does not use stay empty in it.
func priceTable() tabular.Schema {
	classes := make([]string, 0, len(pricing.TaxClasses()))
	for _, c := range pricing.TaxClasses() {
		classes = append(classes, string(c))
	}
	sum := func(key, title string) tabular.Column {
		return tabular.Column{Key: key, Title: title, Kind: tabular.DecimalColumn, MaxPlaces: 4, NotNegative: true}
	}
	return tabular.Schema{Name: "Price book", Columns: []tabular.Column{
		{Key: "kind", Title: "Kind", Kind: tabular.ChoiceColumn, Required: true, Choices: []string{"labour", "material", "vendor"}},
		{Key: "key", Title: "Key", Required: true, MaxLength: 40},
		{Key: "name", Title: "Name", Required: true, MaxLength: 160},
		{Key: "valid_from", Title: "Valid from", Kind: tabular.DateColumn},
		{Key: "valid_to", Title: "Valid to", Kind: tabular.DateColumn},
		sum("cost_rate", "Cost an hour"), sum("sell_rate", "Sells at an hour"),
		{Key: "unit", Title: "Unit", MaxLength: 12},
		sum("unit_cost", "Cost a unit"), sum("markup_percent", "Markup percent"), sum("waste_percent", "Waste percent"),
		{Key: "tax_class", Title: "Tax class", Kind: tabular.ChoiceColumn, Choices: classes},
		{Key: "packs", Title: "Packs", MaxLength: 400},
		{Key: "whole_packs", Title: "Billed in whole packs", Kind: tabular.ChoiceColumn, Choices: []string{"yes", "no"}},
		{Key: "lead_days", Title: "Lead days", Kind: tabular.IntegerColumn, NotNegative: true},
		{Key: "note", Title: "Note", MaxLength: 1000},
	}}
}

// neededOf are the columns that a kind of row cannot do without.
func neededOf(kind domain.PriceKind) []string {
	switch kind {
	case domain.PricedLabour:
		return []string{"cost_rate", "sell_rate"}
	case domain.PricedMaterial:
		return []string{"unit", "unit_cost", "tax_class"}
	}
	return nil
}

// tableRow reads one record; wrong names what it lacks or cannot be read.
func tableRow(s tabular.Schema, rec tabular.Record, wrong func(column, reason string)) domain.PriceRow {
	cell := func(key string) tabular.Value { return rec.Values[s.Column(key)] }
	text := func(key string) string { return cell(key).Text }
	number := func(key string) decimal.Decimal { return cell(key).Decimal }
	kind := domain.PriceKind(text("kind"))
	for _, key := range neededOf(kind) {
		if !cell(key).Given {
			wrong(key, "a "+string(kind)+" row needs it")
		}
	}
	held := domain.Held{ValidFrom: domain.Day(text("valid_from")), ValidTo: domain.Day(text("valid_to"))}
	switch kind {
	case domain.PricedLabour:
		return domain.PriceRow{Labour: &domain.LabourRate{Skill: text("key"), Name: text("name"), CostRate: number("cost_rate"), SellRate: number("sell_rate"), Held: held}}
	case domain.PricedMaterial:
		packs, why := packsFrom(text("packs"))
		if why != "" {
			wrong("packs", why)
		}
		return domain.PriceRow{Material: &domain.Material{Key: text("key"), Name: text("name"), Unit: text("unit"), UnitCost: number("unit_cost"),
			MarkupPercent: number("markup_percent"), WastePercent: number("waste_percent"), TaxClass: pricing.TaxClass(text("tax_class")),
			Packs: packs, WholePacks: text("whole_packs") == "yes", Held: held}}
	}
	return domain.PriceRow{Vendor: &domain.Vendor{Key: text("key"), Name: text("name"), LeadDays: int(cell("lead_days").Integer),
		MarkupPercent: number("markup_percent"), Note: text("note"), Held: held}}
}

// Packs stand in one cell as "1 at 41.00; 5 at 180.00".
const (
	packEnd = ";"
	packAt  = " at "
)

func packsFrom(text string) ([]domain.Pack, string) {
	var out []domain.Pack
	if strings.TrimSpace(text) == "" {
		return nil, ""
	}
	for part := range strings.SplitSeq(text, packEnd) {
		size, cost, ok := strings.Cut(part, packAt)
		s, err1 := money.ParseDecimal(strings.TrimSpace(size), 9, 4)
		c, err2 := money.ParseDecimal(strings.TrimSpace(cost), 9, 4)
		if !ok || err1 != nil || err2 != nil {
			return nil, "write packs as size at cost, divided by semicolons: 1 at 41.00; 5 at 180.00"
		}
		out = append(out, domain.Pack{Size: s, Cost: c})
	}
	return out, ""
}

func packsText(packs []domain.Pack) string {
	parts := make([]string, len(packs))
	for i, p := range packs {
		parts[i] = p.Size.String() + packAt + p.Cost.String()
	}
	return strings.Join(parts, packEnd+" ")
}

// tableRecord writes one row.
func tableRecord(s tabular.Schema, r domain.PriceRow) tabular.Record {
	out := tabular.Record{Values: make([]tabular.Value, len(s.Columns))}
	set := func(key string, v tabular.Value) { out.Values[s.Column(key)] = v }
	ref, held := r.Ref(), r.Held()
	set("kind", tabular.ChoiceValue(string(ref.Kind)))
	set("key", tabular.TextValue(ref.Key))
	set("name", tabular.TextValue(r.Name()))
	set("valid_from", tabular.DayValue(string(held.ValidFrom)))
	set("valid_to", tabular.DayValue(string(held.ValidTo)))
	switch {
	case r.Labour != nil:
		set("cost_rate", tabular.DecimalValue(r.Labour.CostRate))
		set("sell_rate", tabular.DecimalValue(r.Labour.SellRate))
	case r.Material != nil:
		m := r.Material
		set("unit", tabular.TextValue(m.Unit))
		set("unit_cost", tabular.DecimalValue(m.UnitCost))
		set("markup_percent", tabular.DecimalValue(m.MarkupPercent))
		set("waste_percent", tabular.DecimalValue(m.WastePercent))
		set("tax_class", tabular.ChoiceValue(string(m.TaxClass)))
		set("packs", tabular.TextValue(packsText(m.Packs)))
		set("whole_packs", tabular.ChoiceValue(map[bool]string{true: "yes", false: "no"}[m.WholePacks]))
	default:
		set("markup_percent", tabular.DecimalValue(r.Vendor.MarkupPercent))
		set("lead_days", tabular.IntegerValue(int64(r.Vendor.LeadDays)))
		set("note", tabular.TextValue(r.Vendor.Note))
	}
	return out
}

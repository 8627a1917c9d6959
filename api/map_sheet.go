package api

import (
	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/points"
)

func sheetFrom(b SheetPlan) points.Sheet {
	return points.Sheet{Key: b.Key, Name: b.Name, Note: b.Note,
		Looks: each(b.Looks, func(l SheetLook) points.Look {
			return points.Look{Condition: points.Condition(l.Condition), FromVisible: l.FromVisiblePercent, Share: l.Share}
		}),
		Items: each(b.Items, sheetItemFrom)}
}

func sheetItemFrom(b SheetItem) points.Item {
	return points.Item{Key: b.Key, Name: b.Name, MaxOriginality: b.MaxOriginality, MaxCondition: b.MaxCondition, Note: b.Note,
		Kinds: each(b.Kinds, func(k ZoneKind) string { return string(k) }), Zones: b.Zones,
		Departures: each(b.Departures, func(d SheetDeparture) points.Departure {
			return points.Departure{What: d.What, Originality: d.Originality, Condition: d.Condition, Note: d.Note, AsFound: orZero(d.AsFound)}
		})}
}

func sheetPlanView(s points.Sheet) SheetPlan {
	return SheetPlan{Key: s.Key, Name: s.Name, Note: s.Note,
		Looks: each(s.Looks, func(l points.Look) SheetLook {
			return SheetLook{Condition: SteelCondition(l.Condition), FromVisiblePercent: l.FromVisible, Share: l.Share}
		}),
		Items: each(s.Items, sheetItemView)}
}

func sheetItemView(i points.Item) SheetItem {
	return SheetItem{Key: i.Key, Name: i.Name, MaxOriginality: i.MaxOriginality, MaxCondition: i.MaxCondition, Note: i.Note,
		Kinds: each(i.Kinds, func(k string) ZoneKind { return ZoneKind(k) }), Zones: texts(i.Zones),
		Departures: each(i.Departures, func(d points.Departure) SheetDeparture {
			out := SheetDeparture{What: d.What, Originality: d.Originality, Condition: orNone(d.Condition), Note: d.Note}
			if d.AsFound > 0 {
				out.AsFound = &d.AsFound
			}
			return out
		})}
}

// orNone is what a figure that was left out stands for.
func orNone(s string) string {
	if s == "" {
		return "0"
	}
	return s
}

func sheetView(p app.SheetPage) SheetView {
	out := SheetView{ID: p.ID, Version: p.Version, Sheet: sheetPlanView(p.Plan), MadeAt: p.MadeAt, MadeBy: p.MadeBy, Retired: p.RetiredAt != nil, Jobs: p.Used.Jobs}
	if p.Used.Jobs > 0 {
		out.OldestVersion = &p.Used.Oldest
	}
	return out
}

func sheetSummary(p app.SheetPage) SheetSummary {
	v := sheetView(p)
	out := SheetSummary{ID: v.ID, Version: v.Version, Name: p.Plan.Name, Note: p.Plan.Note, Items: len(p.Plan.Items), MadeAt: v.MadeAt, MadeBy: v.MadeBy,
		Retired: v.Retired, Jobs: v.Jobs, OldestVersion: v.OldestVersion}
	var originality, condition decimal.Decimal
	for _, i := range p.Plan.Items {
		o, _ := decimal.NewFromString(i.MaxOriginality)
		c, _ := decimal.NewFromString(i.MaxCondition)
		originality, condition = originality.Add(o), condition.Add(c)
	}
	out.Maximum = decimalPair(originality, condition)
	return out
}

func decimalPair(originality, condition decimal.Decimal) PointsPair {
	return PointsPair{Originality: originality.StringFixed(2), Condition: condition.StringFixed(2), Total: originality.Add(condition).StringFixed(2)}
}

func pointsPair(p points.Pair) PointsPair {
	return PointsPair{Originality: p.Originality.String(), Condition: p.Condition.String(), Total: p.Total().String()}
}

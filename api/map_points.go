package api

import (
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/money"
	"bareframe/internal/points"
)

func jobPoints(p app.PointsPage) JobPoints {
	out := JobPoints{Version: p.Job.Version, Currency: p.Job.Currency, Decided: p.Decided, Sentence: p.Sentence(true), Budget: textOrNil(p.Budget),
		Maximum: pointsPair(p.Found.Maximum), AsFound: decimalPair(p.AsFound.Originality, p.AsFound.Condition), After: decimalPair(p.WithWork.Originality, p.WithWork.Condition),
		Items: pointsItems(p), PutRight: each(p.PutRight, putRightView), Entered: each(p.Entered, enteredView), Unmatched: unmatchedView(p),
		Options: each(p.Options, func(o app.OptionPoints) JobOptionPoints { return optionPoints(o, p) })}
	if p.Sheet == nil {
		return out
	}
	out.Sheet = &PointsSheet{ID: p.Sheet.ID, Name: p.Sheet.Plan.Name, Note: p.Sheet.Plan.Note, Version: p.Sheet.Version, NewestVersion: p.Newest, Retired: p.Sheet.RetiredAt != nil}
	if len(p.Options) > 0 && !p.Decided {
		out.Best = bestView(p.After.Best)
		if f := p.After.Frontier; f != nil && f.Status == points.Optimal {
			sets := each(f.Sets, setView)
			out.Frontier = &sets
		}
	}
	return out
}

// foundAt is a finding with the name of its zone.
type foundAt struct {
	number int
	zone   string
}

// places names zones and findings in reasons.
type places struct {
	zones    map[string]domain.Zone
	findings map[string]foundAt
	right    map[string]string // by zone code or finding
}

func placesOf(p app.PointsPage) places {
	out := places{map[string]domain.Zone{}, map[string]foundAt{}, map[string]string{}}
	names := map[domain.ID]string{}
	for _, z := range p.Zones {
		out.zones[z.Code], names[z.ID] = z, z.Name
	}
	for _, f := range p.Findings {
		out.findings[app.SeenID(f.Number)] = foundAt{f.Number, names[f.ZoneID]}
	}
	for _, r := range p.PutRight {
		key := r.Zone.Code
		if r.Finding > 0 {
			key = app.SeenID(r.Finding)
		}
		out.right[key] = r.By
	}
	return out
}

func (p places) reason(r points.Reason) PointsReason {
	out := PointsReason{Originality: r.Originality, Condition: r.Condition, Words: r.Words, PutRight: textOrNil(p.right[r.Zone+r.Seen])}
	if r.Zone == "" && r.Seen == "" {
		out.Where = "As found on most cars"
	}
	if z, ok := p.zones[r.Zone]; ok {
		out.ZoneID, out.Where = &z.ID, z.Name
	}
	if f, ok := p.findings[r.Seen]; ok {
		out.Finding, out.Where = &f.number, fmt.Sprintf("Finding %d, %s", f.number, f.zone)
	}
	return out
}

func pointsItems(p app.PointsPage) []PointsItem {
	out := make([]PointsItem, 0, len(p.Found.Items))
	at := placesOf(p)
	for i, item := range p.Found.Items {
		out = append(out, PointsItem{Item: item.Item, Name: item.Name, Maximum: pointsPair(item.Maximum), AsFound: pointsPair(item.Deduction),
			BeforeMaximum: pointsPair(item.Before), After: pointsPair(p.Taken.Items[i].Deduction), Reasons: each(item.Reasons, at.reason)})
	}
	return out
}

func putRightView(r app.PutRightBy) PointsPutRight {
	out := PointsPutRight{Where: r.Zone.Name, By: r.By, Seen: r.Seen, ZoneID: textOrNil(r.Zone.ID)}
	if r.Finding > 0 {
		out.Finding = &r.Finding
		return out
	}
	from, to := SteelCondition(r.From), SteelCondition(r.To)
	out.From, out.To = &from, &to
	return out
}

func enteredView(e app.Entered) PointsEntered {
	out := PointsEntered{Source: PointsEnteredSource(e.Source), Name: e.Name, Item: textOrNil(e.Item), Originality: e.Originality.StringFixed(2),
		Condition: e.Condition.StringFixed(2), AsFound: e.AsFound, After: e.After}
	if e.Number > 0 {
		out.Number = &e.Number
	}
	return out
}

func unmatchedView(p app.PointsPage) []PointsUnmatched {
	names := map[domain.ID]string{}
	for _, z := range p.Zones {
		names[z.ID] = z.Name
	}
	return each(p.Unmatched, func(f domain.Finding) PointsUnmatched {
		return PointsUnmatched{Finding: f.Number, What: FindingWhat(f.What), Where: names[f.ZoneID]}
	})
}

func optionPoints(o app.OptionPoints, p app.PointsPage) JobOptionPoints {
	currency := p.Job.Currency
	r := o.Result
	var order *int
	if by, ok := p.TakenBy[o.ID]; ok {
		order = &by.Number
	}
	return JobOptionPoints{Order: order, ID: o.ID, Group: o.Group, Name: o.Name, Taken: o.Taken, Net: moneyText(o.Net, currency), Hours: r.Hours.String(),
		Items: each(r.Items, func(i points.ItemAfter) PointsAfterItem {
			return PointsAfterItem{Item: i.Item, Deduction: pointsPair(i.Deduction), Bought: pointsPair(i.Bought)}
		}),
		Bought: pointsPair(r.Bought), CostPerPoint: amountText(r.CostPerPoint),
		Against: PointsAgainst{Net: moneyText(o.AgainstNet, currency), Bought: pointsPair(points.Pair{Originality: o.AgainstOriginality, Condition: o.AgainstCondition}),
			CostPerPoint: amountText(o.AgainstCostPerPoint)}}
}

func amountText(a *money.Amount) *string {
	if a == nil {
		return nil
	}
	text := a.String()
	return &text
}

func setView(s points.Selection) PointsSet {
	return PointsSet{OptionIds: texts(s.Options), Net: s.Cost.String(), Bought: pointsPair(s.Bought), CostPerPoint: amountText(s.CostPerPoint)}
}

func bestView(b points.Best) *PointsBest {
	out := &PointsBest{Status: PointsBestStatus(b.Status), Bound: b.Bound.String(), Nodes: b.Nodes, Words: texts(b.Words)}
	if b.Selection != nil {
		set := setView(*b.Selection)
		out.Set = &set
		var originality, condition decimal.Decimal
		for _, i := range b.Items {
			originality, condition = originality.Add(i.Deduction.Originality.Decimal()), condition.Add(i.Deduction.Condition.Decimal())
		}
		after := decimalPair(originality, condition)
		out.After = &after
	}
	return out
}

// clientPoints shows a car on its sheet to its client: no options, no costs, and
// none of the names of the shop's work.
func clientPoints(p app.PointsPage, quoted bool) ClientPoints {
	out := ClientPoints{Judged: p.Sheet != nil, Sentence: p.Sentence(quoted), Items: []ClientPointsItem{}}
	if p.Sheet == nil {
		return out
	}
	pair := func(v PointsPair) *PointsPair { return &v }
	out.Sheet = &p.Sheet.Plan.Name
	out.Maximum, out.AsFound = pair(pointsPair(p.Found.Maximum)), pair(decimalPair(p.AsFound.Originality, p.AsFound.Condition))
	if quoted {
		out.After = pair(decimalPair(p.WithWork.Originality, p.WithWork.Condition))
	}
	for _, i := range pointsItems(p) {
		item := ClientPointsItem{Name: i.Name, Maximum: i.Maximum, AsFound: i.AsFound, Reasons: i.Reasons}
		if quoted {
			item.After = pair(i.After)
		}
		for k := range item.Reasons {
			r := &item.Reasons[k]
			r.Words, _, _ = strings.Cut(r.Words, ":")
			if r.PutRight != nil {
				r.PutRight = nil
				if quoted {
					r.PutRight = textOrNil("put right")
				}
			}
		}
		out.Items = append(out.Items, item)
	}
	return out
}

package points

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"
)

const reasonPlaces = 4

// found is the expected deduction on every item, and what no item deducts for.
func (j *job) found() (items []ItemFound, unmatched []string) {
	s := j.in.Sheet
	items, unmatched = make([]ItemFound, len(s.Items)), []string{}
	for i, item := range s.Items {
		items[i] = ItemFound{Item: item.Key, Name: item.Name, Maximum: j.maximum[i], Reasons: item.looked(s.Looks, j.in.Zones, j.maximum[i])}
	}
	told := map[[2]string]bool{}
	for _, seen := range j.in.Seen {
		reasons := j.matches(seen)
		if len(reasons) == 0 {
			unmatched = append(unmatched, seen.ID)
		}
		for i, reason := range reasons {
			if reason != nil {
				items[i].Reasons = append(items[i].Reasons, *reason)
				told[[2]string{s.Items[i].Key, seen.What}] = true
			}
		}
	}
	for i, item := range s.Items {
		for _, d := range item.Departures {
			if d.AsFound > 0 && !told[[2]string{item.Key, d.What}] {
				items[i].Reasons = append(items[i].Reasons, *d.times(Seen{What: d.What, Count: d.AsFound}))
			}
		}
		items[i].sum()
	}
	return items, unmatched
}

// sum adds the reasons up, holds them to the maximum, and leaves out of the
// reasons those that cost nothing.
func (f *ItemFound) sum() {
	var originality, condition decimal.Decimal
	for _, r := range f.Reasons {
		originality, condition = originality.Add(r.originality), condition.Add(r.condition)
	}
	f.Before = Pair{rounded(originality), rounded(condition)}
	f.Deduction = Pair{min(f.Before.Originality, f.Maximum.Originality), min(f.Before.Condition, f.Maximum.Condition)}
	f.Reasons = slices.DeleteFunc(f.Reasons, func(r Reason) bool { return r.originality.IsZero() && r.condition.IsZero() })
	for i := range f.Reasons {
		r := &f.Reasons[i]
		r.Originality, r.Condition = r.originality.StringFixed(reasonPlaces), r.condition.StringFixed(reasonPlaces)
	}
	if f.Reasons == nil {
		f.Reasons = []Reason{}
	}
}

// looksAt reports whether the item looks at a zone.
func (item Item) looksAt(z Zone) bool {
	return slices.Contains(item.Kinds, z.Kind) || slices.Contains(item.Zones, z.Code)
}

// looked is the item's deduction for condition, zone by zone.
func (item Item) looked(looks []Look, zones []Zone, maximum Pair) []Reason {
	var own []Zone
	total := decimal.Decimal{}
	for _, z := range zones {
		if item.looksAt(z) {
			own = append(own, z)
			total = total.Add(decimalOf(z.AreaM2))
		}
	}
	var out []Reason
	for _, z := range own {
		share := lookOf(looks, z)
		weight, whole, unit := decimalOf(z.AreaM2), total, " m2"
		if total.IsZero() {
			weight, whole, unit = decimal.NewFromInt(1), decimal.NewFromInt(int64(len(own))), " zones"
		}
		// Rounded far below what is shown, and again only in the sum.
		lost := maximum.Condition.Decimal().Mul(share).Mul(weight).DivRound(whole, 16)
		out = append(out, Reason{Zone: z.Code, condition: lost, Words: fmt.Sprintf("%s, %d percent seen: share %s x maximum %s x %s of %s%s.",
			z.Condition, z.VisiblePercent, share, maximum.Condition, weight, whole, unit)})
	}
	return out
}

// lookOf is the share of a zone's row in the table.
func lookOf(looks []Look, z Zone) decimal.Decimal {
	var best *Look
	for i, l := range looks {
		if l.Condition == z.Condition && l.FromVisible <= z.VisiblePercent && (best == nil || l.FromVisible > best.FromVisible) {
			best = &looks[i]
		}
	}
	return decimalOf(best.Share) // the sheet has a row from 0 percent for each
}

// departure is the item's row for what was seen.
func (item Item) departure(what string) (Departure, bool) {
	for _, d := range item.Departures {
		if d.What == what {
			return d, true
		}
	}
	return Departure{}, false
}

// matches are the reasons that one thing seen gives, by item.
func (j *job) matches(s Seen) map[int]*Reason {
	out := map[int]*Reason{}
	for i, item := range j.in.Sheet.Items {
		if s.Item != "" && s.Item != item.Key {
			continue
		}
		if s.Originality != "" || s.Condition != "" {
			out[i] = &Reason{Seen: s.ID, originality: decimalOf(s.Originality), condition: decimalOf(s.Condition), Words: s.What + ": as given."}
			continue
		}
		d, listed := item.departure(s.What)
		if listed && (s.Item != "" || s.Zone == "" || j.looksAtCode(item, s.Zone)) {
			out[i] = d.times(s)
		}
	}
	return out
}

func (j *job) looksAtCode(item Item, code string) bool {
	return slices.ContainsFunc(j.in.Zones, func(z Zone) bool { return z.Code == code && item.looksAt(z) })
}

func (d Departure) times(s Seen) *Reason {
	n := decimal.NewFromInt(int64(max(1, s.Count)))
	r := &Reason{Seen: s.ID, originality: decimalOf(d.Originality).Mul(n), condition: decimalOf(d.Condition).Mul(n)}
	r.Words = fmt.Sprintf("%s: %s x originality %s and condition %s.", d.What, n, decimalOf(d.Originality).StringFixed(places), decimalOf(d.Condition).StringFixed(places))
	return r
}

// decimalOf is the value of text that was checked; empty is 0.
func decimalOf(s string) decimal.Decimal {
	if s == "" {
		return decimal.Decimal{}
	}
	return decimal.RequireFromString(s)
}

package points

import (
	"fmt"
	"math/rand/v2"
	"strconv"
)

// family is a way of making up an input, by what makes it hard.
type family struct {
	name string
	// items in all and touched by each option; of 100 effects so many are harm.
	items, touched, harm int
	// plenty is what all effects together take off, in percent of what there is.
	plenty int
	// cost of an option from its points in hundredths.
	cost func(rng *rand.Rand, points int) int
	// of 100 options so many require an earlier one or are in a group of size.
	requires, grouped, size int
}

func anyCost(rng *rand.Rand, _ int) int { return 2000 + rng.IntN(250_000) }

func weakCost(rng *rand.Rand, points int) int { return points*900*(85+rng.IntN(31))/100 + 500 }

func strongCost(_ *rand.Rand, points int) int { return points*700 + 30_000 }

func subsetCost(_ *rand.Rand, points int) int { return points * 1000 }

var families = []family{
	{"uncorrelated", 12, 2, 10, 120, anyCost, 25, 20, 3},
	{"weakly_correlated", 12, 2, 10, 120, weakCost, 25, 20, 3},
	{"strongly_correlated", 12, 2, 0, 120, strongCost, 25, 20, 3},
	{"subset_sum", 12, 2, 0, 100, subsetCost, 20, 20, 3},
	{"one_item", 1, 1, 0, 150, strongCost, 20, 20, 3},
	{"past_the_maximum", 8, 3, 5, 250, weakCost, 25, 20, 3},
	{"much_harm", 10, 3, 35, 130, weakCost, 20, 20, 3},
	{"long_chains", 12, 2, 5, 120, weakCost, 85, 0, 3},
	{"alternatives", 12, 2, 15, 200, weakCost, 10, 90, 4},
}

// made is an input of n options; budget is that many percent of all costs.
func (f family) made(rng *rand.Rand, n, budget int) Input {
	in := Input{Currency: "EUR", Sheet: Sheet{Key: "made", Name: "Made up"}}
	for _, c := range Conditions() {
		in.Sheet.Looks = append(in.Sheet.Looks, Look{Condition: c, Share: "0"})
	}
	there := 0
	for i := range f.items {
		item := Item{Key: fmt.Sprintf("i%02d", i), Name: "Item", MaxOriginality: quarters(4 + rng.IntN(40)), MaxCondition: quarters(4 + rng.IntN(40))}
		in.Sheet.Items = append(in.Sheet.Items, item)
		lost := Seen{ID: item.Key, What: "anything", Item: item.Key, Originality: share(rng, item.MaxOriginality, 30, 100), Condition: share(rng, item.MaxCondition, 30, 100)}
		in.Seen = append(in.Seen, lost)
		there += hundredths(lost.Originality) + hundredths(lost.Condition)
		if rng.IntN(10) == 0 { // more than the maximum
			again := lost
			again.ID, again.Originality = "again-"+lost.ID, share(rng, item.MaxOriginality, 10, 60)
			in.Seen = append(in.Seen, again)
		}
	}
	total := 0
	for k := range n {
		o := Option{ID: fmt.Sprintf("o%02d", (k*37)%n), Name: "Option"}
		for _, i := range rng.Perm(f.items)[:1+rng.IntN(f.touched)] {
			o.Effects = append(o.Effects, f.effect(rng, in.Sheet.Items[i], there*f.plenty/100/n/f.touched))
		}
		worth := 0
		for _, e := range o.Effects {
			worth += max(0, hundredths(e.Originality)) + max(0, hundredths(e.Condition))
		}
		cost := f.cost(rng, worth)
		total += cost
		o.Cost = fmt.Sprintf("%d.%02d", cost/100, cost%100)
		if k > 0 && rng.IntN(100) < f.requires {
			o.Requires = []string{in.Options[max(0, k-1-rng.IntN(4))].ID}
		}
		if k > 0 && rng.IntN(100) < 6 {
			o.Excludes = []string{in.Options[rng.IntN(k)].ID}
		}
		in.Options = append(in.Options, o)
	}
	f.group(rng, &in)
	spend := total * budget / 100
	in.Budget = fmt.Sprintf("%d.%02d", spend/100, spend%100)
	return in
}

// effect is about typical hundredths on either side of an item, in quarters of
// a point mostly.
func (f family) effect(rng *rand.Rand, item Item, typical int) Effect {
	one := func(maximum string) string {
		n := max(1, typical*(40+rng.IntN(120))/100/2)
		if rng.IntN(3) > 0 {
			n = max(25, (n+12)/25*25)
		}
		n = min(n, hundredths(maximum))
		if rng.IntN(100) < f.harm {
			n = -n
		}
		return hundredthsText(n)
	}
	e := Effect{Item: item.Key}
	if rng.IntN(2) == 0 {
		e.Originality = one(item.MaxOriginality)
	}
	if rng.IntN(2) == 0 || e.Originality == "" {
		e.Condition = one(item.MaxCondition)
	}
	return e
}

func (f family) group(rng *rand.Rand, in *Input) {
	for k := 0; k+f.size <= len(in.Options); k += f.size {
		if rng.IntN(100) >= f.grouped {
			continue
		}
		g := Group{ID: fmt.Sprintf("g%02d", k), Choose: AtMostOne}
		if rng.IntN(6) == 0 {
			g.Choose = ExactlyOne
		}
		for i := k; i < k+f.size; i++ {
			g.Options = append(g.Options, in.Options[i].ID)
		}
		in.Groups = append(in.Groups, g)
	}
}

func quarters(n int) string { return hundredthsText(25 * n) }

func hundredthsText(n int) string {
	if n < 0 {
		return "-" + hundredthsText(-n)
	}
	return fmt.Sprintf("%d.%02d", n/100, n%100)
}

func hundredths(s string) int {
	if s == "" {
		return 0
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic(err)
	}
	if v < 0 {
		return -int(-v*100 + 0.5)
	}
	return int(v*100 + 0.5)
}

func share(rng *rand.Rand, maximum string, low, high int) string {
	return hundredthsText(hundredths(maximum) * (low + rng.IntN(high-low+1)) / 100)
}

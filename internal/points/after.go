package points

import "bareframe/internal/money"

// clamp holds a deduction between 0 and the maximum.
func clamp(sum, maximum int64) int64 { return max(0, min(sum, maximum)) }

func (p Pair) of(aspect int) Points {
	if aspect%2 == 0 {
		return p.Originality
	}
	return p.Condition
}

func (p Pair) plus(q Pair) Pair {
	return Pair{p.Originality + q.Originality, p.Condition + q.Condition}
}

// after is the deduction on every item when these options are done, and what
// they buy.
func (j *job) after(done []int) (items []ItemAfter, bought Pair) {
	off := j.off(done)
	items = make([]ItemAfter, len(j.maximum))
	for i, before := range j.before {
		left := func(aspect int, off int64) Points {
			return Points(clamp(int64(before.of(aspect))-off, int64(j.maximum[i].of(aspect))))
		}
		a := ItemAfter{Item: j.in.Sheet.Items[i].Key, Deduction: Pair{left(0, off[2*i]), left(1, off[2*i+1])}}
		a.Bought = Pair{left(0, 0) - a.Deduction.Originality, left(1, 0) - a.Deduction.Condition}
		items[i], bought = a, bought.plus(a.Bought)
	}
	return items, bought
}

// off is what options take off each aspect.
func (j *job) off(done []int) []int64 {
	off := make([]int64, 2*len(j.maximum))
	for _, i := range done {
		for _, d := range j.options[i].deltas {
			off[d.aspect] += d.amount
		}
	}
	return off
}

// selection sums options up; done is in the order of the input.
func (j *job) selection(done []int) *Selection {
	s := &Selection{Options: []string{}}
	cost := int64(0)
	for _, i := range done {
		s.Options = append(s.Options, j.in.Options[i].ID)
		s.Hours += j.options[i].hours
		cost += j.options[i].cost
	}
	_, s.Bought = j.after(done)
	s.Cost = money.FromMinor(cost, j.currency)
	s.CostPerPoint = j.costPerPoint(cost, s.Bought.Total())
	return s
}

// costPerPoint is nil when no points are bought.
func (j *job) costPerPoint(cost int64, bought Points) *money.Amount {
	if bought <= 0 {
		return nil
	}
	a := money.RoundQuotient(money.FromMinor(cost, j.currency).Decimal(), bought.Decimal(), j.currency)
	return &a
}

// alone is what option i does by itself, and with what it requires.
func (j *job) alone(i int) OptionResult {
	in, o := j.in.Options[i], j.options[i]
	r := OptionResult{ID: in.ID, Name: in.Name, Cost: money.FromMinor(o.cost, j.currency), Hours: o.hours, Days: in.Days, Items: []ItemAfter{}}
	var items []ItemAfter
	items, r.Bought = j.after([]int{i})
	for k := range items {
		if o.touches(k) {
			r.Items = append(r.Items, items[k])
		}
	}
	r.CostPerPoint = j.costPerPoint(o.cost, r.Bought.Total())
	if len(o.requires) > 0 {
		r.Together = j.selection(j.needed(i).list())
	}
	return r
}

func (o option) touches(item int) bool {
	for _, d := range o.deltas {
		if d.aspect/2 == item {
			return true
		}
	}
	return false
}

// needed is option i with everything that it requires, and what that requires.
func (j *job) needed(i int) set {
	var all set
	var add func(i int)
	add = func(i int) {
		if all.has(i) {
			return
		}
		all = all.with(i)
		for _, other := range j.options[i].requires {
			add(other)
		}
	}
	add(i)
	return all
}

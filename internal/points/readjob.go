package points

import (
	"fmt"
	"slices"

	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// read checks in and makes the job of it. Every fault is named at once.
func read(in Input) (*job, error) {
	r := &reader{}
	var err error
	if r.currency, err = money.ParseCurrency(in.Currency); err != nil {
		r.Add("/currency", "%s", fault.As(err).Detail)
		r.currency, _ = money.ParseCurrency("KWD") // three places, so that the rest can still be read
	}
	r.sheet("/sheet", in.Sheet)
	j := &job{in: in, currency: r.currency, maximum: r.maximum, budget: -1}
	r.zones(in.Zones)
	r.seen(in)
	r.options(j)
	r.groups(j)
	r.sets(j)
	if in.Budget != "" {
		j.budget = r.cost("/budget", in.Budget)
	}
	r.whole("/max_nodes", in.MaxNodes, 0, MaxNodes)
	if j.nodes = in.MaxNodes; j.nodes == 0 {
		j.nodes = DefaultNodes
	}
	if err := r.Err(code); err != nil {
		return nil, err
	}
	if err := j.circle(); err != nil {
		return nil, err
	}
	return j, nil
}

func (r *reader) zones(zones []Zone) {
	if !r.bounded("/zones", len(zones)) {
		return
	}
	codes := map[string]bool{}
	for i, z := range zones {
		at := fmt.Sprintf("/zones/%d", i)
		r.key(at+"/code", z.Code)
		if codes[z.Code] {
			r.Add(at+"/code", "another zone has this code")
		}
		codes[z.Code] = true
		r.key(at+"/kind", z.Kind)
		r.condition(at+"/condition", z.Condition)
		r.whole(at+"/visible_percent", z.VisiblePercent, 0, 100)
		r.number(at+"/area_m2", orNone(z.AreaM2), otherDigits, 4)
	}
}

func (r *reader) seen(in Input) {
	if !r.bounded("/seen", len(in.Seen)) {
		return
	}
	zones, ids := map[string]bool{}, map[string]bool{}
	for _, z := range in.Zones {
		zones[z.Code] = true
	}
	for i, s := range in.Seen {
		at := fmt.Sprintf("/seen/%d", i)
		r.key(at+"/id", s.ID)
		if ids[s.ID] {
			r.Add(at+"/id", "another entry has this id")
		}
		ids[s.ID] = true
		r.key(at+"/what", s.What)
		r.whole(at+"/count", s.Count, 0, MaxCount)
		if s.Zone != "" && !zones[s.Zone] {
			r.Add(at+"/zone", "there is no zone with this code")
		}
		r.seenItem(at, in.Sheet, s)
	}
}

// seenItem checks that what is charged to an item has a figure.
func (r *reader) seenItem(at string, sheet Sheet, s Seen) {
	given := s.Originality != "" || s.Condition != ""
	if s.Item == "" {
		if given {
			r.Add(at+"/item", "say for which item these figures are")
		}
		return
	}
	i, known := r.items[s.Item]
	switch {
	case !known:
		r.Add(at+"/item", "the sheet has no item with this key")
	case given:
		r.within(at, orNone(s.Originality), orNone(s.Condition), r.maximum[i])
	default:
		if _, listed := sheet.Items[i].departure(s.What); !listed {
			r.Add(at+"/what", "the item %s has no figure for this; give one", s.Item)
		}
	}
}

func (r *reader) options(j *job) {
	in := j.in.Options
	if len(in) > MaxOptions {
		r.Add("/options", "at most %d options are allowed, and there are %d", MaxOptions, len(in))
		return
	}
	j.options, j.place = make([]option, len(in)), map[string]int{}
	for i, o := range in {
		at := fmt.Sprintf("/options/%d", i)
		r.key(at+"/id", o.ID)
		if _, twice := j.place[o.ID]; twice {
			r.Add(at+"/id", "another option has this id")
		}
		j.place[o.ID] = i
		r.text(at+"/name", o.Name, true)
		r.whole(at+"/days", o.Days, 0, MaxDays)
		hours := Hours(rounded(r.number(at+"/hours", orNone(o.Hours), otherDigits, places)))
		j.options[i] = option{cost: r.cost(at+"/cost", o.Cost), hours: hours, deltas: r.effects(at, o.Effects)}
	}
	for i, o := range in {
		at := fmt.Sprintf("/options/%d", i)
		j.options[i].requires = r.others(j, at+"/requires", i, o.Requires)
		j.options[i].excludes = r.others(j, at+"/excludes", i, o.Excludes)
	}
}

// effects reads them as changes of aspects: item x 2, and one more for condition.
func (r *reader) effects(at string, effects []Effect) []delta {
	var out []delta
	touched := map[int]bool{}
	for i, e := range effects {
		here := fmt.Sprintf("%s/effects/%d", at, i)
		item, known := r.items[e.Item]
		if !known {
			r.Add(here+"/item", "the sheet has no item with this key")
			continue
		}
		if touched[item] {
			r.Add(here+"/item", "the option has an effect on this item already")
		}
		touched[item] = true
		p := Pair{r.signed(here+"/originality", e.Originality), r.signed(here+"/condition", e.Condition)}
		r.under(here, p, r.maximum[item])
		for k, amount := range [...]Points{p.Originality, p.Condition} {
			if amount != 0 {
				out = append(out, delta{2*item + k, int64(amount)})
			}
		}
	}
	return out
}

func (r *reader) others(j *job, at string, self int, ids []string) []int {
	var out []int
	seen := map[string]bool{}
	for i, id := range ids {
		here := fmt.Sprintf("%s/%d", at, i)
		other, known := j.place[id]
		switch {
		case !known:
			r.Add(here, "there is no option with this id")
		case other == self:
			r.Add(here, "an option cannot name itself")
		case seen[id]:
			r.Add(here, "this id is here twice")
		default:
			out = append(out, other)
		}
		seen[id] = true
	}
	return out
}

func (r *reader) groups(j *job) {
	if len(j.in.Groups) > MaxGroups {
		r.Add("/groups", "at most %d groups are allowed, and there are %d", MaxGroups, len(j.in.Groups))
		return
	}
	ids := map[string]bool{}
	for i, g := range j.in.Groups {
		at := fmt.Sprintf("/groups/%d", i)
		r.key(at+"/id", g.ID)
		if ids[g.ID] {
			r.Add(at+"/id", "another group has this id")
		}
		ids[g.ID] = true
		if g.Choose != ExactlyOne && g.Choose != AtMostOne {
			r.Add(at+"/choose", "this is exactly_one or at_most_one")
		}
		if len(g.Options) == 0 {
			r.Add(at+"/options", "name the options of the group")
		}
		j.groups = append(j.groups, group{exact: g.Choose == ExactlyOne, members: r.others(j, at+"/options", -1, g.Options)})
	}
}

func (r *reader) sets(j *job) {
	if len(j.in.Sets) > MaxSets {
		r.Add("/sets", "at most %d sets are allowed, and there are %d", MaxSets, len(j.in.Sets))
		return
	}
	for i, ids := range j.in.Sets {
		done := r.others(j, fmt.Sprintf("/sets/%d", i), -1, ids)
		slices.Sort(done)
		j.sets = append(j.sets, done)
	}
}

// job is a checked input in integers.
type job struct {
	in       Input
	currency money.Currency
	maximum  []Pair // by item
	before   []Pair // by item: the sum of the reasons
	options  []option
	place    map[string]int // of an option by id
	groups   []group
	sets     [][]int // each in the order of the input
	budget   int64   // minor units; -1 is none
	nodes    int     // that the searches may still look at
}

type option struct {
	cost     int64 // minor units
	hours    Hours
	deltas   []delta
	requires []int
	excludes []int
}

// delta is what an option takes off an aspect, in hundredths.
type delta struct {
	aspect int
	amount int64
}

type group struct {
	exact   bool
	members []int
}

package levelling

import (
	"context"

	"bareframe/internal/calendar"
)

// Gain is what one more of a station or of a skill would save.
type Gain struct {
	Station string `json:"station,omitempty"`
	Skill   string `json:"skill,omitempty"`
	// Late and Finish are the weighted minutes saved; never negative, because the
	// plan that is there stays possible.
	Late   int64 `json:"late_weighted_minutes"`
	Finish int64 `json:"finish_weighted_minutes"`
	// Jobs are the elapsed minutes by which each finishes earlier; negative where
	// another goes first. In the order of the input, none when nothing is saved.
	Jobs []calendar.Minutes `json:"jobs,omitempty"`
	// Placed is how many tasks it lets be planned that no plan can hold without it; the
	// rest stays empty then, because the plans hold other work.
	Placed int `json:"placed,omitempty"`
}

// Relief plans again with one more of each station and each skill that the work
// asks for, beginning with the order of the plan that is there, and says what that
// would save. When ctx ends, it answers with what it has. It refuses as Solve does.
func Relief(ctx context.Context, in Input, r Result, effort Effort) ([]Gain, error) {
	in.Previous = r.Tasks
	var gains []Gain
	for _, c := range reliefs(&in) {
		if ctx.Err() != nil {
			return gains, nil
		}
		more, err := Apply(in, []Change{c})
		if err != nil {
			return nil, err
		}
		other, err := Solve(ctx, more, effort, nil)
		if err != nil {
			return nil, err
		}
		g := Gain{Station: c.Station, Skill: c.Skill, Placed: max(0, len(r.Unplaced)-len(other.Unplaced))}
		if a, b := r.Cost, other.Cost; len(other.Unplaced) == len(r.Unplaced) && (b.Late < a.Late || b.Late == a.Late && b.Finish < a.Finish) {
			g.Late, g.Finish = a.Late-b.Late, max(0, a.Finish-b.Finish)
			for j := range r.Jobs {
				g.Jobs = append(g.Jobs, calendar.Minutes(r.Jobs[j].Finish.Sub(other.Jobs[j].Finish).Minutes()))
			}
		}
		gains = append(gains, g)
	}
	return gains, nil
}

// reliefs lists one more of everything that open work asks for, in the order in
// which the work names it.
func reliefs(in *Input) []Change {
	var out []Change
	seen := map[oneMore]bool{}
	add := func(c Change, key oneMore) {
		if !seen[key] {
			seen[key] = true
			out = append(out, c)
		}
	}
	stations := map[string]bool{}
	for _, s := range in.Stations {
		stations[s.ID] = s.Capacity < maxCapacity
	}
	for i := range in.Tasks {
		if in.Tasks[i].ActualFinish != nil {
			continue
		}
		for _, p := range in.Tasks[i].Places {
			if stations[p.Station] {
				add(Change{Kind: AddCapacity, Station: p.Station, By: 1}, oneMore{p.Station, ""})
			}
		}
		for _, w := range in.Tasks[i].Crew {
			if len(in.People) < MaxPeople {
				add(Change{Kind: AddPerson, Skill: w.Skill}, oneMore{"", w.Skill})
			}
		}
	}
	return out
}

type oneMore struct{ station, skill string }

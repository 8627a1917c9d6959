package health

import (
	"cmp"
	"math"
	"slices"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"
	"bareframe/internal/network"
)

// Limits are from where on a figure is a finding.
type Limits struct {
	LongLag   calendar.Minutes `json:"long_lag_minutes"`   // common practice: a lag of more than a week hides work
	MuchFloat calendar.Minutes `json:"much_float_minutes"` // common practice: 44 working days of 8 h
}

// StartingLimits are common practice, to be replaced by the shop's own.
func StartingLimits() Limits { return Limits{LongLag: 7 * 24 * 60, MuchFloat: 44 * 8 * 60} }

// Input is a network, and what it does not say of itself.
type Input struct {
	Network  network.Input `json:"network"`
	Baseline bool          `json:"baseline"` // there is an agreed schedule to compare with
	// Unstaffed are tasks that need people whom the shop does not have.
	Unstaffed []string `json:"unstaffed,omitempty"`
	// Stale are tasks under way on which nothing was logged for too long.
	Stale  []string `json:"stale,omitempty"`
	Limits Limits   `json:"limits"`
}

// Finding is something that makes dates unreliable.
type Finding struct {
	Code   string   `json:"code"`
	Weight int      `json:"weight"` // 3 the dates are wrong or late, 2 doubtful, 1 worth a look
	Tasks  []string `json:"tasks,omitempty"`
	Links  []string `json:"links,omitempty"`
	Do     string   `json:"do"`
}

// Result is the findings, heaviest first, and the codes of all that was looked at.
type Result struct {
	Findings []Finding `json:"findings"`
	LookedAt []string  `json:"looked_at"`
}

// check is one question: its code, weight, what to do, and what it finds.
type check struct {
	code   string
	weight int
	do     string
	find   func(*Input, *network.Result) (tasks, links []string)
}

var checks = []check{
	{"future_actual", 3, "Correct its hours or its release: what is still to come cannot have been done.", inFuture},
	{"lag_overrun", 3, "Do the first task again, or hold to what the product data sheet says, before the second begins.", overrun},
	{"negative_float", 3, "Bring work forward, add people, or agree another date.", tasksWhere(func(_ *Input, t network.TaskResult) bool { return t.TotalFloat < 0 })},
	{"open_start", 2, "Link it to what must happen first: until then it is planned for the first day, ready or not.", openStart},
	{"open_end", 2, "Link it to what needs it: until then it can run late and no date says so.", openEnd},
	{"out_of_sequence", 2, "Correct the link where the work may go that way, else the hours.", func(_ *Input, r *network.Result) ([]string, []string) { return nil, r.OutOfSequence }},
	{"no_baseline", 2, "Once the client accepts a quote its dates are kept, and you see here what moves.", noBaseline},
	{"no_crew", 2, "Note the skill with more people, or plan it for fewer.", func(in *Input, _ *network.Result) ([]string, []string) { return in.Unstaffed, nil }},
	{"stale", 2, "Log the hours, say how many are left, or end the task.", func(in *Input, _ *network.Result) ([]string, []string) { return in.Stale, nil }},
	{"lead", 1, "Make two tasks of the first, and link the second to the part that it needs.", linksWhere(func(_ *Input, l network.Link) bool { return l.Lag < 0 })},
	{"long_lag", 1, "Make a task of what happens meanwhile, as a cure or a delivery: then it is seen when it runs late.", linksWhere(func(in *Input, l network.Link) bool { return l.Lag > in.Limits.LongLag })},
	{"date_constraint", 1, "Where a link can set the date, take out the one set by hand: it stays when the work before it moves.", constrained},
	{"much_float", 1, "A link may be missing: link it to the task that needs it first.", muchFloat},
}

// Examine calculates the network and looks it over. It refuses what
// network.Calculate refuses, but for actual dates after the data date: those are a
// finding, and are calculated with as if they were of the data date. It refuses limits
// that are not positive. O(checks × (tasks + links)) after the calculation.
func Examine(in Input) (Result, error) {
	if in.Limits.LongLag <= 0 || in.Limits.MuchFloat <= 0 {
		return Result{}, fault.InvalidField("health-invalid", "/limits", "A limit is more than 0 minutes.")
	}
	r, err := network.Calculate(upToDataDate(in.Network))
	if err != nil {
		return Result{}, err
	}
	return Look(in, r), nil
}

// Look is Examine of a network that is calculated already. The limits must be positive,
// and no actual date of what was calculated lies after the data date; those of in may.
// O(checks × (tasks + links)).
func Look(in Input, r network.Result) Result {
	out := Result{Findings: []Finding{}}
	for _, c := range checks {
		out.LookedAt = append(out.LookedAt, c.code)
		tasks, links := c.find(&in, &r)
		if len(tasks)+len(links) > 0 || c.code == "no_baseline" && !in.Baseline {
			out.Findings = append(out.Findings, Finding{c.code, c.weight, tasks, links, c.do})
		}
	}
	slices.SortStableFunc(out.Findings, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(b.Weight, a.Weight), cmp.Compare(a.Code, b.Code))
	})
	return out
}

// upToDataDate puts actual dates that lie after the data date on it, in a copy.
func upToDataDate(n network.Input) network.Input {
	if n.DataDate == nil {
		return n
	}
	n.Tasks = slices.Clone(n.Tasks)
	for i := range n.Tasks {
		for _, at := range []**time.Time{&n.Tasks[i].ActualStart, &n.Tasks[i].ActualFinish} {
			if *at != nil && (*at).After(*n.DataDate) {
				*at = n.DataDate
			}
		}
	}
	return n
}

// inFuture finds tasks that are said to have begun or ended after the data date.
func inFuture(in *Input, _ *network.Result) (tasks, links []string) {
	later := func(at *time.Time) bool {
		return at != nil && in.Network.DataDate != nil && at.After(*in.Network.DataDate)
	}
	for _, t := range in.Network.Tasks {
		if later(t.ActualStart) || later(t.ActualFinish) {
			tasks = append(tasks, t.ID)
		}
	}
	return tasks, nil
}

func noBaseline(*Input, *network.Result) ([]string, []string) { return nil, nil }

func overrun(_ *Input, r *network.Result) (tasks, links []string) {
	for _, o := range r.LagOverruns {
		tasks, links = append(tasks, o.To), append(links, o.Link)
	}
	return tasks, links
}

// openStart finds tasks whose start nothing holds, but one: a job begins somewhere.
func openStart(in *Input, _ *network.Result) ([]string, []string) {
	return open(in, func(l network.Link) (string, bool) { return l.To, l.Type == network.FF || l.Type == network.SF }), nil
}

// openEnd finds tasks whose finish nothing waits for, but one: a job ends somewhere.
func openEnd(in *Input, _ *network.Result) ([]string, []string) {
	return open(in, func(l network.Link) (string, bool) { return l.From, l.Type == network.SS || l.Type == network.SF }), nil
}

func open(in *Input, held func(network.Link) (id string, other bool)) []string {
	closed := map[string]bool{}
	for _, l := range in.Network.Links {
		if id, other := held(l); !other {
			closed[id] = true
		}
	}
	var out []string
	for _, t := range in.Network.Tasks {
		if !closed[t.ID] && t.ActualFinish == nil {
			out = append(out, t.ID)
		}
	}
	if len(out) < 2 {
		return nil
	}
	return out
}

func constrained(in *Input, _ *network.Result) (tasks, links []string) {
	for _, t := range in.Network.Tasks {
		if t.ActualStart == nil && t.NotBefore != nil || t.ActualFinish == nil && t.FinishBy != nil {
			tasks = append(tasks, t.ID)
		}
	}
	return tasks, nil
}

func tasksWhere(is func(*Input, network.TaskResult) bool) func(*Input, *network.Result) ([]string, []string) {
	return func(in *Input, r *network.Result) (tasks, links []string) {
		for _, t := range r.Tasks {
			if is(in, t) {
				tasks = append(tasks, t.ID)
			}
		}
		return tasks, nil
	}
}

// muchFloat looks at working time that is still to do: a cure has the float of what
// follows it. What all have alike lies between the finish and a later promise, and is
// no sign of a missing link.
func muchFloat(in *Input, r *network.Result) (tasks, links []string) {
	counts := func(i int) bool {
		return in.Network.Tasks[i].Kind != calendar.Elapsed && in.Network.Tasks[i].ActualFinish == nil
	}
	shared := calendar.Minutes(math.MaxInt64)
	for i, t := range r.Tasks {
		if counts(i) {
			shared = min(shared, max(0, t.TotalFloat))
		}
	}
	for i, t := range r.Tasks {
		if counts(i) && t.TotalFloat-shared > in.Limits.MuchFloat {
			tasks = append(tasks, t.ID)
		}
	}
	return tasks, nil
}

func linksWhere(is func(*Input, network.Link) bool) func(*Input, *network.Result) ([]string, []string) {
	return func(in *Input, _ *network.Result) (tasks, links []string) {
		for _, l := range in.Network.Links {
			if is(in, l) {
				links = append(links, l.ID)
			}
		}
		return nil, links
	}
}

// Example is the network's own example, looked over before anything is agreed.
func Example() Input { return Input{Network: network.Example(), Limits: StartingLimits()} }

package project

import (
	"fmt"

	"bareframe/internal/fault"
)

// Bounds of what is accepted.
const (
	MaxActivities = 5_000
	MaxResources  = 64
	MaxUnits      = 32_767
	MaxTime       = 1 << 24 // of all durations together
)

// Project is an instance: activities numbered from 0.
type Project struct {
	Durations []int32
	// Needs[i][k] are the units of resource k that activity i occupies.
	Needs      [][]int32
	Capacities []int32
	Arcs       []Arc
}

// Arc says that To starts at least Lag after From starts.
type Arc struct {
	From, To int32
	Lag      int32
}

// After returns the arc "To starts once From has finished".
func (p *Project) After(from, to int32) Arc { return Arc{from, to, p.Durations[from]} }

// Validate names the first thing wrong with the instance, as fault.Invalid
// "project-invalid". O(activities × resources + arcs).
func (p *Project) Validate() error {
	n := len(p.Durations)
	if n == 0 || n > MaxActivities || len(p.Needs) != n {
		return invalid("A project has 1 to %d activities, each with its needs; this has %d and %d.", MaxActivities, n, len(p.Needs))
	}
	if len(p.Capacities) > MaxResources {
		return invalid("A project has at most %d resources.", MaxResources)
	}
	var total int64
	for i, d := range p.Durations {
		if d < 0 {
			return invalid("Activity %d has the negative duration %d.", i, d)
		}
		total += int64(d)
		if len(p.Needs[i]) != len(p.Capacities) {
			return invalid("Activity %d states %d needs for %d resources.", i, len(p.Needs[i]), len(p.Capacities))
		}
		for k, need := range p.Needs[i] {
			if need < 0 || need > MaxUnits || p.Capacities[k] < 0 || p.Capacities[k] > MaxUnits {
				return invalid("Activity %d needs %d units of resource %d, which has %d; 0 to %d can be said.", i, need, k, p.Capacities[k], MaxUnits)
			}
		}
	}
	for _, a := range p.Arcs {
		if a.From < 0 || a.To < 0 || int(a.From) >= n || int(a.To) >= n || a.From == a.To {
			return invalid("An arc leads from %d to %d; there are activities 0 to %d.", a.From, a.To, n-1)
		}
		total += int64(max(a.Lag, -a.Lag))
	}
	if total > MaxTime {
		return invalid("Durations and lags come to %d units together; at most %d can be scheduled.", total, MaxTime)
	}
	return nil
}

// tooSmall reports whether some activity needs more of a resource than there is.
func (p *Project) tooSmall() bool {
	for i, needs := range p.Needs {
		for k, need := range needs {
			if need > p.Capacities[k] && p.Durations[i] > 0 {
				return true
			}
		}
	}
	return false
}

func invalid(format string, args ...any) error {
	return fault.New(fault.Invalid, "project-invalid", format, args...)
}

// Check names everything that is wrong with starts: it looks at each arc and each
// unit of time and knows nothing of how they were found. Slow on purpose.
func (p *Project) Check(starts []int32) []string {
	var out []string
	if len(starts) != len(p.Durations) {
		return []string{fmt.Sprintf("%d starts for %d activities", len(starts), len(p.Durations))}
	}
	end := int32(0)
	for i, s := range starts {
		if s < 0 {
			out = append(out, fmt.Sprintf("activity %d starts at %d", i, s))
			return out
		}
		end = max(end, s+p.Durations[i])
	}
	for _, a := range p.Arcs {
		if starts[a.To] < starts[a.From]+a.Lag {
			out = append(out, fmt.Sprintf("activity %d starts at %d, less than %d after activity %d at %d", a.To, starts[a.To], a.Lag, a.From, starts[a.From]))
		}
	}
	for t := range end {
		used := make([]int32, len(p.Capacities))
		for i, s := range starts {
			if s <= t && t < s+p.Durations[i] {
				for k, need := range p.Needs[i] {
					used[k] += need
				}
			}
		}
		for k, u := range used {
			if u > p.Capacities[k] {
				out = append(out, fmt.Sprintf("at %d resource %d has %d units in use of %d", t, k, u, p.Capacities[k]))
			}
		}
	}
	return out
}

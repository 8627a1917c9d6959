package domain

import (
	"fmt"
	"slices"
	"strings"

	"bareframe/internal/fault"
)

// PutRight says what work counts as having put right when judged points are
// expected. It is data, so that a shop that works otherwise can be told otherwise.
type PutRight struct {
	Note   string         `json:"note"`
	Rules  []PutRightRule `json:"rules"`
	Places []Place        `json:"places"`
}

// PutRightRule is what tasks of one phase put right, on the zones that a task
// names; with Everywhere a task that names no place covers the whole frame.
type PutRightRule struct {
	Phase      string        `json:"phase"` // its key
	Kinds      []TaskKind    `json:"kinds"`
	Everywhere bool          `json:"everywhere,omitempty"`
	Conditions []Condition   `json:"conditions"`
	Found      []FindingWhat `json:"found"`
}

// Place is what words that tasks use for several zones mean.
type Place struct {
	Words string     `json:"words"`
	Kinds []ZoneKind `json:"kinds,omitempty"`
	Zones []string   `json:"zones,omitempty"` // codes
}

// Validate names rules that say nothing and places that mean nothing.
func (p PutRight) Validate() error {
	var c fault.Collector
	for i, r := range p.Rules {
		if r.Phase == "" || len(r.Kinds) == 0 || len(r.Conditions)+len(r.Found) == 0 {
			c.Add(fmt.Sprintf("/rules/%d", i), "A rule names a phase, kinds of task, and what they put right.")
		}
	}
	for i, place := range p.Places {
		if place.Words == "" || len(place.Kinds)+len(place.Zones) == 0 {
			c.Add(fmt.Sprintf("/places/%d", i), "A place has words and zones or kinds of zone.")
		}
	}
	return c.Err("put-right-invalid")
}

// Zone says which work in force puts a zone right that looks like this, in words,
// or "": the first task of the agreed or estimated work that belongs to no option,
// because what an option does is what it says it buys. Of work on the whole frame
// it is the phase.
func (p PutRight) Zone(e Estimate, z Zone, c Condition) string {
	return p.by(e, z, func(r PutRightRule) bool { return slices.Contains(r.Conditions, c) })
}

// Finding is Zone for what was found on a zone.
func (p PutRight) Finding(e Estimate, z Zone, what FindingWhat) string {
	return p.by(e, z, func(r PutRightRule) bool { return slices.Contains(r.Found, what) })
}

func (p PutRight) by(e Estimate, z Zone, holds func(PutRightRule) bool) string {
	phases := map[ID]Phase{}
	for _, ph := range e.Phases {
		phases[ph.ID] = ph
	}
	for _, r := range p.Rules {
		if !holds(r) {
			continue
		}
		for _, t := range e.Tasks {
			if t.OptionID != "" || t.Scope == Outside || phases[t.PhaseID].Key != r.Phase || !slices.Contains(r.Kinds, t.Kind) || !p.covers(r, t.Zone, z) {
				continue
			}
			if strings.TrimSpace(t.Zone) == "" {
				return phases[t.PhaseID].Name
			}
			return t.Describe()
		}
	}
	return ""
}

func (p PutRight) covers(r PutRightRule, words string, z Zone) bool {
	if strings.TrimSpace(words) == "" {
		return r.Everywhere
	}
	named := folded(words)
	if named == folded(z.Name) || named == z.Code {
		return true
	}
	for _, place := range p.Places {
		if named == folded(place.Words) && (slices.Contains(place.Kinds, z.Kind) || slices.Contains(place.Zones, z.Code)) {
			return true
		}
	}
	return false
}

// folded writes words as a zone's code would be written.
func folded(words string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(words), func(r rune) bool { return r == ' ' || r == '-' || r == ',' }), "-")
}

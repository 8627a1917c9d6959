package domain

import (
	"fmt"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// Floor says how a task is done where all jobs share people and stations.
type Floor struct {
	// LongestBreakHours is the longest closed stretch that the work may be left
	// over, in elapsed hours. Nil: any; 0: all of it in one opening.
	LongestBreakHours *decimal.Decimal `json:"longest_break_hours,omitempty"`
	// Interruptible says that other work may come between.
	Interruptible bool `json:"interruptible,omitempty"`
	// Helpers are needed at the same time as the task's own crew.
	Helpers []Helper `json:"helpers,omitempty"`
}

// Helper is so many further people of one skill.
type Helper struct {
	Skill string `json:"skill"`
	Count int    `json:"count"`
}

// Bounds of what a task may ask of the floor.
const (
	MaxPeople  = 20 // at once on one task, crew and helpers
	maxHelpers = 8  // rows
	// MaxBreakHours is ten days: over a longer break nothing has to be kept fresh.
	MaxBreakHours = 240
)

// Same reports whether two say the same.
func (f Floor) Same(o Floor) bool {
	if (f.LongestBreakHours == nil) != (o.LongestBreakHours == nil) || f.Interruptible != o.Interruptible || !f.sameHelpers(o) {
		return false
	}
	return f.LongestBreakHours == nil || f.LongestBreakHours.Equal(*o.LongestBreakHours)
}

func (f Floor) sameHelpers(o Floor) bool {
	if len(f.Helpers) != len(o.Helpers) {
		return false
	}
	for i := range f.Helpers {
		if f.Helpers[i] != o.Helpers[i] {
			return false
		}
	}
	return true
}

// SameCrew reports whether two tasks need the same people.
func (t Task) SameCrew(o Task) bool {
	return t.Skill == o.Skill && t.Crew == o.Crew && t.Floor.sameHelpers(o.Floor)
}

// People is how many work at once, by whom the crew-hours are divided: the crew
// and its helpers.
func (t Task) People() int {
	n := t.Crew
	for _, h := range t.Floor.Helpers {
		n += h.Count
	}
	return n
}

// Needs lists how many people of each skill the task takes at once, its own skill
// first. Nobody is needed for a cure or sublet work, or for a hold without hours.
func (t Task) Needs() []Helper {
	if !t.Hours.High.IsPositive() && t.Kind != Work || t.Kind == Cure || t.Kind == Sublet {
		return nil
	}
	return append([]Helper{{t.Skill, max(1, t.Crew)}}, t.Floor.Helpers...)
}

// KeepsStation reports whether the task holds its station day and night: a cure
// that names a station stays in it, while a cure that names none frees the place.
func (t Task) KeepsStation() bool { return t.Kind == Cure && t.Station != "" }

func (t Task) validateFloor(c *fault.Collector, shop Shop) {
	if b := t.Floor.LongestBreakHours; b != nil && (b.IsNegative() || b.GreaterThan(decimal.NewFromInt(MaxBreakHours))) {
		c.Add("/floor/longest_break_hours", "A break is 0 to %d hours; leave it empty where the work may wait over any closed time.", MaxBreakHours)
	}
	if len(t.Floor.Helpers) > maxHelpers {
		c.Add("/floor/helpers", "A task has at most %d rows of helpers.", maxHelpers)
	}
	if len(t.Floor.Helpers) > 0 && !t.Hours.High.IsPositive() && !t.Follows {
		c.Add("/floor/helpers", "Nobody works on this task, so nobody can help with it.")
	}
	seen := map[string]bool{t.Skill: true}
	for i, h := range t.Floor.Helpers {
		at := fmt.Sprintf("/floor/helpers/%d", i)
		if _, known := shop.PriceBook.Rate(h.Skill); !known {
			c.Add(at+"/skill", "The price book has no skill %q; add its rate first.", h.Skill)
		} else if seen[h.Skill] {
			c.Add(at+"/skill", "%q is counted already; put all its people into one row.", h.Skill)
		}
		if seen[h.Skill] = true; h.Count < 1 || h.Count > MaxPeople {
			c.Add(at+"/count", "Helpers are 1 to %d people.", MaxPeople)
		}
	}
	if len(t.Floor.Helpers) > 0 && t.People() > MaxPeople {
		c.Add("/floor/helpers", "Crew and helpers together are at most %d people.", MaxPeople)
	}
}

// How much a late day of a job matters against those of other jobs.
const (
	MinWeight      = 1
	OrdinaryWeight = 5
	MaxWeight      = 9
)

// FloorRules is how the shop plans all its jobs together.
type FloorRules struct {
	// ReplanToleranceDays: a new plan replaces the old one by itself while no
	// promise moves by more days than this; with 0, while no car finishes on a later day.
	ReplanToleranceDays int `json:"replan_tolerance_days"`
	// PlanSeconds is how long a plan may be searched for.
	PlanSeconds int `json:"plan_seconds"`
}

// Bounds of the rules of the floor.
const (
	maxReplanTolerance = 30
	minPlanSeconds     = 1
	maxPlanSeconds     = 120
	ordinarySeconds    = 10
)

// FloorRules returns the shop's rules for its floor: no car on a later day, and ten seconds,
// until the owner says otherwise.
func (s ShopSettings) FloorRules() FloorRules {
	if s.Floor == nil {
		return FloorRules{PlanSeconds: ordinarySeconds}
	}
	return *s.Floor
}

func (s ShopSettings) floorFaults(c *fault.Collector) {
	f := s.FloorRules()
	if f.ReplanToleranceDays < 0 || f.ReplanToleranceDays > maxReplanTolerance {
		c.Add("/floor/replan_tolerance_days", "A new plan may replace the old one by itself within 0 to %d working days; with 0, while no car finishes on a later day.", maxReplanTolerance)
	}
	if f.PlanSeconds < minPlanSeconds || f.PlanSeconds > maxPlanSeconds {
		c.Add("/floor/plan_seconds", "A plan is searched for %d to %d seconds.", minPlanSeconds, maxPlanSeconds)
	}
}

package domain

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
)

// MaxHours bounds the hours of one task: a year of one person's working time.
const MaxHours = 2000

// MaxLagHours bounds a lag either way: a year of elapsed time.
const MaxLagHours = 8760

// Validate names what is wrong with a task as it was sent.
func (t Task) Validate(shop Shop) error {
	var c fault.Collector
	t.validateHours(&c)
	t.validateCrew(&c, shop)
	t.validateFloor(&c, shop)
	if !slices.Contains(pricing.TaxClasses(), t.TaxClass) {
		c.Add("/tax_class", "%q is not a tax class.", t.TaxClass)
	}
	if t.Kind == Hold && t.HoldPoint == "" {
		c.Add("/hold_point", "Say who must inspect or decide what before work goes on.")
	}
	for pointer, day := range map[string]Day{"/not_before": t.NotBefore, "/finish_by": t.FinishBy} {
		if _, err := ParseDay(string(day)); !day.IsZero() && err != nil {
			c.Add(pointer, "%s", fault.As(err).Detail)
		}
	}
	if !t.NotBefore.IsZero() && !t.FinishBy.IsZero() && t.FinishBy < t.NotBefore {
		c.Add("/finish_by", "The task would have to finish before it may start.")
	}
	return c.Err("task-invalid")
}

func (t Task) validateHours(c *fault.Collector) {
	h, most := t.Hours, decimal.NewFromInt(MaxHours)
	if h.Low.IsNegative() || h.High.GreaterThan(most) {
		c.Add("/hours", "Hours lie between 0 and %d.", MaxHours)
	}
	if h.Low.GreaterThan(h.Likely) {
		c.Add("/hours/low", "The lowest hours are more than the likely ones.")
	}
	if h.Likely.GreaterThan(h.High) {
		c.Add("/hours/high", "The highest hours are less than the likely ones.")
	}
	switch t.Kind {
	case Work:
		if !h.High.IsPositive() && !t.Follows {
			c.Add("/hours", "Work takes some hours; give low, likely and high.")
		}
	case Cure:
		if !t.ElapsedHours.IsPositive() || t.ElapsedHours.GreaterThan(decimal.NewFromInt(MaxLagHours)) {
			c.Add("/elapsed_hours", "A cure takes more than 0 and at most %d elapsed hours.", MaxLagHours)
		}
	case Sublet:
		if t.LeadDays < 1 || t.LeadDays > 400 {
			c.Add("/lead_days", "Sublet work is away for 1 to 400 working days.")
		}
	case Hold:
	default:
		c.Add("/kind", "A task is work, cure, sublet or hold.")
	}
	if t.Kind != Work && t.Kind != Hold && h.High.IsPositive() {
		c.Add("/hours", "Nobody works during a %s; its hours are 0.", t.Kind)
	}
}

func (t Task) validateCrew(c *fault.Collector, shop Shop) {
	works := t.Hours.High.IsPositive()
	if works && (t.Crew < 1 || t.Crew > 20) {
		c.Add("/crew", "Work needs a crew of 1 to 20.")
	}
	if _, known := shop.PriceBook.Rate(t.Skill); works && !known {
		c.Add("/skill", "The price book has no skill %q; add its rate first.", t.Skill)
	}
	if t.Station != "" && !slices.ContainsFunc(shop.Settings.Stations, func(s Station) bool { return s.Key == t.Station }) {
		c.Add("/station", "The shop has no station %q.", t.Station)
	}
}

// wrongMaxLag says what is wrong with the most time that a link leaves; empty, nothing.
func wrongMaxLag(least decimal.Decimal, most *decimal.Decimal) string {
	switch {
	case most == nil:
		return ""
	case most.Abs().GreaterThan(decimal.NewFromInt(MaxLagHours)):
		return fmt.Sprintf("A lag is at most %d hours either way.", MaxLagHours)
	case most.LessThan(least):
		return fmt.Sprintf("Not later than %s hours cannot be kept together with not earlier than %s hours.", most, least)
	}
	return ""
}

// Validate names what is wrong with a link, given the job's tasks.
func (l Link) Validate(e Estimate) error {
	var c fault.Collector
	if _, ok := e.Task(l.FromID); !ok {
		c.Add("/from_task_id", "This job has no such task.")
	}
	if _, ok := e.Task(l.ToID); !ok {
		c.Add("/to_task_id", "This job has no such task.")
	}
	if l.FromID == l.ToID {
		c.Add("/to_task_id", "A task cannot wait for itself.")
	}
	if l.LagHours.Abs().GreaterThan(decimal.NewFromInt(MaxLagHours)) {
		c.Add("/lag_hours", "A lag is at most %d hours either way.", MaxLagHours)
	}
	if why := wrongMaxLag(l.LagHours, l.MaxLagHours); why != "" {
		c.Add("/max_lag_hours", "%s", why)
	}
	switch l.Type {
	case network.FS, network.SS, network.FF, network.SF:
	default:
		c.Add("/type", "A link is FS, SS, FF or SF.")
	}
	if l.LagKind != calendar.Working && l.LagKind != calendar.Elapsed {
		c.Add("/lag_kind", "A lag counts working or elapsed time.")
	}
	for _, other := range e.Links {
		if other.ID != l.ID && other.FromID == l.FromID && other.ToID == l.ToID && other.Type == l.Type {
			c.Add("/to_task_id", "These two tasks are already linked %s.", l.Type)
		}
	}
	return c.Err("link-invalid")
}

// Validate names what is wrong with a line, given the job's estimate.
func (l Line) Validate(e Estimate) error {
	var c fault.Collector
	if _, ok := e.Phase(l.PhaseID); !ok {
		c.Add("/phase_id", "This job has no such phase.")
	}
	if _, ok := e.Option(l.OptionID); l.OptionID != "" && !ok {
		c.Add("/option_id", "This job has no such option.")
	}
	if l.TaskID != "" {
		if task, ok := e.Task(l.TaskID); !ok {
			c.Add("/task_id", "This job has no such task.")
		} else if task.PhaseID != l.PhaseID {
			c.Add("/task_id", "That task belongs to another phase.")
		}
	}
	if !KnownUnit(l.Unit) {
		c.Add("/unit", "%q is not a unit the shop counts in.", l.Unit)
	}
	for _, f := range []struct {
		pointer string
		value   decimal.Decimal
	}{{"/quantity", l.Quantity}, {"/unit_cost", l.UnitCost}, {"/markup_percent", l.MarkupPercent}, {"/waste_percent", l.WastePercent}, {"/discount_percent", l.DiscountPercent}} {
		if f.value.IsNegative() {
			c.Add(f.pointer, "This is not negative; a credit is a kind of line.")
		}
	}
	if l.DiscountPercent.GreaterThan(hundred) {
		c.Add("/discount_percent", "A discount is at most 100 percent.")
	}
	if l.Kind == pricing.Credit && l.DiscountPercent.IsPositive() {
		c.Add("/discount_percent", "A credit takes no discount; make the credit smaller.")
	}
	if l.Kind != pricing.Material && l.WastePercent.IsPositive() {
		c.Add("/waste_percent", "Only material is wasted.")
	}
	if l.Kind != pricing.Material && l.Kind != pricing.Sublet && l.MarkupPercent.IsPositive() {
		c.Add("/markup_percent", "Only material and sublet work carry a markup.")
	}
	if l.Kind == pricing.Labour || !slices.Contains(pricing.Kinds(), l.Kind) {
		c.Add("/kind", "A line is material, sublet, fee, allowance, credit or reserve; labour follows from the tasks.")
	}
	if !slices.Contains(pricing.TaxClasses(), l.TaxClass) {
		c.Add("/tax_class", "%q is not a tax class.", l.TaxClass)
	}
	return c.Err("line-invalid")
}

// ValidatePhaseName refuses a phase that another of the job's phases is called.
func (e Estimate) ValidatePhaseName(id ID, name string) error {
	for _, p := range e.Phases {
		if p.ID != id && p.Name == name {
			return fault.InvalidField("phase-name-taken", "/name", "This job already has a phase %q.", name)
		}
	}
	return nil
}

// ValidateCode refuses a code that another of the job's tasks bears.
func (e Estimate) ValidateCode(id ID, code string) error {
	for _, t := range e.Tasks {
		if t.ID != id && t.Code == code {
			return fault.InvalidField("task-code-taken", "/code", "%s is already the code of %q.", code, t.Name)
		}
	}
	return nil
}

// NextPosition returns the place after the last of n items that are numbered
// from 1.
func NextPosition[T any](items []T, position func(T) int) int {
	last := 0
	for _, it := range items {
		last = max(last, position(it))
	}
	return last + 1
}

// Describe names a task for a sentence: its code and name.
func (t Task) Describe() string { return fmt.Sprintf("%s %s", t.Code, t.Name) }

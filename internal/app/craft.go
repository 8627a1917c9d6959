package app

import (
	"strings"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/method"
)

// checkCraft refuses a template whose figures or rules cannot be worked with: units
// that do not come out, names that neither the takeoff, nor its tasks, nor the price
// book know. A refusal points below at.
func (a *App) checkCraft(at string, plan domain.TemplatePlan, book domain.PriceBook) error {
	system := a.takeoff
	if plan.Takeoff != nil {
		system = plan.Takeoff
		if err := plan.Takeoff.Validate(); err != nil {
			return pointedBelow(at+"/takeoff", err)
		}
	}
	if plan.Methods == nil {
		return nil
	}
	known := method.Known{Quantities: (&craft{system: system}).quantities(), Materials: supplied(book)}
	for _, t := range plan.Tasks {
		known.Tasks = append(known.Tasks, method.Named{Key: t.Key, Name: t.Name})
	}
	return pointedBelow(at+"/methods", plan.Methods.Check(known))
}

// pointedBelow has a refusal of a part point into the whole.
func pointedBelow(at string, err error) error {
	e := fault.As(err)
	if e == nil {
		return err
	}
	own := *e
	own.Fields = make([]fault.Field, len(e.Fields))
	for i, f := range e.Fields {
		own.Fields[i] = fault.Field{Pointer: at + strings.TrimPrefix(f.Pointer, "/system"), Detail: f.Detail}
	}
	return &own
}

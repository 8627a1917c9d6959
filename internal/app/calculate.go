package app

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"bareframe/internal/billing"
	"bareframe/internal/calendar"
	"bareframe/internal/coating"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/health"
	"bareframe/internal/levelling"
	"bareframe/internal/method"
	"bareframe/internal/network"
	"bareframe/internal/points"
	"bareframe/internal/policy"
	"bareframe/internal/pricing"
	"bareframe/internal/pricing/localrules"
	"bareframe/internal/repair"
	"bareframe/internal/takeoff"
)

// Calculation is an engine that runs on plain values, without a store.
type Calculation struct {
	Name    string
	Summary string
	Example any
	run     func(input []byte) (any, error)
}

var calculations = []Calculation{
	{"pricing", "Lines to totals: waste, markup, discounts, tax per document or line, deposit and draws.", pricing.Example(), runs(pricing.Calculate)},
	{"network", "Tasks and links to early and late dates, floats, and the chain that drives the finish.", network.Example(), runs(network.Calculate)},
	{"health", "A network to what makes its dates unreliable, heaviest first, and what to do about each.", health.Example(), runs(health.Examine)},
	{"calendar", "A start and a duration, working or elapsed, to the finish on a shop's calendar.", calendarExample(), runs(calendar.Calculate)},
	{"localrules", "A rule set and two prices to whether a new consent is due, and what its record still has to name.", localrules.Example(), runs(localrules.Calculate)},
	{"repair", "A repair list and a finding to the repairs that answer it, with size, hours and materials.", repair.Example(), runs(repair.Suggest)},
	{"method", "Rules of work and the quantities of a frame's zones to hours and materials of tasks, each opened to its zones.", method.Example(), runs(method.Compute)},
	{"stop-now", "Work done, things fitted and ordered, and payments to what is owed if the work stops today.", billing.StopNowExample(), runs(billing.StopNow)},
	{"watch", "Work done and invoices against the authorised amount: go on, warn or stop, and what is left.", billing.WatchExample(), runs(billing.Watch)},
	{"points", "A judged sheet, a car as found and options to expected deductions, cost per point, and the best set within a budget with its proof.", points.Example(), runs(points.Calculate)},
	{"coating", "A film to how far a litre goes, how thick to apply it wet, and paint and thinner for a surface.", coating.Example(), runs(coating.Compute)},
	{"levelling", "All jobs of a shop with its people, stations and calendars to a plan: who does what, where and when, and what is late.", levelling.Example(), runs(levelling.Compute)},
	{"takeoff", "Zones of a frame to areas, weights, blasting, patches, weld, coats, and the cans, sheets and bags to buy.", takeoff.Example(), runs(takeoff.Compute)},
}

// Calculations lists the engines that run on plain values.
func Calculations() []Calculation { return calculations }

// Calculate runs a named engine on JSON. Unknown fields, trailing text and
// wrong types are refused as Invalid.
func Calculate(name string, input []byte) (any, error) {
	for _, c := range calculations {
		if c.Name == name {
			return c.run(input)
		}
	}
	return nil, fault.New(fault.NotFound, "calculation-not-found", "There is no calculation %q.", name)
}

// CalculateFor is Calculate for a signed-in actor.
func (a *App) CalculateFor(actor domain.Actor, name string, input []byte) (any, error) {
	if err := policy.Allow(actor, "calculate"); err != nil {
		return nil, err
	}
	return Calculate(name, input)
}

// CalculationsFor is Calculations for a signed-in actor.
func (a *App) CalculationsFor(actor domain.Actor) ([]Calculation, error) {
	if err := policy.Allow(actor, "listCalculations"); err != nil {
		return nil, err
	}
	return calculations, nil
}

func runs[In, Out any](engine func(In) (Out, error)) func([]byte) (any, error) {
	return func(raw []byte) (any, error) {
		var in In
		d := json.NewDecoder(bytes.NewReader(raw))
		d.DisallowUnknownFields()
		if err := d.Decode(&in); err != nil {
			return nil, unreadable(err)
		}
		if _, err := d.Token(); !errors.Is(err, io.EOF) {
			return nil, fault.New(fault.Invalid, "input-not-readable", "There is text after the JSON value.")
		}
		return engine(in)
	}
}

// unreadable turns a decoding error into a refusal that names the place.
func unreadable(err error) error {
	var wrongType *json.UnmarshalTypeError
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &wrongType):
		pointer := "/" + strings.ReplaceAll(wrongType.Field, ".", "/")
		return fault.InvalidField("input-not-readable", pointer, "A %s does not belong here; it must be a %s.", wrongType.Value, wrongType.Type)
	case errors.As(err, &syntax):
		return fault.New(fault.Invalid, "input-not-readable", "This is not JSON: %s at byte %d.", syntax.Error(), syntax.Offset)
	}
	return fault.New(fault.Invalid, "input-not-readable", "%s", fmt.Sprint("The input cannot be read: ", strings.TrimPrefix(err.Error(), "json: "), "."))
}

// calendarExample adds ten working hours to a Friday afternoon.
func calendarExample() calendar.Input {
	spec := StartingCalendar()
	spec.TimeZone = "Europe/Vienna"
	return calendar.Input{Calendar: spec, Start: time.Date(2027, 1, 15, 14, 0, 0, 0, time.UTC), Duration: 600, Kind: calendar.Working}
}

package domain

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
)

// Bounds of one template. They are those of a job, which is made from it.
const (
	MaxTemplateTasks  = 1000
	MaxTemplateLinks  = 5000
	MaxTemplateLines  = 2000
	MaxTemplatePhases = 100
	maxVehicleOptions = 20
	maxChoices        = 20
	maxTemplateTexts  = 100
	maxTemplateFaults = 200
)

// TemplateGround is what the names in a template are looked up in: the shop with
// its price book as it holds today, and the codes of the frame layouts.
type TemplateGround struct {
	Shop   Shop
	Frames []string
}

// templateCheck gathers what is wrong with a plan, by JSON pointers into it.
type templateCheck struct {
	p       TemplatePlan
	ground  TemplateGround
	e       Estimate // the whole plan, whatever the vehicle; keys stand for IDs
	phases  map[string]bool
	tasks   map[string]bool
	options map[string]bool
	faults  fault.Collector
	n       int
}

// Validate names every row of a plan that no job could be made from, with JSON
// pointers into the plan such as /tasks/3/hours/low. Circles among the links are
// not looked for here; scheduling finds them. O(rows), but for lines, which are
// looked up in the tasks.
func (p TemplatePlan) Validate(ground TemplateGround) error {
	c := &templateCheck{p: p, ground: ground, phases: map[string]bool{}, tasks: map[string]bool{}, options: map[string]bool{"": true}}
	if !c.fits() {
		return c.faults.Err("template-too-large")
	}
	c.head()
	c.vehicle()
	c.rows()
	c.eachOption()
	c.eachTask()
	c.eachLink()
	c.eachLine()
	return c.faults.Err("template-invalid")
}

func (c *templateCheck) add(pointer, detail string, args ...any) {
	if c.n++; c.n <= maxTemplateFaults {
		c.faults.Add(pointer, detail, args...)
	}
}

// under re-points the faults of a row into the plan.
func (c *templateCheck) under(at string, err error, rename map[string]string) {
	e := fault.As(err)
	if e == nil {
		return
	}
	for _, f := range e.Fields {
		pointer := f.Pointer
		if to, ok := rename[pointer]; ok {
			pointer = to
		}
		c.add(at+pointer, "%s", f.Detail)
	}
}

func (c *templateCheck) fits() bool {
	for _, b := range []struct {
		pointer, what string
		n, most       int
	}{
		{"/vehicle_options", "vehicle options", len(c.p.VehicleOptions), maxVehicleOptions}, {"/phases", "phases", len(c.p.Phases), MaxTemplatePhases},
		{"/tasks", "tasks", len(c.p.Tasks), MaxTemplateTasks}, {"/links", "links", len(c.p.Links), MaxTemplateLinks},
		{"/lines", "lines", len(c.p.Lines), MaxTemplateLines}, {"/options", "options", len(c.p.Options), MaxOptions},
		{"/cautions", "cautions", len(c.p.Cautions), maxTemplateTexts},
	} {
		if b.n > b.most {
			c.add(b.pointer, "A template has at most %d %s; here are %d.", b.most, b.what, b.n)
		}
	}
	return c.n == 0
}

func (c *templateCheck) head() {
	if strings.TrimSpace(c.p.Name) == "" {
		c.add("/name", "A template has a name.")
	}
	if c.p.Frame != "" && !slices.Contains(c.ground.Frames, c.p.Frame) {
		c.add("/frame", "There is no frame layout %q.", c.p.Frame)
	}
	if len(c.p.Phases) == 0 {
		c.add("/phases", "A template has a phase at least.")
	}
	for _, key := range slices.Sorted(maps.Keys(c.p.Cautions)) {
		if key == "" || strings.TrimSpace(c.p.Cautions[key]) == "" {
			c.add("/cautions", "The caution %q has no text.", key)
		}
	}
}

func (c *templateCheck) vehicle() {
	seen := map[string]bool{}
	for i, o := range c.p.VehicleOptions {
		at := fmt.Sprintf("/vehicle_options/%d", i)
		c.unique(seen, at+"/key", "vehicle option", o.Key)
		if len(o.Choices) < 1 || len(o.Choices) > maxChoices {
			c.add(at+"/choices", "A vehicle option has 1 to %d choices.", maxChoices)
		}
		choices := map[string]bool{}
		for j, choice := range o.Choices {
			c.unique(choices, fmt.Sprintf("%s/choices/%d/key", at, j), "choice", choice.Key)
		}
	}
}

// unique notes a key that is missing or stands twice.
func (c *templateCheck) unique(seen map[string]bool, pointer, what, key string) {
	switch {
	case key == "":
		c.add(pointer, "This %s has no key.", what)
	case seen[key]:
		c.add(pointer, "The %s %s stands twice.", what, key)
	}
	seen[key] = true
}

// rows takes phases, tasks and options together as one estimate.
func (c *templateCheck) rows() {
	c.e = c.p.Whole()
	names := map[string]bool{}
	for i, ph := range c.p.Phases {
		c.unique(c.phases, fmt.Sprintf("/phases/%d/key", i), "phase", ph.Key)
		if names[ph.Name] {
			c.add(fmt.Sprintf("/phases/%d/name", i), "Another phase is called %q too.", ph.Name)
		}
		names[ph.Name] = true
	}
	for i, o := range c.p.Options {
		c.unique(c.options, fmt.Sprintf("/options/%d/key", i), "option", o.Key)
		c.e.Options = append(c.e.Options, Option{ID: o.Key, Group: o.Group, Name: o.Name, Points: o.Points})
	}
	for i, t := range c.p.Tasks {
		c.unique(c.tasks, fmt.Sprintf("/tasks/%d/key", i), "task", t.Key)
	}
}

// Task is the task of a job that a template's becomes, with keys for IDs.
func (t TemplateTask) Task() Task {
	class := t.TaxClass
	if class == "" {
		class = pricing.RepairLabour
	}
	return Task{ID: t.Key, PhaseID: t.Phase, Code: t.Key, Name: t.Name, Note: t.Note, Kind: t.Kind, Hours: t.Hours, ElapsedHours: t.ElapsedHours,
		LeadDays: t.LeadDays, Skill: t.Skill, Crew: t.Crew, Station: t.Station, Zone: t.Zone, Cautions: t.Cautions, HoldPoint: t.HoldPoint,
		StripGate: t.StripGate, TaxClass: class, Scope: Estimated, OptionID: t.Option, Floor: t.Floor}
}

func (c *templateCheck) when(at string, w When) {
	for _, key := range slices.Sorted(maps.Keys(w)) {
		i := slices.IndexFunc(c.p.VehicleOptions, func(o VehicleOption) bool { return o.Key == key })
		if i < 0 {
			c.add(at+"/when", "The template has no vehicle option %q.", key)
			continue
		}
		if len(w[key]) == 0 {
			c.add(at+"/when", "No choice of %s is named, so this would never be done.", c.p.VehicleOptions[i].Name)
		}
		for _, value := range w[key] {
			if !slices.ContainsFunc(c.p.VehicleOptions[i].Choices, func(ch OptionChoice) bool { return ch.Key == value }) {
				c.add(at+"/when", "%s has no choice %q.", c.p.VehicleOptions[i].Name, value)
			}
		}
	}
}

func (c *templateCheck) eachOption() {
	for i, o := range c.p.Options {
		at := fmt.Sprintf("/options/%d", i)
		if strings.TrimSpace(o.Name) == "" {
			c.add(at+"/name", "An option has a name.")
		}
		c.under(at, c.e.Options[i].Validate(c.e), nil)
		c.when(at, o.When)
	}
}

// taskCode is how a task is called in a job: what hours are logged to.
var taskCode = regexp.MustCompile(`^[A-Za-z0-9.-]{1,12}$`)

func (c *templateCheck) eachTask() {
	for i, t := range c.p.Tasks {
		at, task := fmt.Sprintf("/tasks/%d", i), c.e.Tasks[i]
		if t.Key != "" && !taskCode.MatchString(t.Key) {
			c.add(at+"/key", "A code is 1 to 12 of letters, digits, points and hyphens.")
		}
		if strings.TrimSpace(t.Name) == "" {
			c.add(at+"/name", "A task has a name.")
		}
		if !c.phases[t.Phase] {
			c.add(at+"/phase", "The template has no phase %q.", t.Phase)
		}
		for j, key := range t.Cautions {
			if _, known := c.p.Cautions[key]; !known {
				c.add(fmt.Sprintf("%s/cautions/%d", at, j), "The template has no text for the caution %q.", key)
			}
		}
		c.under(at, task.Validate(c.ground.Shop), nil)
		c.under(at, task.ValidateGate(c.e), map[string]string{"/option_id": "/option"})
		c.when(at, t.When)
	}
}

func (c *templateCheck) eachLink() {
	type pair struct {
		from, to string
		kind     network.LinkType
	}
	seen, most := map[pair]bool{}, decimal.NewFromInt(MaxLagHours)
	for i, l := range c.p.Links {
		at := fmt.Sprintf("/links/%d", i)
		if !c.tasks[l.From] {
			c.add(at+"/from", "The template has no task %q.", l.From)
		}
		if !c.tasks[l.To] {
			c.add(at+"/to", "The template has no task %q.", l.To)
		}
		if l.From == l.To {
			c.add(at+"/from", "%s cannot wait for itself.", l.To)
		}
		if !slices.Contains([]network.LinkType{network.FS, network.SS, network.FF, network.SF}, l.Type) {
			c.add(at+"/type", "A link is FS, SS, FF or SF.")
		}
		if l.LagKind != calendar.Working && l.LagKind != calendar.Elapsed {
			c.add(at+"/lag_kind", "A lag counts working or elapsed time.")
		}
		if l.LagHours.Abs().GreaterThan(most) {
			c.add(at+"/lag_hours", "A lag is at most %d hours either way.", MaxLagHours)
		}
		if why := wrongMaxLag(l.LagHours, l.MaxLagHours); why != "" {
			c.add(at+"/max_lag_hours", "%s", why)
		}
		if key := (pair{l.From, l.To, l.Type}); seen[key] {
			c.add(at+"/from", "%s and %s are already linked %s.", l.From, l.To, l.Type)
		} else {
			seen[key] = true
		}
	}
}

func (c *templateCheck) eachLine() {
	keys, phaseOf := map[string]bool{}, map[string]string{}
	for _, t := range c.p.Tasks {
		phaseOf[t.Key] = t.Phase
	}
	for i, l := range c.p.Lines {
		at := fmt.Sprintf("/lines/%d", i)
		c.unique(keys, at+"/key", "line", l.Key)
		switch phase, known := phaseOf[l.Task]; {
		case l.Task != "" && !known:
			c.add(at+"/task", "The template has no task %q.", l.Task)
		case l.Task != "":
			l.Phase = phase // it goes with its task
		case !c.phases[l.Phase]:
			c.add(at+"/phase", "The template has no phase %q.", l.Phase)
		}
		c.line(at, l)
		c.when(at, l.When)
	}
}

// line holds a line against the rules of a job's line. Where it names a material,
// the price book says unit, cost and the rest.
func (c *templateCheck) line(at string, l TemplateLine) {
	line := Line{ID: l.Key, PhaseID: l.Phase, Kind: l.Kind, Description: l.Description, Quantity: l.Quantity, Unit: l.Unit, UnitCost: l.UnitCost,
		MarkupPercent: l.MarkupPercent, WastePercent: l.WastePercent, DiscountPercent: l.DiscountPercent, TaxClass: l.TaxClass, OptionID: l.Option}
	if l.Material != "" {
		m, known := c.ground.Shop.PriceBook.Material(l.Material)
		if !known {
			c.add(at+"/material", "The price book has no material %q today; add it there or price the line here.", l.Material)
			m = Material{Unit: "pc", TaxClass: pricing.MaterialClass}
		}
		line.Unit, line.UnitCost, line.TaxClass = m.Unit, m.UnitCost, m.TaxClass
		line.MarkupPercent, line.WastePercent = decimal.Zero, decimal.Zero
	} else if strings.TrimSpace(l.Description) == "" {
		c.add(at+"/description", "Say what this line is for.")
	}
	if len(c.p.Phases) > 0 && !c.phases[l.Phase] {
		line.PhaseID = c.p.Phases[0].Key // said already
	}
	c.under(at, line.Validate(c.e), map[string]string{"/option_id": "/option", "/phase_id": "/phase"})
}

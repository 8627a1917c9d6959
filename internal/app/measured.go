package app

import (
	"strconv"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/method"
	"bareframe/internal/takeoff"
)

// craft is how a job is taken off: the shop's figures, and its rules ready to apply.
type craft struct {
	system *takeoff.System // nil: nothing is taken off
	rules  *method.Prepared
	hours  map[string]bool // codes of tasks that rules make hours for
	goods  map[goods]bool  // materials that rules make, by task
}

// goods is a material of a task, by code and key.
type goods struct{ task, material string }

// mostCrafts bounds the templates whose rules are kept ready.
const mostCrafts = 64

// craftOf returns the takeoff and the methods that hold for a job: its template's
// own, else those that the program brings. They are read where they lie, as the
// repair list is. A stored template never changes, so what is made of it is kept.
func (a *App) craftOf(r Reader, job domain.Job) (*craft, error) {
	if job.TemplateID == "" {
		return a.crafted("", domain.TemplatePlan{})
	}
	if kept, ok := a.crafts.kept(job.TemplateID); ok {
		return kept, nil
	}
	template, err := r.Template(job.TemplateID)
	if err != nil && fault.KindOf(err) != fault.NotFound {
		return nil, err
	}
	return a.crafted(job.TemplateID, template.Plan)
}

func (a *App) crafted(key string, plan domain.TemplatePlan) (*craft, error) {
	return a.crafts.get(key, func() (*craft, error) { return a.newCraft(plan) })
}

func (a *App) newCraft(plan domain.TemplatePlan) (*craft, error) {
	c := &craft{system: a.takeoff, hours: map[string]bool{}, goods: map[goods]bool{}}
	if plan.Takeoff != nil {
		c.system = plan.Takeoff
	}
	list := a.methods
	if plan.Methods != nil {
		list = *plan.Methods
	}
	var err error
	if c.rules, err = method.Prepare(list, method.Known{Quantities: c.quantities()}); err != nil {
		return nil, err
	}
	for _, rule := range list.Rules {
		if rule.Makes == method.Hours {
			c.hours[rule.Task] = true
		} else {
			c.goods[goods{rule.Task, rule.Material}] = true
		}
	}
	return c, nil
}

// quantitiesOf are the quantities that rules may use, in words.
func (c *craft) quantities() []method.Measure {
	if c.system == nil {
		return method.TakeoffQuantities()
	}
	coats := make([]method.Named, len(c.system.Coats))
	for i, c := range c.system.Coats {
		coats[i] = method.Named{Key: c.Key, Name: c.Name}
	}
	return method.TakeoffQuantities(coats...)
}

// measured is what the steel of a job comes to under its rules.
type measured struct {
	*craft
	job   domain.Job
	ways  domain.Ways // the job's, every stage named
	zones []zoneMeasured
	taken takeoff.Result // of the same zones in the same order
	made  method.Result
	// points is the deduction expected as found, where the job has a sheet; only
	// changes look at it.
	points *decimal.Decimal
}

// zoneMeasured is a zone with what it looks like and how it is worked.
type zoneMeasured struct {
	domain.Zone
	seen      domain.Observation // empty: nobody looked
	condition domain.Condition
	finish    domain.Finish
	ways      domain.Ways
	unfit     string // why its section could not be measured; its given surface counts
}

// measure takes a job off as it stands. It is about as much work as a price; see
// BenchmarkTakeoffOfAJob.
func (a *App) measure(r Reader, job domain.Job) (*measured, error) {
	c, err := a.craftOf(r, job)
	if err != nil {
		return nil, err
	}
	zones, err := r.Zones(job.ID)
	if err != nil {
		return nil, err
	}
	seen, err := r.Observations(job.ID)
	if err != nil {
		return nil, err
	}
	return a.measuredOf(c, job, zones, seen)
}

// measureKey names all that a takeoff follows from: zones, finish and methods move
// the version of the job, observations are only added and voided once, and the rules
// of a job never change.
type measureKey struct {
	job          versionKey
	seen, voided int
}

// mostMeasured bounds the takeoffs that are kept; one of 40 zones takes some 0.7 MB.
const mostMeasured = 8

// measuredFor is measure for reading, from memory where nothing moved.
func (a *App) measuredFor(r Reader, job domain.Job) (*measured, error) {
	seen, err := r.Observations(job.ID)
	if err != nil {
		return nil, err
	}
	key := measureKey{job: versionKey{job.ID, job.Version}, seen: len(seen)}
	for _, o := range seen {
		if o.VoidedAt != nil {
			key.voided++
		}
	}
	return a.takeoffs.get(key, func() (*measured, error) {
		c, err := a.craftOf(r, job)
		if err != nil {
			return nil, err
		}
		zones, err := r.Zones(job.ID)
		if err != nil {
			return nil, err
		}
		return a.measuredOf(c, job, zones, seen)
	})
}

func (a *App) measuredOf(c *craft, job domain.Job, zones []domain.Zone, seen []domain.Observation) (*measured, error) {
	m := &measured{craft: c, job: job, ways: job.Ways.Over(domain.FirstWays(c.rules.List()))}
	in := takeoff.Input{Zones: make([]takeoff.Zone, len(zones))}
	for i, z := range zones {
		m.zones = append(m.zones, m.looked(z, seen))
		in.Zones[i] = m.zones[i].measured()
	}
	if c.system == nil {
		m.taken.Zones = make([]takeoff.ZoneResult, len(zones))
		return m, nil
	}
	in.System = *c.system
	var err error
	if m.taken, err = takeoff.Compute(in); err != nil {
		return nil, err
	}
	m.made, err = c.rules.Compute(m.ruled())
	return m, err
}

// looked is a zone in its condition, with the finish and the methods that hold for it.
func (m *measured) looked(z domain.Zone, all []domain.Observation) zoneMeasured {
	out := zoneMeasured{Zone: z, condition: domain.Hidden, finish: m.job.Finish, ways: z.Ways.Over(m.ways)}
	if seen, ok := domain.ConditionOf(z.ID, all); ok {
		out.seen, out.condition = seen, seen.Condition
	}
	if z.Finish != "" {
		out.finish = z.Finish
	}
	if out.finish == "" {
		out.finish = domain.ShowFinish
	}
	return out
}

// measured is the zone for a takeoff. A zone from before sections were held
// against their thickness, or one that nobody measured, counts with its given surface.
func (z *zoneMeasured) measured() takeoff.Zone {
	out := z.Section.Measured(z.LengthMM, z.AreaM2)
	out.ID, out.Condition = z.ID, takeoff.Condition(z.condition)
	if err := fault.As(out.Check()); err != nil {
		z.unfit = err.Detail
		if len(err.Fields) > 0 {
			z.unfit = err.Fields[0].Detail
		}
		out = takeoff.Zone{ID: z.ID, Shape: takeoff.None, LengthMM: strconv.Itoa(z.LengthMM), AreaM2: z.AreaM2.String(), Condition: out.Condition}
	}
	if z.seen.Holed() {
		out.Hole = &takeoff.Hole{LengthMM: strconv.Itoa(z.seen.LengthMM), WidthMM: strconv.Itoa(z.seen.WidthMM)}
	}
	return out
}

// ruled are the zones with their quantities as rules read them.
func (m *measured) ruled() []method.Zone {
	out := make([]method.Zone, len(m.zones))
	for i, z := range m.zones {
		taken := m.taken.Zones[i].Quantities
		zone := method.Zone{ID: z.ID, Code: z.Code, Name: z.Name, Kind: method.Kind(z.Kind), Side: method.Side(z.Side),
			Condition: method.Condition(z.condition), Finish: method.Finish(z.finish), Methods: z.ways, Quantities: make([]method.Quantity, len(taken))}
		for j, q := range taken {
			zone.Quantities[j] = method.Quantity{Name: q.Name, Value: q.Value.String(), Unit: string(q.Unit)}
		}
		out[i] = zone
	}
	return out
}

// hoursOf are the hours that the rules ask for a task, none where they make
// nothing. ok is false for a task that no rule makes hours for, and for every task
// of a job without zones: there is nothing to measure.
func (m *measured) hoursOf(code string) (h domain.ThreePoint, ok bool) {
	if !m.craft.hours[code] || len(m.zones) == 0 {
		return h, false
	}
	for i := range m.made.Tasks {
		if t := &m.made.Tasks[i]; t.Task == code {
			return domain.ThreePoint{Low: t.Hours.Low, Likely: t.Hours.Likely, High: t.Hours.High}, true
		}
	}
	return domain.ThreePoint{Low: decimal.Zero, Likely: decimal.Zero, High: decimal.Zero}, true
}

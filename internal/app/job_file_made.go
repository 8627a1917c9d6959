package app

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/jobfile"
	"bareframe/internal/repair"
)

// importing is a job file on its way into a shop. Until it is written the file's
// own keys stand for IDs, so that every refusal speaks in them.
type importing struct {
	app  *App
	now  time.Time
	shop domain.Shop
	book domain.PriceBook // today's
	// currency is the file's, as the shop lists it: lines stay as they are, labour is
	// priced at the shop's rates in it.
	currency domain.ShopCurrency
	content  jobfile.Content
	mapping  jobfile.Mapping
	repairs  *repair.List

	skills, stations []MappedKey
	job              domain.Job
	e                domain.Estimate
	zones            []domain.Zone
	seen             []domain.Observation
	unknownPrices    int
	newTemplate      *domain.Template
	templates        []domain.Template
	faults           fault.Collector
}

func (a *App) beginImport(r Reader, request jobfile.Request) (*importing, error) {
	b := &importing{app: a, now: a.now(), content: request.File.Content, mapping: request.Mapping}
	var err error
	if b.shop, err = r.Shop(); err != nil {
		return nil, err
	}
	if b.templates, err = r.Templates(); err != nil {
		return nil, err
	}
	b.book = b.shop.PriceBook.On(domain.DayOf(b.now, b.shop.Zone()))
	var listed bool
	if b.currency, listed = b.shop.Settings.CurrencyFor(b.content.Job.Currency); !listed {
		return nil, fault.InvalidField("job-file-currency", inFile+"/job/currency", "The file is priced in %s, which this shop does not list; prices are not converted. Put its rate into the settings to quote in it, or have the file priced in %s.", b.content.Job.Currency, b.shop.Settings.Currency)
	}
	if raw := b.content.Job.Template.Repairs; raw != nil {
		list, err := repair.Parse(raw)
		if err != nil {
			return nil, within(inFile+"/job/template/repairs", err, nil)
		}
		b.repairs = &list
	}
	b.keys()
	return b, nil
}

// inFile is where the content lies in what was sent.
const inFile = "/file/content"

// within points a refusal of a row into the file, with the file's names for the
// fields that are called otherwise in the API.
func within(at string, err error, names map[string]string) error {
	e := fault.As(err)
	if e == nil {
		return err
	}
	out := *e
	out.Fields = make([]fault.Field, len(e.Fields))
	for i, f := range e.Fields {
		pointer := f.Pointer
		if other, ok := names[pointer]; ok {
			pointer = other
		}
		out.Fields[i] = fault.Field{Pointer: at + pointer, Detail: f.Detail}
	}
	return &out
}

// take gathers the fields of a refusal.
func (b *importing) take(at string, err error, names map[string]string) {
	if e := fault.As(within(at, err, names)); e != nil {
		for _, f := range e.Fields {
			b.faults.Add(f.Pointer, "%s", f.Detail)
		}
	}
}

// keys looks up every skill and station that the file uses.
func (b *importing) keys() {
	skills, stations := keysUsed(b.content.Estimate.Tasks, b.repairs)
	hasSkill := func(key string) bool { _, ok := b.book.Rate(key); return ok }
	hasStation := func(key string) bool {
		return key == "" || slices.ContainsFunc(b.shop.Settings.Stations, func(s domain.Station) bool { return s.Key == key })
	}
	b.skills = b.mappedKeys("skills", skills, b.content.Skills, b.mapping.Skills, hasSkill)
	b.stations = b.mappedKeys("stations", stations, b.content.Stations, b.mapping.Stations, hasStation)
}

// mappedKeys says what becomes of each key. What was chosen is held against the
// shop; a choice for what the file does not use is refused, because it was meant
// for another file.
func (b *importing) mappedKeys(what string, uses map[string]int, names []jobfile.Name, chosen map[string]string, has func(string) bool) []MappedKey {
	out := []MappedKey{}
	for _, n := range named(uses, func(key string) string { return nameIn(names, key) }) {
		k := MappedKey{Key: n.Key, Name: n.Name, Uses: uses[n.Key], Known: has(n.Key), Becomes: n.Key}
		if to, ok := chosen[n.Key]; ok {
			k.Becomes, k.Settled = to, has(to)
			if !k.Settled {
				b.faults.Add("/mapping/"+what+"/"+n.Key, "This shop has no %q among its %s.", to, what)
			}
		} else {
			k.Settled = k.Known
		}
		out = append(out, k)
	}
	for key := range chosen {
		if uses[key] == 0 {
			b.faults.Add("/mapping/"+what+"/"+key, "The file uses no %q among its %s.", key, what)
		}
	}
	return out
}

func nameIn(names []jobfile.Name, key string) string {
	for _, n := range names {
		if n.Key == key {
			return n.Name
		}
	}
	return ""
}

func (b *importing) settled() bool {
	open := func(k MappedKey) bool { return !k.Settled }
	return !slices.ContainsFunc(b.skills, open) && !slices.ContainsFunc(b.stations, open)
}

// mapped refuses wrong choices, and with all set those that are missing.
func (b *importing) mapped(all bool) error {
	for what, keys := range map[string][]MappedKey{"skills": b.skills, "stations": b.stations} {
		for _, k := range keys {
			if _, chosen := b.mappingOf(what)[k.Key]; all && !k.Settled && !chosen {
				b.faults.Add("/mapping/"+what+"/"+k.Key, "Choose which of this shop's %s %q becomes.", what, k.Key)
			}
		}
	}
	return b.faults.Err("job-file-unmapped")
}

func (b *importing) mappingOf(what string) map[string]string {
	if what == "skills" {
		return b.mapping.Skills
	}
	return b.mapping.Stations
}

func becomes(keys []MappedKey, key string) string {
	for _, k := range keys {
		if k.Key == key {
			return k.Becomes
		}
	}
	return key
}

// tried makes the job of the content, holds every row against the rules that an
// owner's own edits are held against, and prices and schedules the whole and what
// of it is in force.
func (b *importing) tried() (JobPage, error) {
	b.head()
	b.estimate()
	b.frame()
	if err := b.faults.Err("job-file-invalid"); err != nil {
		return JobPage{}, err
	}
	b.template()
	day := domain.DayOf(b.now, b.shop.Zone())
	if _, err := b.app.planOf(b.shop, b.job, b.e, nil, b.now); err != nil {
		return JobPage{}, within(inFile+"/estimate", err, nil)
	}
	page := JobPage{Shop: b.shop, Job: b.job, All: b.e, Estimate: b.e.InForce(), AsOf: b.now}
	if err := b.app.figured(&page, b.shop.BasisFor(b.job, day), nil, true); err != nil {
		return page, unpriced(err)
	}
	if err := page.withinReach(); err != nil {
		return page, err
	}
	return page, unpriced(b.app.everyOptionHolds(page))
}

// unpriced drops pointers that lead into a price and not into the file.
func unpriced(err error) error {
	e := fault.As(err)
	if e == nil {
		return err
	}
	out := *e
	out.Fields = []fault.Field{{Pointer: inFile + "/estimate", Detail: e.Detail}}
	return &out
}

func (b *importing) head() {
	j := b.content.Job
	b.job = domain.Job{Title: j.Title, State: domain.Enquiry, Weight: domain.OrdinaryWeight, TemplateName: j.Template.Name, FrameName: b.content.Frame.Name, VehicleOptions: []domain.VehicleOption{},
		Cautions: j.Cautions, NotBefore: domain.Day(j.NotBefore), Currency: b.currency.Code, ExchangeRate: b.currency.Rate, RateOn: b.currency.On,
		Vehicle: domain.Vehicle{Make: j.Vehicle.Make, Model: j.Vehicle.Model, Year: j.Vehicle.Year, Serial: j.Vehicle.Serial, Options: j.Vehicle.Options}}
	for _, o := range j.VehicleOptions {
		row := domain.VehicleOption{Key: o.Key, Name: o.Name}
		for _, c := range o.Choices {
			row.Choices = append(row.Choices, domain.OptionChoice{Key: c.Key, Name: c.Name})
		}
		b.job.VehicleOptions = append(b.job.VehicleOptions, row)
	}
	b.take(inFile+"/job", checkVehicle(b.job.Vehicle, b.job.VehicleOptions), nil)
}

// template finds the template whose repair list is the file's, so that what is
// found later is answered as it was there. A list of its own that no template here
// has comes as a template with the job's phases.
func (b *importing) template() {
	b.mapRepairs()
	for _, t := range b.templates {
		same := b.repairs != nil && reflect.DeepEqual(plainJSON(t.Plan.Repairs), plainJSON(b.repairs))
		if same || b.repairs == nil && t.Plan.Repairs == nil && t.Plan.Name == b.job.TemplateName {
			b.job.TemplateID = t.ID
			return
		}
	}
	if b.repairs == nil {
		return
	}
	plan := domain.TemplatePlan{Key: b.freeTemplateKey(), Name: clipped(b.job.TemplateName+" (from a job file)", 160),
		Description:    fmt.Sprintf("The repair list of a job of %s.", b.content.Source.Shop),
		VehicleOptions: b.job.VehicleOptions, Cautions: b.job.Cautions, Phases: []domain.TemplatePhase{}, Tasks: []domain.TemplateTask{},
		Links: []domain.TemplateLink{}, Lines: []domain.TemplateLine{}, Repairs: b.repairs}
	for i, p := range b.e.Phases {
		plan.Phases = append(plan.Phases, domain.TemplatePhase{Key: fmt.Sprint("phase_", i+1), Name: p.Name})
	}
	b.newTemplate = &domain.Template{Revision: 1, SavedAt: &b.now, Note: "Read from a job file.", Plan: plan}
}

func plainJSON(v any) (out any) {
	raw, _ := json.Marshal(v) // plain data always marshals
	_ = json.Unmarshal(raw, &out)
	return out
}

func (b *importing) mapRepairs() {
	if b.repairs == nil {
		return
	}
	for i, r := range b.repairs.Repairs {
		b.repairs.Repairs[i].Skill, b.repairs.Repairs[i].Station = becomes(b.skills, r.Skill), becomes(b.stations, r.Station)
	}
}

func (b *importing) freeTemplateKey() string {
	for n := 1; ; n++ {
		key := fmt.Sprint("from-a-job-file-", n)
		if !slices.ContainsFunc(b.templates, func(t domain.Template) bool { return strings.EqualFold(t.Plan.Key, key) }) {
			return key
		}
	}
}

package app

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/jobfile"
	"bareframe/internal/repair"
)

// ownRepairs is the repair list of a job's template, nil where the program's holds.
func ownRepairs(r Reader, job domain.Job) (*repair.List, error) {
	if job.TemplateID == "" {
		return nil, nil
	}
	t, err := r.Template(job.TemplateID)
	if fault.KindOf(err) == fault.NotFound {
		return nil, nil
	}
	return t.Plan.Repairs, err
}

// fileContent writes a job as the content of a file. Its order is the reading
// order of the estimate, so that equal jobs give equal files.
func fileContent(p JobPage, f FramePage, list *repair.List) (jobfile.Content, error) {
	out := jobfile.Content{Source: fileSource(p, f), Estimate: fileEstimate(p.All), Frame: fileFrame(f), Job: jobfile.Job{
		Title: p.Job.Title, Currency: p.Job.Currency, NotBefore: string(p.Job.NotBefore), Template: jobfile.Template{Name: p.Job.TemplateName},
		Vehicle:        jobfile.Vehicle{Make: p.Job.Vehicle.Make, Model: p.Job.Vehicle.Model, Year: p.Job.Vehicle.Year, Serial: p.Job.Vehicle.Serial, Options: orEmptyMap(p.Job.Vehicle.Options)},
		VehicleOptions: []jobfile.VehicleOption{}, Cautions: orEmptyMap(p.Job.Cautions)}}
	for _, o := range p.Job.VehicleOptions {
		row := jobfile.VehicleOption{Key: o.Key, Name: o.Name, Choices: []jobfile.Name{}}
		for _, c := range o.Choices {
			row.Choices = append(row.Choices, jobfile.Name{Key: c.Key, Name: c.Name})
		}
		out.Job.VehicleOptions = append(out.Job.VehicleOptions, row)
	}
	if list != nil {
		raw, err := json.Marshal(list)
		if err != nil {
			return out, err
		}
		out.Job.Template.Repairs = raw
	}
	skills, stations := keysUsed(out.Estimate.Tasks, list)
	out.Skills = named(skills, func(key string) string { r, _ := p.Shop.PriceBook.Rate(key); return r.Name })
	out.Stations = named(stations, func(key string) string { return stationName(p.Shop, key) })
	return out, nil
}

func orEmptyMap(m map[string]string) map[string]string {
	if m == nil {
		return map[string]string{}
	}
	return m
}

// keysUsed counts the skills and stations that tasks and repairs name.
func keysUsed(tasks []jobfile.Task, list *repair.List) (skills, stations map[string]int) {
	skills, stations = map[string]int{}, map[string]int{}
	for _, t := range tasks {
		skills[t.Skill]++
		stations[t.Station]++
		for _, h := range t.Helpers {
			skills[h.Skill]++
		}
	}
	if list != nil {
		for _, r := range list.Repairs {
			skills[r.Skill]++
			stations[r.Station]++
		}
	}
	delete(skills, "")
	delete(stations, "")
	return skills, stations
}

func named(keys map[string]int, name func(string) string) []jobfile.Name {
	out := []jobfile.Name{}
	for _, key := range slices.Sorted(maps.Keys(keys)) {
		out = append(out, jobfile.Name{Key: key, Name: name(key)})
	}
	return out
}

func stationName(shop domain.Shop, key string) string {
	for _, s := range shop.Settings.Stations {
		if s.Key == key {
			return s.Name
		}
	}
	return ""
}

func fileSource(p JobPage, f FramePage) jobfile.Source {
	zone := p.Shop.Zone()
	out := jobfile.Source{Shop: p.Shop.Settings.Name, JobNumber: p.Job.Number, State: string(p.Job.State), ExportedOn: string(domain.DayOf(p.AsOf, zone)),
		PhotosLeftOut: len(f.Photos), Total: p.Price.Totals.GrandTotal.String(), Quotes: []jobfile.Issued{}}
	if len(p.Estimate.Tasks) > 0 {
		out.Finish = string(domain.DayOf(p.Plan.Finish, zone))
	}
	for _, q := range p.Quotes {
		out.Quotes = append(out.Quotes, jobfile.Issued{Number: q.Number, State: string(q.StateAt(p.AsOf)),
			IssuedOn: string(domain.DayOf(q.IssuedAt, zone)), Total: q.AsAgreed().Total.String()})
	}
	return out
}

// fileEstimate writes the whole estimate, also what is not taken and what was
// added by change orders: elsewhere all of it is an estimate again.
func fileEstimate(e domain.Estimate) jobfile.Estimate {
	out := jobfile.Estimate{Phases: []jobfile.Phase{}, Options: []jobfile.Option{}, Tasks: []jobfile.Task{}, Links: []jobfile.Link{}, Lines: []jobfile.Line{}}
	phases, options, lines, codes, place := map[domain.ID]string{}, map[domain.ID]string{}, map[domain.ID]string{}, map[domain.ID]string{}, map[string]int{}
	for i, p := range e.Phases {
		phases[p.ID] = fmt.Sprint("p", i+1)
		out.Phases = append(out.Phases, jobfile.Phase{Key: phases[p.ID], Stage: p.Key, Name: p.Name})
	}
	for i, o := range e.Options {
		options[o.ID] = fmt.Sprint("o", i+1)
		out.Options = append(out.Options, fileOption(options[o.ID], o))
	}
	for i, l := range e.Lines {
		lines[l.ID] = fmt.Sprint("l", i+1)
	}
	for i, t := range e.Tasks {
		codes[t.ID], place[t.Code] = t.Code, i
		row := fileTask(t)
		row.Phase, row.Option, row.Allowance = phases[t.PhaseID], options[t.OptionID], lines[t.AllowanceLineID]
		out.Tasks = append(out.Tasks, row)
	}
	for _, l := range e.Links {
		out.Links = append(out.Links, jobfile.Link{From: codes[l.FromID], To: codes[l.ToID], Type: string(l.Type), LagHours: l.LagHours.String(), LagKind: string(l.LagKind), MaxLagHours: textOr(l.MaxLagHours)})
	}
	slices.SortStableFunc(out.Links, func(a, b jobfile.Link) int {
		return cmp.Or(cmp.Compare(place[a.From], place[b.From]), cmp.Compare(place[a.To], place[b.To]), strings.Compare(a.Type, b.Type))
	})
	for _, l := range e.Lines {
		out.Lines = append(out.Lines, jobfile.Line{Key: lines[l.ID], Phase: phases[l.PhaseID], Task: codes[l.TaskID], Kind: string(l.Kind), Description: l.Description,
			Quantity: l.Quantity.String(), Unit: l.Unit, UnitCost: l.UnitCost.String(), MarkupPercent: l.MarkupPercent.String(), WastePercent: l.WastePercent.String(),
			DiscountPercent: l.DiscountPercent.String(), TaxClass: string(l.TaxClass), Option: options[l.OptionID], PriceItem: l.PriceItem})
	}
	return out
}

func fileOption(key string, o domain.Option) jobfile.Option {
	out := jobfile.Option{Key: key, Group: o.Group, Name: o.Name, Note: o.Note, Taken: o.Taken, Points: []jobfile.Effect{}}
	for _, p := range o.Points {
		out.Points = append(out.Points, jobfile.Effect{ItemKey: p.ItemKey, Originality: p.Originality.String(), Condition: p.Condition.String()})
	}
	return out
}

func fileTask(t domain.Task) jobfile.Task {
	cautions := t.Cautions
	if cautions == nil {
		cautions = []string{}
	}
	row := jobfile.Task{Code: t.Code, Name: t.Name, Note: t.Note, Kind: string(t.Kind),
		Hours:        jobfile.Hours{Low: t.Hours.Low.String(), Likely: t.Hours.Likely.String(), High: t.Hours.High.String()},
		ElapsedHours: t.ElapsedHours.String(), LeadDays: t.LeadDays, Skill: t.Skill, Crew: t.Crew, Station: t.Station, Zone: t.Zone, Cautions: cautions,
		HoldPoint: t.HoldPoint, StripGate: t.StripGate, TaxClass: string(t.TaxClass), NotBefore: string(t.NotBefore), FinishBy: string(t.FinishBy), Interruptible: t.Floor.Interruptible}
	if t.Floor.LongestBreakHours != nil {
		row.LongestBreak = t.Floor.LongestBreakHours.String()
	}
	for _, h := range t.Floor.Helpers {
		row.Helpers = append(row.Helpers, jobfile.Helper{Skill: h.Skill, Count: h.Count})
	}
	return row
}

// fileFrame writes the zones, what was seen and stands, and what was found and not
// dismissed: as seen, because orders and consent that hang on a finding stay here.
func fileFrame(f FramePage) jobfile.Frame {
	out := jobfile.Frame{Name: f.Job.FrameName, Zones: []jobfile.Zone{}, Observations: []jobfile.Observation{}}
	codes := map[domain.ID]string{}
	for _, z := range f.Zones {
		codes[z.ID] = z.Code
		out.Zones = append(out.Zones, jobfile.Zone{Code: z.Code, Name: z.Name, Kind: string(z.Kind), Side: string(z.Side),
			Section:  jobfile.Section{Shape: z.Section.Shape, WidthMM: z.Section.WidthMM, HeightMM: z.Section.HeightMM, ThicknessMM: z.Section.ThicknessMM.String()},
			LengthMM: z.LengthMM, AreaM2: z.AreaM2.String(), VisiblePercent: z.VisiblePercent,
			Plan: jobfile.Plan{From: jobfile.Point(z.Plan.From), To: jobfile.Point(z.Plan.To), Width: z.Plan.Width}})
	}
	for _, o := range standing(f) {
		out.Observations = append(out.Observations, jobfile.Observation{Zone: codes[o.ZoneID], Moment: string(o.Moment), Condition: string(o.Condition),
			LengthMM: o.LengthMM, WidthMM: o.WidthMM, Note: o.Note, SeenAt: o.At.UTC().Truncate(time.Second).Format(time.RFC3339)})
	}
	slices.SortStableFunc(out.Observations, func(a, b jobfile.Observation) int {
		return cmp.Or(strings.Compare(a.SeenAt, b.SeenAt), strings.Compare(a.Zone, b.Zone), strings.Compare(a.Moment, b.Moment), strings.Compare(a.Note, b.Note))
	})
	return out
}

// standing are the observations that stand, and behind them the findings as what
// was seen at the latest survey.
func standing(f FramePage) []domain.Observation {
	out, latest := []domain.Observation{}, 0
	for _, o := range f.Observations {
		if o.VoidedAt == nil {
			out = append(out, o)
			latest = max(latest, slices.Index(domain.Moments(), o.Moment))
		}
	}
	moment := domain.Moments()[latest]
	if len(out) == 0 {
		moment = domain.Stripped
	}
	for _, x := range f.Findings {
		if x.State != domain.FindingDismissed {
			out = append(out, seenAs(x, moment))
		}
	}
	return out
}

// seenAs writes a finding as an observation. Where nobody said what the steel looks
// like it counts as hidden, which has no size; the note says all of it.
func seenAs(x domain.Finding, moment domain.Moment) domain.Observation {
	o := domain.Observation{ZoneID: x.ZoneID, Moment: moment, Condition: x.Condition, LengthMM: x.LengthMM, WidthMM: x.WidthMM, At: x.At}
	if o.Condition == "" {
		o.Condition = map[domain.FindingWhat]domain.Condition{domain.FoundPerforation: domain.Perforated, domain.FoundPatchOverRot: domain.Patched}[x.What]
	}
	if o.Condition == "" || o.Condition == domain.Hidden {
		o.Condition, o.LengthMM, o.WidthMM = domain.Hidden, 0, 0
	}
	words := fmt.Sprintf("Finding %d: %s", x.Number, strings.ReplaceAll(string(x.What), "_", " "))
	if x.Count > 1 {
		words += fmt.Sprintf(", %d alike", x.Count)
	}
	if x.LengthMM > 0 || x.WidthMM > 0 {
		words += fmt.Sprintf(", %d × %d mm", x.LengthMM, x.WidthMM)
	}
	o.Note = clipped(strings.TrimSpace(words+". "+x.Note), mostNote)
	return o
}

// mostNote is how long a note may be, in characters.
const mostNote = 4000

func clipped(text string, most int) string {
	if letters := []rune(text); len(letters) > most {
		return string(letters[:most])
	}
	return text
}

// textOr is a figure as text; none is empty.
func textOr(d *decimal.Decimal) string {
	if d == nil {
		return ""
	}
	return d.String()
}

// figureOr is textOr the other way.
func figureOr(text string) *decimal.Decimal {
	if text == "" {
		return nil
	}
	d := figure(text)
	return &d
}

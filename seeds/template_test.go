package seeds_test

import (
	"fmt"
	"math/big"
	"slices"
	"strings"
	"testing"
)

// problems collects what is wrong, each with the key of the thing it is about.
type problems []string

func (p *problems) want(ok bool, format string, args ...any) {
	if !ok {
		*p = append(*p, fmt.Sprintf(format, args...))
	}
}

// mention says whether one of the problems contains the text.
func (p problems) mention(text string) bool {
	return slices.ContainsFunc(p, func(s string) bool { return strings.Contains(s, text) })
}

func (p *problems) hours(key string, h hours) {
	for _, s := range []string{h.Low, h.Likely, h.High} {
		p.want(twoPlaces.MatchString(s), "%s: hours %q, want two places", key, s)
	}
	p.want(dec(h.Low).Cmp(dec(h.Likely)) <= 0 && dec(h.Likely).Cmp(dec(h.High)) <= 0, "%s: hours %v out of order", key, h)
}

func (p *problems) condition(key string, w when, options []option) {
	for k, choices := range w {
		i := slices.IndexFunc(options, func(o option) bool { return o.Key == k })
		p.want(i >= 0 && len(choices) > 0, "%s: when asks for option %q", key, k)
		for _, c := range choices {
			p.want(i >= 0 && slices.ContainsFunc(options[i].Choices, func(x choice) bool { return x.Key == c }), "%s: option %s has no choice %q", key, k, c)
		}
	}
}

func (p *problems) task(t task, tp template) {
	k := t.Key
	p.want(keyShape.MatchString(k), "task key %q", k)
	p.want(t.Name != "" && t.Note != "", "%s: name or note missing", k)
	p.want(label.MatchString(t.Name) && len(t.Note) <= 4000 && len(t.HoldPoint) <= 4000, "%s: text that openapi.yaml refuses", k)
	p.want(slices.ContainsFunc(tp.Phases, func(c choice) bool { return c.Key == t.Phase }), "%s: phase %q", k, t.Phase)
	p.want(slices.Contains(stations, t.Station), "%s: station %q", k, t.Station)
	p.want(t.TaxClass == "" || slices.Contains(taxClasses, t.TaxClass), "%s: tax class %q", k, t.TaxClass)
	p.want((t.HoldPoint != "") == (t.Kind == "hold"), "%s: kind %s with hold point %q", k, t.Kind, t.HoldPoint)
	p.want((t.ElapsedHours != "") == (t.Kind == "cure"), "%s: kind %s with elapsed hours %q", k, t.Kind, t.ElapsedHours)
	p.want((t.LeadDays != "") == (t.Kind == "sublet"), "%s: kind %s with lead days %q", k, t.Kind, t.LeadDays)
	p.want((t.Skill != "" && t.Crew > 0) == (t.Kind == "work"), "%s: kind %s with skill %q and crew %d", k, t.Kind, t.Skill, t.Crew)
	p.want((t.Hours != nil) == (t.Kind == "work" || t.Kind == "hold"), "%s: kind %s, hours %v", k, t.Kind, t.Hours)
	for _, c := range t.Cautions {
		p.want(tp.Cautions[c] != "", "%s: caution %q has no text", k, c)
	}
	p.condition(k, t.When, tp.VehicleOptions)
	if t.Hours != nil {
		p.hours(k, *t.Hours)
	}
	switch t.Kind {
	case "work":
		p.want(slices.Contains(skills, t.Skill) && t.Crew <= 3, "%s: skill %q, crew %d", k, t.Skill, t.Crew)
		p.want(t.Hours != nil && dec(t.Hours.Low).Sign() > 0, "%s: work without hours", k)
	case "cure":
		p.want(twoPlaces.MatchString(t.ElapsedHours) && dec(t.ElapsedHours).Sign() > 0, "%s: elapsed hours %q", k, t.ElapsedHours)
	case "sublet":
		p.want(percent.MatchString(t.LeadDays) && dec(t.LeadDays).Sign() > 0, "%s: lead days %q", k, t.LeadDays)
		p.want(slices.ContainsFunc(tp.Lines, func(l line) bool { return l.Task == k && l.Kind == "sublet" }), "%s: sublet without a price line", k)
	case "hold":
	default:
		p.want(false, "%s: kind %q", k, t.Kind)
	}
}

func (p *problems) link(l link, tp template) {
	name := l.From + ">" + l.To
	p.want(tp.task(l.From) != nil && tp.task(l.To) != nil && l.From != l.To, "%s: unknown or own end", name)
	p.want(slices.Contains([]string{"FS", "SS", "FF", "SF"}, l.Type), "%s: type %q", name, l.Type)
	p.want(slices.Contains([]string{"working", "elapsed"}, l.LagKind), "%s: lag kind %q", name, l.LagKind)
	p.want(twoPlaces.MatchString(l.LagHours), "%s: lag %q", name, l.LagHours)
}

func (p *problems) line(l line, tp template, book priceBook) {
	k := "line " + l.Key
	p.want(keyShape.MatchString(l.Key) && l.Description != "", "%s: key or description", k)
	p.want((l.Task == "") != (l.Phase == ""), "%s: wants a task or a phase, not both", k)
	p.want(slices.Contains(lineKinds, l.Kind), "%s: kind %q", k, l.Kind)
	p.want(twoPlaces.MatchString(l.Quantity) && dec(l.Quantity).Sign() > 0, "%s: quantity %q", k, l.Quantity)
	p.want(slices.Contains(units, l.Unit), "%s: unit %q", k, l.Unit)
	p.condition(k, l.When, tp.VehicleOptions)
	if l.Phase != "" {
		p.want(slices.ContainsFunc(tp.Phases, func(c choice) bool { return c.Key == l.Phase }), "%s: phase %q", k, l.Phase)
	}
	if l.Task != "" {
		p.want(tp.task(l.Task) != nil, "%s: task %q", k, l.Task)
	}
	if l.Material != "" {
		i := slices.IndexFunc(book.Materials, func(m material) bool { return m.Key == l.Material })
		p.want(i >= 0 && book.Materials[i].Unit == l.Unit, "%s: material %q in %s", k, l.Material, l.Unit)
		p.want(l.UnitCost == "" && l.MarkupPercent == "" && l.WastePercent == "" && l.TaxClass == "", "%s: price in two places", k)
		return
	}
	p.want(twoPlaces.MatchString(l.UnitCost), "%s: unit cost %q", k, l.UnitCost)
	p.want(percent.MatchString(l.MarkupPercent) && percent.MatchString(l.WastePercent), "%s: percentages", k)
	p.want(slices.Contains(taxClasses, l.TaxClass), "%s: tax class %q", k, l.TaxClass)
}

func checkTemplate(tp template, book priceBook) problems {
	var p problems
	seen := map[string]bool{}
	once := func(key string) {
		p.want(!seen[key], "%s stands twice", key)
		seen[key] = true
	}
	used := map[string]bool{}
	for _, t := range tp.Tasks {
		once(t.Key)
		p.task(t, tp)
		for _, c := range t.Cautions {
			used[c] = true
		}
	}
	for _, l := range tp.Links {
		once(l.From + ">" + l.To + l.Type)
		p.link(l, tp)
	}
	for _, l := range tp.Lines {
		once("line " + l.Key)
		p.line(l, tp, book)
	}
	for _, o := range tp.VehicleOptions {
		p.want(plainKey.MatchString(o.Key) && label.MatchString(o.Name) && len(o.Choices) > 1, "option %s: key, name or choices", o.Key)
		for _, c := range o.Choices {
			p.want(plainKey.MatchString(c.Key) && label.MatchString(c.Name), "option %s: choice %q", o.Key, c.Key)
		}
	}
	for k, text := range tp.Cautions {
		p.want(plainKey.MatchString(k), "caution key %q", k)
		p.want(used[k], "caution %s is used by no task", k)
		p.want(strings.Contains(text, "Local codes") && strings.Contains(text, "qualified persons"), "caution %s does not defer to local codes and qualified persons", k)
	}
	for _, options := range tp.combinations() {
		for _, l := range tp.Lines {
			if l.Task != "" && tp.task(l.Task) != nil && l.When.holds(options) {
				p.want(tp.task(l.Task).When.holds(options), "line %s stays when its task %s goes: %v", l.Key, l.Task, options)
			}
		}
	}
	return p
}

func TestTemplates(t *testing.T) {
	book := read[priceBook](t, "price-book.json")
	for _, name := range templateFiles {
		tp := read[template](t, name)
		report(t, checkTemplate(tp, book))
		if !slices.Contains(frameFiles, "frames/"+tp.Frame+".json") {
			t.Errorf("%s names the frame %q, which no file lays out", name, tp.Frame)
		}
		if name != "templates/"+tp.Key+".json" {
			t.Errorf("%s holds template %q", name, tp.Key)
		}
		for i, c := range tp.Phases {
			if i >= len(phaseKeys) || c.Key != phaseKeys[i] {
				t.Errorf("%s: phase %d is %s", name, i, c.Key)
			}
		}
		if !strings.Contains(tp.Description, "starting values") {
			t.Errorf("%s: does not say that its figures are starting values", name)
		}
	}
}

func TestTemplateSizes(t *testing.T) {
	tests := []struct {
		file               string
		tasksLow, tasksTop int
		hoursLow, hoursTop int64
		types              []string
	}{
		{templateFiles[0], 55, 75, 160, 260, []string{"FS", "SS", "FF", "SF"}},
		{templateFiles[1], 20, 30, 20, 60, []string{"FS", "SS", "FF"}},
	}
	for _, tt := range tests {
		tp := read[template](t, tt.file)
		if n := len(tp.Tasks); n < tt.tasksLow || n > tt.tasksTop {
			t.Errorf("%s: %d tasks, want %d to %d", tt.file, n, tt.tasksLow, tt.tasksTop)
		}
		for _, options := range tp.combinations() {
			sum := new(big.Rat)
			for _, task := range tp.live(options).tasks {
				if task.Hours != nil {
					sum.Add(sum, dec(task.Hours.Likely))
				}
			}
			if sum.Cmp(big.NewRat(tt.hoursLow, 1)) < 0 || sum.Cmp(big.NewRat(tt.hoursTop, 1)) > 0 {
				t.Errorf("%s %v: %s crew-hours, want %d to %d", tt.file, options, sum.FloatString(2), tt.hoursLow, tt.hoursTop)
			}
		}
		lags := map[string]bool{}
		for _, l := range tp.Links {
			lags[l.Type] = true
			if dec(l.LagHours).Sign() > 0 {
				lags[l.LagKind] = true
			}
		}
		for _, want := range append([]string{"working", "elapsed"}, tt.types...) {
			if !lags[want] {
				t.Errorf("%s: no link uses %s", tt.file, want)
			}
		}
	}
}

// TestCoatingWindow ties the coating hold to the limits of ISO 8502-4 (steel at least 3 °C above dew
// point; 85 % humidity as commonly paired with it, common practice).
func TestCoatingWindow(t *testing.T) {
	hold := read[template](t, templateFiles[0]).task("D15")
	if hold == nil || hold.Kind != "hold" {
		t.Fatal("no hold before the final blast")
	}
	for _, want := range []string{"3 degrees Celsius above dew point", "85 per cent", "data sheet"} {
		if !strings.Contains(hold.HoldPoint, want) {
			t.Errorf("coating window does not say %q", want)
		}
	}
}

// TestTemplateChecksCanFail breaks a good template in one place at a time.
func TestTemplateChecksCanFail(t *testing.T) {
	book := read[priceBook](t, "price-book.json")
	tests := []struct {
		name, want string
		spoil      func(*template)
	}{
		{"one place in hours", `hours "1.0"`, func(tp *template) { tp.Tasks[0].Hours.Low = "1.0" }},
		{"low above likely", `out of order`, func(tp *template) { tp.Tasks[0].Hours.Low = "99.00" }},
		{"option key the contract refuses", `option Cross-Member`, func(tp *template) { tp.VehicleOptions[0].Key = "Cross-Member" }},
		{"name on two lines", `text that openapi.yaml refuses`, func(tp *template) { tp.Tasks[0].Name += "\n" }},
		{"unknown skill", `skill "wizard"`, func(tp *template) { tp.Tasks[0].Skill = "wizard" }},
		{"caution without text", `caution "dragons" has no text`, func(tp *template) { tp.Tasks[0].Cautions = append(tp.Tasks[0].Cautions, "dragons") }},
		{"unused caution", `caution spare is used by no task`, func(tp *template) { tp.Cautions["spare"] = "Local codes and qualified persons." }},
		{"hold without a text", `A30: kind hold with hold point`, func(tp *template) { tp.task("A30").HoldPoint = "" }},
		{"cure without time", `D30: elapsed hours`, func(tp *template) { tp.task("D30").ElapsedHours = "" }},
		{"sublet without a price", `sublet without a price line`, func(tp *template) { tp.Lines = nil }},
		{"link to nowhere", `A10>Z99`, func(tp *template) { tp.Links[0].To = "Z99" }},
		{"same link twice", `stands twice`, func(tp *template) { tp.Links = append(tp.Links, tp.Links[0]) }},
		{"unknown material", `material "gold"`, func(tp *template) { tp.Lines[0].Material = "gold" }},
		{"unknown option", `option "wings"`, func(tp *template) { tp.Tasks[1].When = when{"wings": {"two"}} }},
		{"line outlives its task", `stays when its task`, func(tp *template) {
			for i := range tp.Lines {
				tp.Lines[i].When = nil
			}
		}},
	}
	for _, tt := range tests {
		tp := read[template](t, templateFiles[0])
		tt.spoil(&tp)
		if got := checkTemplate(tp, book); !got.mention(tt.want) {
			t.Errorf("%s: want a problem that says %q, got %v", tt.name, tt.want, got)
		}
	}
}

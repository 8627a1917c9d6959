package app_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bareframe/internal/app"
	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
)

// edited draws edits of an empty job: phases, options, tasks with links that lead
// forward, and lines.
func (b *bench) edited(rt *rapid.T) app.JobPage {
	p := b.job(b.templateCalled("empty"))
	ctx, id := b.t.Context(), p.Job.ID
	must := func(next app.JobPage, err error) {
		b.t.Helper()
		b.ok("editing", err)
		p = next
	}
	pick := func(name string, n int) int { return rapid.IntRange(0, n-1).Draw(rt, name) }
	decimal := func(name string, most, places int) string {
		whole := rapid.IntRange(0, most).Draw(rt, name)
		return strings.TrimSuffix(fmt.Sprintf("%d.%0*d", whole, places, pick(name+" rest", []int{1, 10, 100, 1000, 10_000}[places])), ".")
	}
	var options []domain.ID
	for i := range pick("options", 4) {
		group := []string{"", "Rail", "Floor"}[pick("group", 3)]
		must(b.app.AddOption(ctx, b.owner, id, made(p), domain.Option{Group: group, Name: fmt.Sprint("Way ", i), Note: "line one\nand <two> & \u2028 \"three\"", Taken: pick("taken", 2) == 0,
			Points: []domain.PointEffect{{ItemKey: "frame", Originality: dec(decimal("points", 9, 2)), Condition: dec("-1.5")}}}))
		options = append(options, p.All.Options[len(p.All.Options)-1].ID)
	}
	option := func() domain.ID {
		if i := pick("option", len(options)+1); i < len(options) {
			return options[i]
		}
		return ""
	}
	for i := range 1 + pick("tasks", 9) {
		h := pick("hours", 30)
		task := domain.Task{PhaseID: p.All.Phases[pick("phase", 3)].ID, Code: fmt.Sprintf("T-%d.%d", i, pick("code", 9)), Name: fmt.Sprint("Täsk ", i), Note: "n\tote", Kind: domain.Work,
			Hours: domain.ThreePoint{Low: dec(fmt.Sprint(h)), Likely: dec(fmt.Sprint(h, ".25")), High: dec(fmt.Sprint(h+2, ".5"))}, ElapsedHours: dec("0"),
			Skill: []string{"fitter", "welder"}[pick("skill", 2)], Crew: 1 + pick("crew", 3), Cautions: []string{"hot_work"}, TaxClass: pricing.RepairLabour, OptionID: option()}
		switch pick("kind", 6) {
		case 0:
			task.Kind, task.Hours, task.ElapsedHours, task.Skill, task.Crew = domain.Cure, domain.ThreePoint{}, dec("12.5"), "", 0
		case 1:
			task.Kind, task.Hours, task.LeadDays, task.Skill, task.Crew = domain.Sublet, domain.ThreePoint{}, 3, "", 0
		case 2:
			task.HoldPoint, task.NotBefore, task.FinishBy = "The owner looks.", "2031-03-10", "2031-11-28"
		}
		if task.Kind == domain.Work {
			task.Floor = floorOf(pick, task.Skill)
		}
		must(b.app.AddTask(ctx, b.owner, id, made(p), task, nil, nil))
	}
	byCode := slices.Clone(p.All.Tasks)
	slices.SortFunc(byCode, func(x, y domain.Task) int { return strings.Compare(x.ID, y.ID) }) // in the order they were added
	for range pick("links", 8) {
		from, to := pick("from", len(byCode)), pick("to", len(byCode))
		if from >= to {
			continue
		}
		l := domain.Link{FromID: byCode[from].ID, ToID: byCode[to].ID, Type: []network.LinkType{network.FS, network.SS, network.FF, network.SF}[pick("type", 4)],
			LagHours: dec(fmt.Sprint(pick("lag", 20)-5, ".5")), LagKind: []calendar.Kind{calendar.Working, calendar.Elapsed}[pick("counted in", 2)]}
		if pick("limited", 3) > 0 {
			most := l.LagHours.Add(dec(fmt.Sprint(pick("room", 200), ".25")))
			l.MaxLagHours = &most
		}
		if next, err := b.app.AddTaskLink(ctx, b.owner, id, made(p), l); err == nil { // the same twice is refused, and a limit that cannot hold
			p = next
		}
	}
	for i := range pick("lines", 6) {
		line := domain.Line{PhaseID: p.All.Phases[pick("phase", 3)].ID, Kind: []pricing.Kind{pricing.Material, pricing.Fee, pricing.Allowance, pricing.Credit}[pick("line kind", 4)],
			Description: fmt.Sprint("=Line ", i), Quantity: dec(decimal("quantity", 40, 4)), Unit: "pc", UnitCost: dec(decimal("cost", 400, 4)), TaxClass: pricing.Part, OptionID: option()}
		if line.Kind == pricing.Material {
			line.MarkupPercent, line.WastePercent, line.DiscountPercent, line.PriceItem = dec(decimal("markup", 60, 2)), dec("5"), dec(decimal("discount", 99, 2)), []string{"", "tube"}[pick("row", 2)]
		}
		must(b.app.AddLine(ctx, b.owner, id, made(p), line))
	}
	return p
}

// floorOf draws how a task is done where all jobs share people and stations.
func floorOf(pick func(string, int) int, skill string) (f domain.Floor) {
	if i := pick("break", 4); i > 0 {
		most := dec([]string{"0", "0.75", "15.25"}[i-1])
		f.LongestBreakHours = &most
	}
	f.Interruptible = pick("interruptible", 2) == 0
	if n := pick("helpers", 3); n > 0 {
		other := map[string]string{"fitter": "welder", "welder": "fitter"}[skill]
		f.Helpers = []domain.Helper{{Skill: other, Count: n}}
	}
	return f
}

func (b *bench) file(id domain.ID) []byte {
	b.t.Helper()
	f, err := b.app.ExportJob(b.t.Context(), b.owner, id, false)
	b.ok("taking out", err)
	return f.Body
}

// travels is a file without where it comes from and its sum.
func travels(t testing.TB, file []byte) any {
	t.Helper()
	var f struct{ Content map[string]any }
	if err := json.Unmarshal(file, &f); err != nil {
		t.Fatal(err)
	}
	delete(f.Content, "source")
	return f.Content
}

func (b *bench) importing(file []byte) (app.JobPage, error) {
	return b.app.ImportJob(b.t.Context(), b.owner, b.key(), strings.NewReader(fmt.Sprintf(`{"client_id":%q,"file":%s}`, b.client.PersonID, file)))
}

// Out of one shop, into another, out again: the same file. Price, cost and
// schedule are the same too, because both shops have the same rates and days.
func TestAnyEstimateTravelsWhole(t *testing.T) {
	fewerDraws(t, 25)
	here, there := open(t, settings("EUR", pricing.PerLine)), open(t, settings("EUR", pricing.PerLine))
	carried := map[string]int{"limit": 0, "option": 0, "longest break": 0, "interruptible": 0, "helpers": 0}
	rapid.Check(t, func(rt *rapid.T) {
		p := here.edited(rt)
		countCarried(carried, p.All)
		file := here.file(p.Job.ID)
		q, err := there.importing(file)
		if err != nil {
			rt.Fatalf("%v\n%s", err, file)
		}
		again := there.file(q.Job.ID)
		if was, is := travels(t, file), travels(t, again); !reflect.DeepEqual(was, is) {
			rt.Errorf("it went in as\n%s\nand came out as\n%s", file, again)
		}
		if !q.Price.Totals.GrandTotal.Equal(p.Price.Totals.GrandTotal) || !q.Price.Margin.Cost.Equal(p.Price.Margin.Cost) || !q.Plan.Finish.Equal(p.Plan.Finish) {
			rt.Errorf("%s, cost %s, finish %v here; %s, %s, %v there", p.Price.Totals.GrandTotal, p.Price.Margin.Cost, p.Plan.Finish, q.Price.Totals.GrandTotal, q.Price.Margin.Cost, q.Plan.Finish)
		}
		if once := here.file(p.Job.ID); !bytes.Equal(once, file) {
			rt.Error("the same job gives two files")
		}
	})
	for what, n := range carried {
		if n == 0 {
			t.Errorf("no drawn job had a %s", what)
		}
	}
}

func countCarried(carried map[string]int, e domain.Estimate) {
	count := func(what string, has bool) {
		if has {
			carried[what]++
		}
	}
	for _, l := range e.Links {
		count("limit", l.MaxLagHours != nil)
	}
	for _, t := range e.Tasks {
		count("option", t.OptionID != "")
		count("longest break", t.Floor.LongestBreakHours != nil)
		count("interruptible", t.Floor.Interruptible)
		count("helpers", len(t.Floor.Helpers) > 0)
	}
}

// A line keeps its price where the price book of the receiving shop has no such
// row, and the row is forgotten.
func TestARowOfAnotherPriceBookIsForgotten(t *testing.T) {
	here, there := open(t, settings("EUR", pricing.PerDocument)), open(t, settings("EUR", pricing.PerDocument))
	p := here.job(here.template)
	pipe := p.Shop.PriceBook.Materials[0]
	pipe.Key = "pipe"
	_, err := here.app.SetPrices(t.Context(), here.owner, app.Precondition{Given: true, Version: p.Shop.PriceBookVersion}, app.PriceChange{Set: []domain.PriceRow{{Material: &pipe}}})
	here.ok("adding a row", err)
	line := p.Estimate.Lines[0]
	line.PriceItem = "pipe"
	p, err = here.app.ChangeLine(t.Context(), here.owner, p.Job.ID, line.ID, made(p), line)
	here.ok("naming the row", err)
	if _, err := there.importing(bytes.ReplaceAll(here.file(p.Job.ID), []byte(`"pipe"`), []byte(`"tube"`))); err == nil {
		t.Fatal("a file whose sum is another's was read")
	}
	q, err := there.importing(here.file(p.Job.ID))
	there.ok("reading the file", err)
	if l := q.Estimate.Lines[0]; l.PriceItem != "" || !l.UnitCost.Equal(p.Estimate.Lines[0].UnitCost) {
		t.Errorf("the line: %+v", l)
	}
	if !q.Price.Totals.GrandTotal.Equal(p.Price.Totals.GrandTotal) {
		t.Errorf("%s there, %s here", q.Price.Totals.GrandTotal, p.Price.Totals.GrandTotal)
	}
}

// A currency that the receiving shop lists is the job's there too, at the rate of
// its settings: lines stay as they are, labour is the shop's own, converted. The
// expected rate is 68.35 an hour times 1.25, by hand: 85.4375.
func TestAFileInAListedCurrencyKeepsIt(t *testing.T) {
	listed := settings("EUR", pricing.PerDocument)
	listed.Currencies = []domain.ShopCurrency{{Code: "USD", Rate: dec("1.25"), On: "2031-03-01"}}
	here, there, without := open(t, settings("USD", pricing.PerDocument)), open(t, listed), open(t, settings("EUR", pricing.PerDocument))
	p := here.job(here.template)
	file := here.file(p.Job.ID)
	_, err := without.importing(file)
	refused(t, "a currency that is not listed", err, "job-file-currency")
	q, err := there.importing(file)
	there.ok("reading the file", err)
	if q.Job.Currency != "USD" || !q.Job.ExchangeRate.Equal(dec("1.25")) || q.Job.RateOn != "2031-03-01" || !q.Estimate.Lines[0].UnitCost.Equal(p.Estimate.Lines[0].UnitCost) {
		t.Errorf("the job: %+v, its line %+v", q.Job, q.Estimate.Lines[0])
	}
	for _, l := range q.Price.Lines {
		if l.Kind == pricing.Labour && l.TaskID == taskCalled(t, q, "A10").ID && !dec(l.UnitPrice).Equal(dec("85.4375")) {
			t.Errorf("a fitter's hour is %s", l.UnitPrice)
		}
	}
}

package app

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/pricing"
)

func seed(t *testing.T, name string, into any) {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("../../seeds", name))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

// fitOuts lists every combination of a template's vehicle options.
func fitOuts(options []domain.VehicleOption) []map[string]string {
	all := []map[string]string{{}}
	for _, o := range options {
		var next []map[string]string
		for _, so := range all {
			for _, c := range o.Choices {
				with := map[string]string{o.Key: c.Key}
				for k, v := range so {
					with[k] = v
				}
				next = append(next, with)
			}
		}
		all = next
	}
	return all
}

// numbered makes IDs that sort in the order they were made.
func numbered() func() domain.ID {
	n := 0
	return func() domain.ID { n++; return fmt.Sprintf("id%06d", n) }
}

// Whatever the car, a job made from a template hangs together: every task is
// priced or passes by itself, is linked to the rest, and no line or link points
// to a task that this car does not need.
func TestTemplatesFitEveryCar(t *testing.T) {
	var book domain.PriceBook
	seed(t, "price-book.json", &book)
	files, err := filepath.Glob("../../seeds/templates/*.json")
	if err != nil || len(files) < 2 {
		t.Fatalf("%d templates, %v", len(files), err)
	}
	for _, file := range files {
		var plan domain.TemplatePlan
		seed(t, "templates/"+filepath.Base(file), &plan)
		cars := fitOuts(plan.VehicleOptions)
		if len(cars) < 2 {
			t.Errorf("%s: no vehicle option changes the work", plan.Key)
		}
		sizes := map[string]bool{}
		for _, car := range cars {
			t.Run(fmt.Sprint(plan.Key, car), func(t *testing.T) {
				e, err := instantiate(plan, car, book, "job", numbered())
				if err != nil {
					t.Fatal(err)
				}
				sizes[fmt.Sprint(len(e.Tasks), len(e.Links), len(e.Lines))] = true
				checkInstance(t, e)
				checkPriceAndPlan(t, e, book)
			})
		}
		if len(sizes) < 2 {
			t.Errorf("%s: the options of the car change nothing", plan.Key)
		}
	}
}

func checkInstance(t *testing.T, e domain.Estimate) {
	t.Helper()
	near := map[domain.ID][]domain.ID{}
	for _, l := range e.Links {
		if err := l.Validate(e); err != nil {
			t.Errorf("link %s to %s: %v", l.FromID, l.ToID, err)
		}
		near[l.FromID], near[l.ToID] = append(near[l.FromID], l.ToID), append(near[l.ToID], l.FromID)
	}
	reached := map[domain.ID]bool{e.Tasks[0].ID: true}
	for queue := []domain.ID{e.Tasks[0].ID}; len(queue) > 0; queue = queue[1:] {
		for _, next := range near[queue[0]] {
			if !reached[next] {
				reached[next] = true
				queue = append(queue, next)
			}
		}
	}
	codes := map[string]bool{}
	for _, task := range e.Tasks {
		if !reached[task.ID] {
			t.Errorf("%s hangs on nothing", task.Describe())
		}
		if codes[task.Code] {
			t.Errorf("code %s stands twice", task.Code)
		}
		codes[task.Code] = true
		if _, ok := e.Phase(task.PhaseID); !ok || task.Scope != domain.Estimated || task.JobID != "job" {
			t.Errorf("%s: phase %q, scope %s, job %s", task.Describe(), task.PhaseID, task.Scope, task.JobID)
		}
	}
	for _, l := range e.Lines {
		if err := l.Validate(e); err != nil {
			t.Errorf("line %q: %v", l.Description, err)
		}
		if !l.UnitCost.IsPositive() || !l.Quantity.IsPositive() || l.Description == "" {
			t.Errorf("line %q costs %s × %s", l.Description, l.Quantity, l.UnitCost)
		}
	}
}

func checkPriceAndPlan(t *testing.T, e domain.Estimate, book domain.PriceBook) {
	t.Helper()
	a, shop := planner(t, on(3, "08:00"))
	seedStations(t, &shop)
	shop.PriceBook = book
	for _, task := range e.Tasks {
		if err := task.Validate(shop); err != nil {
			t.Errorf("%s: %v", task.Describe(), err)
		}
	}
	price, err := priceOf("EUR", shop.Basis("2027-01-01"), e)
	if err != nil {
		t.Fatal(err)
	}
	priced := map[string]pricing.LineResult{}
	for _, l := range price.Lines {
		priced[l.ID] = l
	}
	for _, task := range e.Tasks {
		line, ok := priced[labourOf+task.ID]
		if worked := task.Hours.High.IsPositive(); worked != ok || ok && line.Net.Sign() <= 0 {
			t.Errorf("%s with %s h at the most is priced: %v, %s", task.Describe(), task.Hours.High, ok, line.Net)
		}
	}
	if len(price.Lines) < len(e.Lines) || price.Totals.GrandTotal.Sign() <= 0 || price.Margin.Amount.Sign() <= 0 {
		t.Errorf("%d lines, total %s, margin %s", len(price.Lines), price.Totals.GrandTotal, price.Margin.Amount)
	}
	plan, err := a.planOf(shop, domain.Job{}, e, nil, on(3, "08:00"))
	if err != nil {
		t.Fatal(err)
	}
	if len(plan.Tasks) != len(e.Tasks) || len(plan.DrivingChain) < 5 || !plan.Finish.After(plan.Start) {
		t.Errorf("%d of %d tasks planned, %d drive, %v to %v", len(plan.Tasks), len(e.Tasks), len(plan.DrivingChain), plan.Start, plan.Finish)
	}
	if len(plan.OutOfSequence)+len(plan.LagOverruns) > 0 {
		t.Errorf("a fresh plan is already broken: %v %v", plan.OutOfSequence, plan.LagOverruns)
	}
}

func seedStations(t *testing.T, shop *domain.Shop) {
	t.Helper()
	var file struct{ Stations []domain.Station }
	seed(t, "shop.json", &file)
	shop.Settings.Stations = file.Stations
}

func TestAMaterialThatThePriceBookLacks(t *testing.T) {
	plan := domain.TemplatePlan{Phases: []domain.TemplatePhase{{Key: "p", Name: "P"}}, Lines: []domain.TemplateLine{{Key: "l", Phase: "p", Material: "unobtainium", Description: "Shim"}}}
	_, err := instantiate(plan, nil, domain.PriceBook{}, "job", numbered())
	if e := fault.As(err); e == nil || e.Code != "material-missing" || e.Kind != fault.Conflict {
		t.Errorf("got %v, want material-missing", err)
	}
}

func TestCheckVehicleNamesEachOption(t *testing.T) {
	options := []domain.VehicleOption{{Key: "body", Name: "Body", Choices: []domain.OptionChoice{{Key: "open"}, {Key: "closed"}}}, {Key: "nuts", Name: "Nuts", Choices: []domain.OptionChoice{{Key: "captive"}}}}
	err := checkVehicle(domain.Vehicle{Options: map[string]string{"body": "folding", "wings": "two"}}, options)
	e := fault.As(err)
	if e == nil || len(e.Fields) != 3 || e.Fields[0].Pointer != "/vehicle/options/body" || e.Fields[1].Pointer != "/vehicle/options/nuts" || e.Fields[2].Pointer != "/vehicle/options/wings" {
		t.Fatalf("got %v, want body, nuts and wings named", err)
	}
	if err := checkVehicle(domain.Vehicle{Options: map[string]string{"body": "open", "nuts": "captive"}}, options); err != nil {
		t.Errorf("a good car: %v", err)
	}
}

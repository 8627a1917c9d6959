package domain

import (
	"testing"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
)

func someShop() Shop {
	s := Shop{PriceBook: PriceBook{Labour: []LabourRate{{Skill: "welder", Name: "Welder", CostRate: dec("30"), SellRate: dec("70")}}}}
	s.Settings = ShopSettings{Currency: "EUR", TimeZone: "Europe/Vienna", Units: "metric", TaxBasis: pricing.PerDocument, DepositPercent: dec("20"),
		Draws: []DrawRule{{Name: "At hand-over", Percent: dec("80")}}, Stations: []Station{{Key: "stand", Name: "Frame stand", Capacity: 1}}}
	for _, c := range pricing.TaxClasses() {
		s.Settings.TaxRates = append(s.Settings.TaxRates, TaxRate{c, dec("20")})
	}
	return s
}

func someTask() Task {
	return Task{ID: "t", Code: "C10", Kind: Work, Hours: ThreePoint{dec("1"), dec("2"), dec("4")}, Skill: "welder", Crew: 1, Station: "stand", TaxClass: pricing.RepairLabour}
}

func TestValidateTask(t *testing.T) {
	for _, r := range []struct {
		name     string
		change   func(x *Task)
		pointers []string
	}{
		{"as it should be", func(*Task) {}, nil},
		{"low over likely", func(x *Task) { x.Hours.Low = dec("3") }, []string{"/hours/low"}},
		{"likely over high", func(x *Task) { x.Hours.Likely = dec("5") }, []string{"/hours/high"}},
		{"negative", func(x *Task) { x.Hours.Low = dec("-1") }, []string{"/hours"}},
		{"the most hours", func(x *Task) { x.Hours.High = dec("2000") }, nil},
		{"absurd", func(x *Task) { x.Hours.High = dec("2000.01") }, []string{"/hours"}},
		{"work without hours", func(x *Task) { x.Hours = ThreePoint{} }, []string{"/hours"}},
		{"no crew", func(x *Task) { x.Crew = 0 }, []string{"/crew"}},
		{"a crowd", func(x *Task) { x.Crew = 21 }, []string{"/crew"}},
		{"an unknown skill", func(x *Task) { x.Skill = "wizard" }, []string{"/skill"}},
		{"no skill", func(x *Task) { x.Skill = "" }, []string{"/skill"}},
		{"an unknown station", func(x *Task) { x.Station = "moon" }, []string{"/station"}},
		{"no station", func(x *Task) { x.Station = "" }, nil},
		{"an unknown tax class", func(x *Task) { x.TaxClass = "free" }, []string{"/tax_class"}},
		{"an unknown kind", func(x *Task) { x.Kind = "play" }, []string{"/kind", "/hours"}},
		{"a cure", func(x *Task) { x.Kind, x.Hours, x.ElapsedHours = Cure, ThreePoint{}, dec("72") }, nil},
		{"a cure of no time", func(x *Task) { x.Kind, x.Hours = Cure, ThreePoint{} }, []string{"/elapsed_hours"}},
		{"a cure of more than a year", func(x *Task) { x.Kind, x.Hours, x.ElapsedHours = Cure, ThreePoint{}, dec("8760.01") }, []string{"/elapsed_hours"}},
		{"a cure that is worked", func(x *Task) { x.Kind, x.ElapsedHours = Cure, dec("1") }, []string{"/hours"}},
		{"sublet", func(x *Task) { x.Kind, x.Hours, x.LeadDays = Sublet, ThreePoint{}, 400 }, nil},
		{"sublet for no day", func(x *Task) { x.Kind, x.Hours = Sublet, ThreePoint{} }, []string{"/lead_days"}},
		{"sublet for ever", func(x *Task) { x.Kind, x.Hours, x.LeadDays = Sublet, ThreePoint{}, 401 }, []string{"/lead_days"}},
		{"a hold point that says nothing", func(x *Task) { x.Kind, x.Hours = Hold, ThreePoint{} }, []string{"/hold_point"}},
		{"a hold point that takes hours", func(x *Task) { x.Kind, x.HoldPoint = Hold, "The owner signs." }, nil},
		{"days the wrong way round", func(x *Task) { x.NotBefore, x.FinishBy = "2031-03-04", "2031-03-03" }, []string{"/finish_by"}},
		{"the same day", func(x *Task) { x.NotBefore, x.FinishBy = "2031-03-04", "2031-03-04" }, nil},
		{"no such day", func(x *Task) { x.NotBefore = "2031-02-29" }, []string{"/not_before"}},
		{"several at once", func(x *Task) { x.Crew, x.Skill, x.TaxClass = 0, "", "" }, []string{"/crew", "/skill", "/tax_class"}},
	} {
		x := someTask()
		r.change(&x)
		wantFields(t, r.name, x.Validate(someShop()), r.pointers)
	}
}

func TestHolds(t *testing.T) {
	if someTask().Holds() || !(Task{Kind: Hold}).Holds() || !(Task{Kind: Work, HoldPoint: "The owner signs."}).Holds() {
		t.Error("a task holds when it is a hold or names a hold point")
	}
}

func someEstimate() Estimate {
	return Estimate{Phases: []Phase{{ID: "p", Name: "Coating"}, {ID: "q", Name: "Remount"}},
		Tasks: []Task{{ID: "a", PhaseID: "p", Code: "D10", Name: "Prime"}, {ID: "b", PhaseID: "q", Code: "E10", Name: "Mount"}},
		Links: []Link{{ID: "l1", FromID: "a", ToID: "b", Type: network.FS, LagKind: calendar.Working}}}
}

func TestValidateLink(t *testing.T) {
	good := Link{ID: "l2", FromID: "b", ToID: "a", Type: network.SS, LagKind: calendar.Elapsed, LagHours: dec("-8760")}
	for _, r := range []struct {
		name     string
		change   func(l *Link)
		pointers []string
	}{
		{"as it should be", func(*Link) {}, nil},
		{"from nowhere", func(l *Link) { l.FromID = "x" }, []string{"/from_task_id"}},
		{"to nowhere", func(l *Link) { l.ToID = "x" }, []string{"/to_task_id"}},
		{"to itself", func(l *Link) { l.ToID = "b" }, []string{"/to_task_id"}},
		{"no such type", func(l *Link) { l.Type = "XX" }, []string{"/type"}},
		{"not later than before not earlier than", func(l *Link) { l.LagHours, l.MaxLagHours = dec("6"), ref("5.99") }, []string{"/max_lag_hours"}},
		{"a most time of more than a year", func(l *Link) { l.MaxLagHours = ref("8760.01") }, []string{"/max_lag_hours"}},
		{"no such time", func(l *Link) { l.LagKind = "lunar" }, []string{"/lag_kind"}},
		{"a lag of more than a year", func(l *Link) { l.LagHours = dec("8760.01") }, []string{"/lag_hours"}},
		{"a lead of more than a year", func(l *Link) { l.LagHours = dec("-8760.01") }, []string{"/lag_hours"}},
		{"twice the same", func(l *Link) { l.FromID, l.ToID, l.Type = "a", "b", network.FS }, []string{"/to_task_id"}},
		{"another type between the same", func(l *Link) { l.FromID, l.ToID, l.Type = "a", "b", network.FF }, nil},
		{"itself again", func(l *Link) { l.ID, l.FromID, l.ToID, l.Type = "l1", "a", "b", network.FS }, nil},
	} {
		l := good
		r.change(&l)
		wantFields(t, r.name, l.Validate(someEstimate()), r.pointers)
	}
}

func TestValidateLine(t *testing.T) {
	good := Line{ID: "m", PhaseID: "p", Kind: pricing.Material, Description: "Primer", Quantity: dec("2"), Unit: "l", UnitCost: dec("31"),
		MarkupPercent: dec("20"), WastePercent: dec("5"), TaxClass: pricing.MaterialClass}
	for _, r := range []struct {
		name     string
		change   func(l *Line)
		pointers []string
	}{
		{"as it should be", func(*Line) {}, nil},
		{"of a task in its phase", func(l *Line) { l.TaskID = "a" }, nil},
		{"no such phase", func(l *Line) { l.PhaseID = "x" }, []string{"/phase_id"}},
		{"no such task", func(l *Line) { l.TaskID = "x" }, []string{"/task_id"}},
		{"a task of another phase", func(l *Line) { l.TaskID = "b" }, []string{"/task_id"}},
		{"no such unit", func(l *Line) { l.Unit = "furlong" }, []string{"/unit"}},
		{"all of it off", func(l *Line) { l.DiscountPercent = dec("100") }, nil},
		{"more than all of it off", func(l *Line) { l.DiscountPercent = dec("100.01") }, []string{"/discount_percent"}},
		{"a negative quantity", func(l *Line) { l.Quantity = dec("-1") }, []string{"/quantity"}},
		{"negative all over", func(l *Line) {
			l.Quantity, l.UnitCost, l.MarkupPercent, l.WastePercent, l.DiscountPercent = dec("-1"), dec("-1"), dec("-1"), dec("-1"), dec("-1")
		}, []string{"/quantity", "/unit_cost", "/markup_percent", "/waste_percent", "/discount_percent"}},
		{"labour is no line", func(l *Line) { l.Kind, l.WastePercent, l.MarkupPercent = pricing.Labour, decimal.Zero, decimal.Zero }, []string{"/kind"}},
		{"no such kind", func(l *Line) { l.Kind, l.WastePercent, l.MarkupPercent = "gift", decimal.Zero, decimal.Zero }, []string{"/kind"}},
		{"sublet wastes nothing", func(l *Line) { l.Kind = pricing.Sublet }, []string{"/waste_percent"}},
		{"a fee bears no markup", func(l *Line) { l.Kind, l.WastePercent = pricing.Fee, decimal.Zero }, []string{"/markup_percent"}},
		{"a credit takes no discount", func(l *Line) {
			l.Kind, l.WastePercent, l.MarkupPercent, l.DiscountPercent = pricing.Credit, decimal.Zero, decimal.Zero, dec("5")
		}, []string{"/discount_percent"}},
		{"no such tax class", func(l *Line) { l.TaxClass = "free" }, []string{"/tax_class"}},
	} {
		l := good
		r.change(&l)
		wantFields(t, r.name, l.Validate(someEstimate()), r.pointers)
	}
}

func TestNamesAndCodesAreTakenOnce(t *testing.T) {
	e := someEstimate()
	wantFields(t, "another phase's name", e.ValidatePhaseName("", "Coating"), []string{"/name"})
	wantFields(t, "its own name", e.ValidatePhaseName("p", "Coating"), nil)
	wantFields(t, "another task's code", e.ValidateCode("", "D10"), []string{"/code"})
	wantFields(t, "its own code", e.ValidateCode("a", "D10"), nil)
}

func TestValidatePerson(t *testing.T) {
	good := Person{Name: "Marik Oldane", Email: "marik@example.org", Role: Technician, Skills: []string{"welder"}}
	for _, r := range []struct {
		name     string
		change   func(p *Person)
		pointers []string
	}{
		{"as it should be", func(*Person) {}, nil},
		{"no such role", func(p *Person) { p.Role = "king" }, []string{"/role"}},
		{"staff without an address", func(p *Person) { p.Email = "" }, []string{"/email"}},
		{"a client without an address", func(p *Person) { p.Role, p.Email, p.Skills = Client, "", nil }, nil},
		{"paid to work", func(p *Person) { p.CostRate = dec("-1") }, []string{"/cost_rate"}},
		{"an unknown skill", func(p *Person) { p.Skills = []string{"welder", "wizard"} }, []string{"/skills/1"}},
		{"a skill twice", func(p *Person) { p.Skills = []string{"welder", "welder"} }, []string{"/skills/1"}},
	} {
		p := good
		r.change(&p)
		wantFields(t, r.name, p.Validate(someShop().PriceBook), r.pointers)
	}
}

func TestValidateSettings(t *testing.T) {
	for _, r := range []struct {
		name     string
		change   func(s *ShopSettings)
		pointers []string
	}{
		{"as they should be", func(*ShopSettings) {}, nil},
		{"no such currency", func(s *ShopSettings) { s.Currency = "EURO" }, []string{"/currency"}},
		{"no such zone", func(s *ShopSettings) { s.TimeZone = "Moon/Tycho" }, []string{"/time_zone"}},
		{"this machine's zone", func(s *ShopSettings) { s.TimeZone = "Local" }, []string{"/time_zone"}},
		{"no zone", func(s *ShopSettings) { s.TimeZone = "" }, []string{"/time_zone"}},
		{"no such units", func(s *ShopSettings) { s.Units = "cubits" }, []string{"/units"}},
		{"no such basis", func(s *ShopSettings) { s.TaxBasis = "moon" }, []string{"/tax_basis"}},
		{"99.99 percent", func(s *ShopSettings) { s.DepositPercent = dec("19.99") }, []string{"/draws"}},
		{"a negative deposit made up for by a draw", func(s *ShopSettings) { s.DepositPercent, s.Draws[0].Percent = dec("-20"), dec("120") }, []string{"/deposit_percent"}},
		{"a negative draw", func(s *ShopSettings) { s.DepositPercent, s.Draws[0].Percent = dec("120"), dec("-20") }, []string{"/draws/0/percent"}},
		{"a class without a rate", func(s *ShopSettings) { s.TaxRates = s.TaxRates[1:] }, []string{"/tax_rates"}},
		{"a class twice", func(s *ShopSettings) { s.TaxRates = append(s.TaxRates, s.TaxRates[0]) }, []string{"/tax_rates/9/class"}},
		{"a rate over 100", func(s *ShopSettings) { s.TaxRates[2].Percent = dec("100.01") }, []string{"/tax_rates/2/percent"}},
		{"a negative rate", func(s *ShopSettings) { s.TaxRates[2].Percent = dec("-0.01") }, []string{"/tax_rates/2/percent"}},
		{"a station twice", func(s *ShopSettings) { s.Stations = append(s.Stations, s.Stations[0]) }, []string{"/stations/1/key"}},
	} {
		s := someShop().Settings
		r.change(&s)
		wantFields(t, r.name, s.Validate(), r.pointers)
	}
}

func TestValidatePriceBook(t *testing.T) {
	rate := LabourRate{Skill: "welder", Name: "Welder"}
	rod := Material{Key: "rod", Name: "Rod", Unit: "kg", TaxClass: pricing.Consumable}
	stone := rod
	stone.Unit = "stone"
	book := PriceBook{Labour: []LabourRate{rate, rate}, Materials: []Material{rod, stone}}
	wantFields(t, "twice and unknown", book.Validate(), []string{"/materials/1/unit", "/labour/1", "/materials/1"})
	negative := PriceBook{Labour: []LabourRate{rate}, Materials: []Material{rod}}
	negative.Labour[0].SellRate, negative.Materials[0].WastePercent = dec("-1"), dec("-1")
	wantFields(t, "negative", negative.Validate(), []string{"/labour/0/sell_rate", "/materials/0/waste_percent"})
	nameless := PriceBook{Labour: []LabourRate{{Skill: "Wel der"}}, Vendors: []Vendor{{Key: "plater", Name: "Plater", LeadDays: 401}}}
	wantFields(t, "nameless", nameless.Validate(), []string{"/labour/0/skill", "/labour/0/name", "/vendors/0/lead_days"})
	wantFields(t, "as it should be", someShop().PriceBook.Validate(), nil)
	if len(Units()) == 0 || !KnownUnit(Units()[0]) || KnownUnit("") {
		t.Error("every unit is known and nothing is no unit")
	}
}

// What only the store may know does not reach JSON, and with it neither the
// trail nor a kept answer nor a problem document.
func TestSecretsDoNotReachJSON(t *testing.T) {
	for name, text := range map[string]string{
		"person":  asText(t, Person{ID: "p", Name: "Marik", PasswordHash: "SECRET"}),
		"session": asText(t, Session{ID: "s", TokenHash: "SECRET"}),
		"link":    asText(t, PrivateLink{ID: "l", TokenHash: "SECRET"}),
	} {
		if contains(text, "SECRET") || contains(text, "Hash") {
			t.Errorf("%s as JSON: %s", name, text)
		}
	}
}

func ref(text string) *decimal.Decimal { d := dec(text); return &d }

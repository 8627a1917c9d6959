package api

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/money"
	"bareframe/internal/pricing"
)

func dec(text string) decimal.Decimal { return decimal.RequireFromString(text) }

func TestUnitMoneyHasTwoPlacesOrMore(t *testing.T) {
	for given, want := range map[string]string{
		"0": "0.00", "12": "12.00", "12.5": "12.50", "12.50": "12.50", "12.505": "12.505", "0.0042": "0.0042", "12.5000": "12.50",
		"1e6": "1000000.00", "123456789.1234": "123456789.1234",
	} {
		if got := unitMoneyText(dec(given)); got != want {
			t.Errorf("unitMoneyText(%s) = %s, want %s", given, got, want)
		}
	}
}

// Minor units of ISO 4217, list one: the euro has two places, the yen none, the
// Kuwaiti dinar three.
func TestMoneyHasThePlacesOfItsCurrency(t *testing.T) {
	for _, c := range []struct{ amount, currency, want string }{
		{"0", "EUR", "0.00"}, {"1234.5", "EUR", "1234.50"}, {"-0.05", "EUR", "-0.05"},
		{"1200", "JPY", "1200"}, {"0", "JPY", "0"}, {"1.5", "KWD", "1.500"}, {"1e9", "EUR", "1000000000.00"},
	} {
		if got := moneyText(dec(c.amount), c.currency); got != c.want {
			t.Errorf("moneyText(%s %s) = %s, want %s", c.amount, c.currency, got, c.want)
		}
	}
}

func TestPercentagesAndHours(t *testing.T) {
	for given, want := range map[string]string{"21": "21", "7.2500": "7.25", "0.0": "0", "1e2": "100"} {
		if got := plainText(dec(given)); got != want {
			t.Errorf("plainText(%s) = %s, want %s", given, got, want)
		}
	}
	for given, want := range map[string]string{"0": "0.00", "1.5": "1.50", "-4": "-4.00", "1e3": "1000.00"} {
		if got := hoursText(dec(given)); got != want {
			t.Errorf("hoursText(%s) = %s, want %s", given, got, want)
		}
	}
}

// What has nothing in it must still have its lists.
func TestListsAreNeverNull(t *testing.T) {
	euro, err := money.ParseCurrency("EUR")
	if err != nil {
		t.Fatal(err)
	}
	empty := app.JobPage{Price: pricing.Result{Currency: euro}}
	for name, v := range map[string]any{
		"job page": jobPage(empty), "job summary": jobSummary(empty), "client job": clientJob(empty), "client quote": clientQuote(domain.Quote{}, time.Time{}),
		"person": personView(domain.Person{}), "shop": shopView(domain.Shop{}), "calendar": calendarView(domain.Shop{}, nil),
		"price book": priceBookView(domain.PriceBook{}, 1, "2027-01-01"), "template": templateDetail(app.TemplatePage{}), "sample": templateSample(app.Trial{Page: empty}), "card": taskCard(app.Card{}),
		"today": todayView(app.Today{}), "entry": hoursEntry(app.LoggedEntry{}), "trail entry": trailEntry(domain.TrailEntry{}),
		"explanation": priceExplanation(pricing.Explanation{}), "quote": quoteView(domain.Quote{}, time.Time{}),
	} {
		text, err := json.Marshal(v)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if strings.Contains(string(text), "null") {
			t.Errorf("%s holds null: %s", name, text)
		}
	}
}

func TestWeekKeepsClosedAndOpenDays(t *testing.T) {
	week := map[string][]calendar.Interval{"monday": {{From: "07:30", To: "12:00"}, {From: "12:45", To: "16:15"}}, "saturday": {}, "sunday": {{From: "20:00", To: "24:00"}}}
	out := weekView(week)
	if out.Tuesday != nil || out.Monday == nil || len(*out.Monday) != 2 || out.Saturday == nil || len(*out.Saturday) != 0 {
		t.Fatalf("weekView(%v) = %+v", week, out)
	}
	back := weekFrom(out)
	if len(back) != 3 || len(back["monday"]) != 2 || back["monday"][1] != week["monday"][1] || back["sunday"][0] != week["sunday"][0] {
		t.Errorf("weekFrom(weekView(%v)) = %v", week, back)
	}
}

func TestSettingsComeBackAsTheyWere(t *testing.T) {
	sent := ShopDraft{Name: "Lower Mill", Address: "4 Lower Mill", Currency: "EUR", Locale: "en-GB", TimeZone: "Europe/Berlin", Units: UnitsMetric,
		TaxBasis: TaxBasisDocument, TaxRates: []TaxRate{{Class: TaxClassPart, Percent: "7.25"}}, Terms: "As quoted.", QuoteValidDays: 30, DepositPercent: "20",
		Draws: []DrawRule{{Name: "After stripping", Percent: "30", Due: pointer(DrawGatePhaseEnd), Phase: pointer("media_stripping"), DaysToPay: pointer(14)},
			{Name: "At hand-over", Percent: "50", Due: pointer(DrawGateNamed), DaysToPay: pointer(0)}},
		Texts:            &[]ShopText{{Key: TextKeyLetterClosing, Text: "Yours,\n~shop name~"}},
		Currencies:       &[]ShopCurrency{{Code: "JPY", Rate: "163.254", On: "2026-11-20"}},
		TolerancePercent: "10", Stations: []Station{{Key: "booth", Name: "Paint booth", Capacity: 2}}, Floor: &FloorRules{ReplanToleranceDays: 3, PlanSeconds: 30}}
	set, err := settingsFrom(sent)
	if err != nil {
		t.Fatal(err)
	}
	sameJSON(t, shopView(domain.Shop{Settings: set}).Settings, sent)
}

func TestAPriceRowComesBackAsItWas(t *testing.T) {
	text := func(s string) *string { return &s }
	class, whole, lead := TaxClassMaterial, true, 12
	for _, sent := range []PriceRow{
		{Kind: PriceKindLabour, Key: "fitter", Name: "Fitter", CostRate: text("34.00"), SellRate: text("92.125"), ValidFrom: text("2027-01-04")},
		{Kind: PriceKindMaterial, Key: "primer", Name: "Primer", Unit: text("l"), UnitCost: text("38.00"), MarkupPercent: text("25"), WastePercent: text("12.5"),
			TaxClass: &class, Packs: &[]Pack{{Size: "2.5", Cost: "90.50"}}, WholePacks: &whole, ValidTo: text("2028-12-31")},
		{Kind: PriceKindVendor, Key: "plater", Name: "Plater", LeadDays: &lead, MarkupPercent: text("15"), Note: text("Fetches on Mondays.")},
	} {
		change, err := priceChangeFrom(PriceChange{Set: []PriceRow{sent}})
		if err != nil {
			t.Fatal(err)
		}
		sameJSON(t, priceRowView(change.Set[0]), sent)
	}
}

func sameJSON(t *testing.T, got, want any) {
	t.Helper()
	a, err := json.Marshal(got)
	if err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	if string(a) != string(b) {
		t.Errorf("got  %s\nwant %s", a, b)
	}
}

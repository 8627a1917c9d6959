package seeds_test

import (
	"math/big"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

type shift struct{ From, To string }

type person struct {
	Key, Name, Email string
	Skills           []string
	CostRate         string `json:"cost_rate"`
	Week             []struct {
		Day    string
		Shifts []shift
	}
	AbsencesRelative []away `json:"absences_relative"`
}

type away struct {
	FromDay int `json:"from_day"`
	ToDay   int `json:"to_day"`
	Reason  string
	Note    string
}

type station struct {
	Key, Name        string
	Capacity         int
	ClosuresRelative []away `json:"closures_relative"`
}

type shop struct {
	Note, Name, Address, Currency, Locale, Units string
	TimeZone                                     string            `json:"time_zone"`
	TaxBasis                                     string            `json:"tax_basis"`
	TaxRates                                     map[string]string `json:"tax_rates"`
	Week                                         []struct {
		Day    string
		Shifts []shift
	}
	HolidayRegion    string `json:"holiday_region"`
	ClosuresRelative []struct {
		FromDay int `json:"from_day"`
		ToDay   int `json:"to_day"`
		Reason  string
	} `json:"closures_relative"`
	Stations       []station
	Terms          []string
	QuoteValidDays int    `json:"quote_valid_days"`
	DepositPercent string `json:"deposit_percent"`
	Draws          []struct {
		Name, Percent, Due, Phase string
		DaysToPay                 int `json:"days_to_pay"`
	}
	TolerancePct  string `json:"tolerance_percent"`
	ToleranceNote string `json:"tolerance_note"`
	Rules         struct {
		RuleSet         string `json:"rule_set"`
		WarnPercent     string `json:"warn_percent"`
		Teardown        string `json:"teardown"`
		Reassembly      string `json:"reassembly"`
		StoragePerDay   string `json:"storage_per_day"`
		StorageFreeDays int    `json:"storage_free_days"`
	} `json:"rules"`
	Owner       person
	Technicians []person
	Clients     []person
}

var dayNames = []string{"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"}

// reserved are the domains that RFC 2606 section 3 sets aside for examples.
var reserved = regexp.MustCompile(`^[a-z.]+@([a-z]+\.)?example\.(org|com)$`)

// minute turns 07:30 into 450, and anything that is not a time of day into -1.
func minute(s string) int {
	at, err := time.Parse("15:04", s)
	if err != nil {
		return -1
	}
	return at.Hour()*60 + at.Minute()
}

// shifts are those of a working day; the demo's arithmetic needs them to be the same on each.
func (s shop) shifts() [][2]int {
	var out [][2]int
	for _, x := range s.Week[0].Shifts {
		out = append(out, [2]int{minute(x.From), minute(x.To)})
	}
	return out
}

func (s shop) people() []person {
	return append(append([]person{s.Owner}, s.Technicians...), s.Clients...)
}

func checkShop(s shop) problems {
	var p problems
	sum := dec(s.DepositPercent)
	for _, d := range s.Draws {
		p.want(d.Name != "" && percent.MatchString(d.Percent), "draw %v", d)
		sum = new(big.Rat).Add(sum, dec(d.Percent))
	}
	p.want(sum.Cmp(big.NewRat(100, 1)) == 0, "deposit and draws make %s per cent, want 100", sum.FloatString(2))
	for _, c := range taxClasses {
		p.want(percent.MatchString(s.TaxRates[c]), "tax class %s has rate %q", c, s.TaxRates[c])
	}
	p.want(len(s.TaxRates) == len(taxClasses), "%d tax rates for %d classes", len(s.TaxRates), len(taxClasses))
	p.want(len(s.Week) == 7, "%d days in the week", len(s.Week))
	for i, d := range s.Week {
		p.want(d.Day == dayNames[i], "day %d is %s", i, d.Day)
		p.want((len(d.Shifts) > 0) == (i < 5), "%s: shifts %v", d.Day, d.Shifts)
		last := 0
		for _, x := range d.Shifts {
			p.want(minute(x.From) >= last && minute(x.To) > minute(x.From), "%s: shift %v", d.Day, x)
			last = minute(x.To)
		}
		p.want(i >= 5 || slices.Equal(d.Shifts, s.Week[0].Shifts), "%s: other shifts than monday", d.Day)
	}
	for _, c := range s.ClosuresRelative {
		p.want(c.FromDay > 0 && c.ToDay >= c.FromDay && c.Reason != "", "closure %v: must lie ahead, past work days are counted without it", c)
	}
	seen := map[string]bool{}
	for _, x := range s.people() {
		p.want(!seen[x.Key] && !seen[x.Email] && x.Name != "", "person %s: key, e-mail or name", x.Key)
		seen[x.Key], seen[x.Email] = true, true
		p.want(reserved.MatchString(x.Email), "person %s: %s is not under a domain that RFC 2606 reserves", x.Key, x.Email)
	}
	for _, x := range s.Technicians {
		p.want(twoPlaces.MatchString(x.CostRate) && len(x.Skills) > 0, "technician %s: %q, %v", x.Key, x.CostRate, x.Skills)
		for _, a := range x.AbsencesRelative {
			p.want(a.FromDay > 0 && a.ToDay >= a.FromDay && a.Reason != "", "technician %s: absence %v must lie ahead", x.Key, a)
		}
		for _, k := range x.Skills {
			p.want(slices.Contains(skills, k), "technician %s: skill %s", x.Key, k)
		}
	}
	for _, k := range skills {
		able := slices.ContainsFunc(s.Technicians, func(x person) bool { return slices.Contains(x.Skills, k) })
		p.want(able, "nobody is a %s", k)
	}
	for _, k := range stations[1:] {
		i := slices.IndexFunc(s.Stations, func(x station) bool { return x.Key == k })
		p.want(i >= 0 && s.Stations[i].Capacity > 0, "no station %s", k)
	}
	return p
}

func TestShop(t *testing.T) {
	s := read[shop](t, "shop.json")
	report(t, checkShop(s))
	if _, err := time.LoadLocation(s.TimeZone); err != nil {
		t.Error(err)
	}
	if !slices.Contains([]string{"EUR", "USD"}, s.Currency) || !slices.Contains([]string{"en-GB", "en-US"}, s.Locale) {
		t.Errorf("currency %s, locale %s", s.Currency, s.Locale)
	}
	if !slices.Contains([]string{"metric", "inch"}, s.Units) || s.TaxBasis != "document" || s.HolidayRegion != "" {
		t.Errorf("units %s, tax basis %s, holiday region %q", s.Units, s.TaxBasis, s.HolidayRegion)
	}
	if len(s.Technicians) != 3 || len(s.Clients) != 4 || len(s.Terms) == 0 || s.QuoteValidDays < 1 {
		t.Errorf("%d technicians, %d clients, %d terms, valid %d days", len(s.Technicians), len(s.Clients), len(s.Terms), s.QuoteValidDays)
	}
	if !percent.MatchString(s.TolerancePct) || !strings.Contains(s.ToleranceNote, "local law") {
		t.Errorf("tolerance %q: %q", s.TolerancePct, s.ToleranceNote)
	}
	if _, err := os.Stat("rules/" + s.Rules.RuleSet + ".json"); err != nil || !percent.MatchString(s.Rules.WarnPercent) {
		t.Errorf("rules %+v: %v", s.Rules, err)
	}
	if !strings.Contains(s.Note, "nvented") {
		t.Errorf("note %q does not say that the shop is invented", s.Note)
	}
}

func TestPriceBook(t *testing.T) {
	b := read[priceBook](t, "price-book.json")
	var p problems
	seen := map[string]bool{}
	once := func(k string) {
		p.want(keyShape.MatchString(k) && !seen[k], "key %q", k)
		seen[k] = true
	}
	for _, m := range b.Materials {
		once(m.Key)
		p.want(m.Name != "" && twoPlaces.MatchString(m.UnitCost), "%s: name %q, cost %q", m.Key, m.Name, m.UnitCost)
		p.want(percent.MatchString(m.MarkupPercent) && percent.MatchString(m.WastePercent), "%s: percentages", m.Key)
		p.want(slices.Contains(units, m.Unit) && slices.Contains(taxClasses, m.TaxClass), "%s: %s, %s", m.Key, m.Unit, m.TaxClass)
	}
	for _, l := range b.Labour {
		once(l.Skill)
		ok := twoPlaces.MatchString(l.CostRate) && twoPlaces.MatchString(l.SellRate) && dec(l.SellRate).Cmp(dec(l.CostRate)) > 0
		p.want(ok && slices.Contains(skills, l.Skill), "labour %v", l)
	}
	for _, s := range b.Sublets {
		once(s.Key)
		p.want(s.Name != "" && s.What != "" && percent.MatchString(s.LeadDays) && percent.MatchString(s.MarkupPercent), "sublet %v", s)
	}
	p.want(len(b.Materials) >= 30 && len(b.Labour) == len(skills) && len(b.Sublets) > 0, "%d materials, %d skills, %d sublets", len(b.Materials), len(b.Labour), len(b.Sublets))
	p.want(strings.Contains(b.Note, "starting values"), "note %q", b.Note)
	report(t, p)
}

func TestShopChecksCanFail(t *testing.T) {
	tests := []struct {
		name, want string
		spoil      func(*shop)
	}{
		{"draws short of 100", `want 100`, func(s *shop) { s.Draws = s.Draws[1:] }},
		{"a class without rate", `tax class fee`, func(s *shop) { delete(s.TaxRates, "fee") }},
		{"open on sunday", `sunday: shifts`, func(s *shop) { s.Week[6].Shifts = s.Week[0].Shifts }},
		{"shifts overlap", `wednesday: shift`, func(s *shop) { s.Week[2].Shifts = []shift{{"07:30", "12:00"}, {"11:00", "16:00"}} }},
		{"closed in the past", `must lie ahead`, func(s *shop) { s.ClosuresRelative[0].FromDay = -3 }},
		{"a real domain", `RFC 2606`, func(s *shop) { s.Clients[0].Email = "someone@nowhere.test" }},
		{"no painter", `nobody is a painter`, func(s *shop) { s.Technicians[1].Skills = []string{"fitter", "blaster"} }},
		{"no booth", `no station paint_booth`, func(s *shop) { s.Stations = s.Stations[:2] }},
	}
	for _, tt := range tests {
		s := read[shop](t, "shop.json")
		tt.spoil(&s)
		if got := checkShop(s); !got.mention(tt.want) {
			t.Errorf("%s: want a problem that says %q, got %v", tt.name, tt.want, got)
		}
	}
}

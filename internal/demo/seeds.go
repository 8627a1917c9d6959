package demo

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"path"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/method"
	"bareframe/internal/points"
	"bareframe/internal/pricing"
	"bareframe/internal/pricing/localrules"
	"bareframe/internal/repair"
	"bareframe/internal/takeoff"
)

// shopSeed is seeds/shop.json.
type shopSeed struct {
	Note           string                               `json:"note"`
	Name           string                               `json:"name"`
	Address        string                               `json:"address"`
	Currency       string                               `json:"currency"`
	TimeZone       string                               `json:"time_zone"`
	Locale         string                               `json:"locale"`
	Units          string                               `json:"units"`
	TaxBasis       pricing.TaxBasis                     `json:"tax_basis"`
	TaxRates       map[pricing.TaxClass]decimal.Decimal `json:"tax_rates"`
	Week           []daySeed                            `json:"week"`
	Holidays       string                               `json:"holiday_region"`
	Closures       []closureSeed                        `json:"closures_relative"`
	Stations       []stationSeed                        `json:"stations"`
	Terms          []string                             `json:"terms"`
	QuoteValidDays int                                  `json:"quote_valid_days"`
	Deposit        decimal.Decimal                      `json:"deposit_percent"`
	Draws          []domain.DrawRule                    `json:"draws"`
	Tolerance      decimal.Decimal                      `json:"tolerance_percent"`
	ToleranceNote  string                               `json:"tolerance_note"`
	Rules          rulesSeed                            `json:"rules"`
	Owner          personSeed                           `json:"owner"`
	Technicians    []personSeed                         `json:"technicians"`
	Clients        []personSeed                         `json:"clients"`
}

type daySeed struct {
	Day    string              `json:"day"`
	Shifts []calendar.Interval `json:"shifts"`
}

type closureSeed struct {
	FromDay int    `json:"from_day"`
	ToDay   int    `json:"to_day"`
	Reason  string `json:"reason"`
}

type personSeed struct {
	Key      string          `json:"key"`
	Name     string          `json:"name"`
	Email    string          `json:"email"`
	Phone    string          `json:"phone"`
	Skills   []string        `json:"skills"`
	CostRate decimal.Decimal `json:"cost_rate"`
	Week     []daySeed       `json:"week"` // own hours; absent: the shop's
	Absences []absenceSeed   `json:"absences_relative"`
}

// absenceSeed is an absence of a person, a closure of a station; days are relative
// to today.
type absenceSeed struct {
	FromDay int                  `json:"from_day"`
	ToDay   int                  `json:"to_day"`
	Reason  domain.AbsenceReason `json:"reason"`
	Note    string               `json:"note"`
}

// rosterOf is nil where neither hours nor absences are given.
func rosterOf(week []daySeed, away []absenceSeed, today time.Time) *domain.Roster {
	if len(week) == 0 && len(away) == 0 {
		return nil
	}
	out := &domain.Roster{}
	if len(week) > 0 {
		out.Week = map[string][]calendar.Interval{}
	}
	for _, d := range week {
		out.Week[d.Day] = d.Shifts
	}
	for _, a := range away {
		out.Absences = append(out.Absences, domain.Absence{From: domain.Day(today.AddDate(0, 0, a.FromDay).Format(time.DateOnly)),
			To: domain.Day(today.AddDate(0, 0, a.ToDay).Format(time.DateOnly)), Reason: a.Reason, Note: a.Note})
	}
	return out
}

// stationSeed is a station of the demo shop.
type stationSeed struct {
	Key      string        `json:"key"`
	Name     string        `json:"name"`
	Capacity int           `json:"capacity"`
	Closures []absenceSeed `json:"closures_relative"`
}

// storySeed is seeds/demo.json. Days are relative to today.
type storySeed struct {
	Note string    `json:"note"`
	Jobs []jobSeed `json:"jobs"`
}

type jobSeed struct {
	Key       string         `json:"key"`
	Client    string         `json:"client"`
	Template  string         `json:"template"`
	Title     string         `json:"title"`
	Vehicle   domain.Vehicle `json:"vehicle"`
	Created   int            `json:"created_day"`
	NotBefore int            `json:"not_before_day"`
	Promise   int            `json:"promise_day"` // 0: the schedule's own finish is promised
	Edits     []struct {
		Task  string            `json:"task"`
		Hours domain.ThreePoint `json:"hours"`
	} `json:"edits"`
	ExtraLines []domain.TemplateLine `json:"extra_lines"`
	Options    []optionSeed          `json:"options"`
	Quote      *struct {
		Day  int    `json:"issued_day"`
		Note string `json:"note"`
	} `json:"quote"`
	Accept *struct {
		Day       int    `json:"day"`
		Name      string `json:"name"`
		Signature string `json:"signature"`
	} `json:"accept"`
	Cash     *cashSeed `json:"cash"`
	Releases []struct {
		Task    string `json:"task"`
		WorkDay int    `json:"work_day"`
		Note    string `json:"note"`
	} `json:"releases"`
	Hours []struct {
		Person  string           `json:"person"`
		Task    string           `json:"task"`
		WorkDay int              `json:"work_day"`
		From    string           `json:"from"`
		To      string           `json:"to"`
		ToGo    *decimal.Decimal `json:"hours_to_go"`
		Done    bool             `json:"done"`
		Note    string           `json:"note"`
	} `json:"hours"`
	Waiting []struct {
		Person  string             `json:"person"`
		WorkDay int                `json:"work_day"`
		From    string             `json:"from"`
		To      string             `json:"to"`
		Code    domain.WaitingCode `json:"code"`
		Note    string             `json:"note"`
	} `json:"waiting"`
}

// Starting is what any new shop begins with.
type Starting struct {
	PriceBook domain.PriceBook
	Templates []domain.TemplatePlan
}

// ReadStarting reads the price book and the templates from the seed files.
func ReadStarting(files fs.FS) (Starting, error) {
	var book struct {
		Note string `json:"note"`
		domain.PriceBook
		Sublets []json.RawMessage `json:"sublets"`
	}
	var out Starting
	if err := read(files, "price-book.json", &book); err != nil {
		return out, err
	}
	out.PriceBook = book.PriceBook
	var err error
	out.Templates, err = readTemplates(files)
	return out, err
}

func readTemplates(files fs.FS) ([]domain.TemplatePlan, error) {
	names, err := fs.Glob(files, "templates/*.json")
	if err != nil {
		return nil, err
	}
	out := make([]domain.TemplatePlan, len(names))
	for i, name := range names {
		if err := read(files, name, &out[i]); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// ReadRules reads the rule sets on consent from the seed files.
func ReadRules(files fs.FS) ([]localrules.RuleSet, error) {
	names, err := fs.Glob(files, "rules/*.json")
	if err != nil {
		return nil, err
	}
	var out []localrules.RuleSet
	for _, name := range names {
		text, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		rule, err := localrules.Parse(text)
		if err != nil {
			return nil, fmt.Errorf("seeds/%s: %w", path.Clean(name), err)
		}
		out = append(out, rule)
	}
	return out, nil
}

// Craft is what the program brings for every shop: frames to start from, the
// repair list for jobs whose template has none of its own, the setup for takeoffs,
// the methods and the judging sheet that a shop begins with, and what work puts right on it.
type Craft struct {
	Frames   []domain.FrameLayout // by code
	Repairs  repair.List
	Takeoff  takeoff.System
	Methods  method.List
	Brought  []method.List // of templates that come with rules of their own
	Sheet    points.Sheet  // the judging sheet that a shop begins with
	PutRight domain.PutRight
}

// ReadCraft reads frames, repairs, the setup for takeoffs, the methods and the sheet from the
// seed files.
func ReadCraft(files fs.FS) (Craft, error) {
	var out Craft
	names, err := fs.Glob(files, "frames/*.json")
	if err != nil {
		return out, err
	}
	for _, name := range names {
		var l domain.FrameLayout
		if err := read(files, name, &l); err != nil {
			return out, err
		}
		if err := l.Validate(); err != nil {
			return out, fmt.Errorf("seeds/%s: %w", name, err)
		}
		out.Frames = append(out.Frames, l)
	}
	text, err := fs.ReadFile(files, "repairs.json")
	if err != nil {
		return out, err
	}
	if out.Repairs, err = repair.Parse(text); err != nil {
		return out, err
	}
	if text, err = fs.ReadFile(files, "takeoff.json"); err != nil {
		return out, err
	}
	if out.Takeoff, err = takeoff.Parse(text); err != nil {
		return out, err
	}
	if text, err = fs.ReadFile(files, "methods.json"); err != nil {
		return out, err
	}
	coats := make([]method.Named, len(out.Takeoff.Coats))
	for i, c := range out.Takeoff.Coats {
		coats[i] = method.Named{Key: c.Key, Name: c.Name}
	}
	if out.Methods, err = method.Parse(text, method.Known{Quantities: method.TakeoffQuantities(coats...)}); err != nil {
		return out, err
	}
	plans, err := readTemplates(files)
	if err != nil {
		return out, err
	}
	for _, plan := range plans {
		if plan.Methods != nil {
			out.Brought = append(out.Brought, *plan.Methods)
		}
	}
	if text, err = fs.ReadFile(files, "sheets/separate-body-frame.json"); err != nil {
		return out, err
	}
	if out.Sheet, err = points.ParseSheet(text); err != nil {
		return out, err
	}
	if err := read(files, "put-right.json", &out.PutRight); err != nil {
		return out, err
	}
	return out, out.PutRight.Validate()
}

func read(files fs.FS, name string, into any) error {
	raw, err := fs.ReadFile(files, name)
	if err != nil {
		return err
	}
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return fmt.Errorf("seeds/%s: %w", path.Clean(name), err)
	}
	return nil
}

func (s shopSeed) settings(today time.Time) domain.ShopSettings {
	out := domain.ShopSettings{Name: s.Name, Address: s.Address, Currency: s.Currency, Locale: s.Locale, TimeZone: s.TimeZone, Units: s.Units,
		TaxBasis: s.TaxBasis, Terms: strings.Join(s.Terms, "\n"), QuoteValidDays: s.QuoteValidDays, DepositPercent: s.Deposit, Draws: s.Draws,
		TolerancePercent: s.Tolerance}
	for _, st := range s.Stations {
		out.Stations = append(out.Stations, domain.Station{Key: st.Key, Name: st.Name, Capacity: st.Capacity, Roster: rosterOf(nil, st.Closures, today)})
	}
	for _, class := range pricing.TaxClasses() {
		out.TaxRates = append(out.TaxRates, domain.TaxRate{Class: class, Percent: s.TaxRates[class]})
	}
	return out
}

func (s shopSeed) calendar(today time.Time) calendar.Spec {
	spec := calendar.Spec{TimeZone: s.TimeZone, Week: map[string][]calendar.Interval{}, Holidays: s.Holidays}
	for _, d := range s.Week {
		if len(d.Shifts) > 0 {
			spec.Week[d.Day] = d.Shifts
		}
	}
	for _, c := range s.Closures {
		spec.Closures = append(spec.Closures, calendar.Closure{From: today.AddDate(0, 0, c.FromDay).Format(time.DateOnly),
			To: today.AddDate(0, 0, c.ToDay).Format(time.DateOnly), Reason: c.Reason})
	}
	return spec
}

package domain

import (
	"fmt"
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"
	"bareframe/internal/money"
	"bareframe/internal/pricing"
)

// Shop is one business. Every other row belongs to exactly one.
type Shop struct {
	ID        ID
	Version   int // of the settings
	CreatedAt time.Time
	Demo      bool
	Settings  ShopSettings

	CalendarVersion int
	Calendar        calendar.Spec // its TimeZone is always Settings.TimeZone

	PriceBookVersion int
	PriceBook        PriceBook // every dated row; see PriceBook.On

	RulesVersion int
	Rules        ShopRules // see GoesBy
}

// ShopSettings is what the owner may change about the shop.
type ShopSettings struct {
	Name             string           `json:"name"`
	Address          string           `json:"address"`
	Currency         string           `json:"currency"` // ISO 4217
	Locale           string           `json:"locale"`   // BCP 47
	TimeZone         string           `json:"time_zone"`
	Units            string           `json:"units"` // metric or inch
	TaxBasis         pricing.TaxBasis `json:"tax_basis"`
	TaxRates         []TaxRate        `json:"tax_rates"`
	Terms            string           `json:"terms"`
	QuoteValidDays   int              `json:"quote_valid_days"`
	DepositPercent   decimal.Decimal  `json:"deposit_percent"`
	Draws            []DrawRule       `json:"draws"`
	TolerancePercent decimal.Decimal  `json:"tolerance_percent"` // over the authorised amount; check local law
	Stations         []Station        `json:"stations"`
	Floor            *FloorRules      `json:"floor,omitempty"`      // see FloorRules
	Texts            []ShopText       `json:"texts,omitempty"`      // those the shop worded itself
	Currencies       []ShopCurrency   `json:"currencies,omitempty"` // besides its own
}

// Wording is what of the shop's texts goes into a quote.
func (s ShopSettings) Wording() Wording {
	return Wording{Opening: s.Text(QuoteOpening), Closing: s.Text(QuoteClosing), Terms: s.Terms}
}

// Keeping is the settings with the texts, currencies, rules of the floor and
// hours of stations that stood before, where they name none.
func (s ShopSettings) Keeping(before ShopSettings) ShopSettings {
	if s.Texts == nil {
		s.Texts = before.Texts
	}
	if s.Currencies == nil {
		s.Currencies = before.Currencies
	}
	if s.Floor == nil {
		s.Floor = before.Floor
	}
	s.Stations = keepingRosters(s.Stations, before.Stations)
	return s
}

// keepingRosters gives stations that say nothing of their hours those that stood.
func keepingRosters(stations, before []Station) []Station {
	out := slices.Clone(stations)
	for i, s := range out {
		at := slices.IndexFunc(before, func(b Station) bool { return b.Key == s.Key })
		if s.Roster == nil && at >= 0 {
			out[i].Roster = before[at].Roster
		}
	}
	return out
}

// ValidateStations names what is wrong with the hours and closures of stations,
// given the shop's calendar.
func (s ShopSettings) ValidateStations(hours calendar.Spec) error {
	var c fault.Collector
	hours.TimeZone = s.TimeZone
	for i, st := range s.Stations {
		st.Roster.faults(&c, fmt.Sprintf("/stations/%d/roster", i), Shop{Settings: s, Calendar: hours}, StationReasons())
	}
	return c.Err("shop-settings-invalid")
}

// TaxRate is the percentage a tax class bears.
type TaxRate struct {
	Class   pricing.TaxClass `json:"class"`
	Percent decimal.Decimal  `json:"percent"`
}

// Station is a place that a task occupies.
type Station struct {
	Key      string  `json:"key"`
	Name     string  `json:"name"`
	Capacity int     `json:"capacity"`
	Roster   *Roster `json:"roster,omitempty"` // when it can be used; nil: while the shop is open
}

// Zone returns the shop's time zone.
func (s Shop) Zone() *time.Location {
	zone, err := time.LoadLocation(s.Settings.TimeZone)
	if err != nil {
		return time.UTC
	}
	return zone
}

var hundred = decimal.NewFromInt(100)

// Validate names every setting that cannot stand. Deposit and draws must add
// up to 100 percent, because they are the whole of the price.
func (s ShopSettings) Validate() error {
	var c fault.Collector
	if _, err := money.ParseCurrency(s.Currency); err != nil {
		c.Add("/currency", "%q is not a currency this shop can use; give an ISO 4217 code such as EUR.", s.Currency)
	}
	if _, err := time.LoadLocation(s.TimeZone); err != nil || s.TimeZone == "" || s.TimeZone == "Local" {
		c.Add("/time_zone", "%q is not a time zone; give a name such as Europe/Berlin.", s.TimeZone)
	}
	if s.Units != "metric" && s.Units != "inch" {
		c.Add("/units", "Units are metric or inch.")
	}
	if s.TaxBasis != pricing.PerDocument && s.TaxBasis != pricing.PerLine {
		c.Add("/tax_basis", "Tax is worked out per document or per line.")
	}
	seen := map[pricing.TaxClass]bool{}
	for i, r := range s.TaxRates {
		if seen[r.Class] {
			c.Add(fmt.Sprintf("/tax_rates/%d/class", i), "%s stands twice.", r.Class)
		}
		seen[r.Class] = true
		if r.Percent.IsNegative() || r.Percent.GreaterThan(hundred) {
			c.Add(fmt.Sprintf("/tax_rates/%d/percent", i), "A rate lies between 0 and 100 percent.")
		}
	}
	for _, class := range pricing.TaxClasses() {
		if !seen[class] && class != pricing.Exempt {
			c.Add("/tax_rates", "There is no rate for %s.", class)
		}
	}
	if s.DepositPercent.IsNegative() {
		c.Add("/deposit_percent", "A deposit is not negative.")
	}
	sum := s.DepositPercent
	for i, d := range s.Draws {
		d.faults(&c, fmt.Sprintf("/draws/%d", i))
		sum = sum.Add(d.Percent)
	}
	if !sum.Equal(hundred) {
		c.Add("/draws", "Deposit and draws add up to %s percent; they must be 100.", sum.String())
	}
	keys := map[string]bool{}
	for i, st := range s.Stations {
		if keys[st.Key] {
			c.Add(fmt.Sprintf("/stations/%d/key", i), "Station %s stands twice.", st.Key)
		}
		keys[st.Key] = true
		if st.Capacity < 1 {
			c.Add(fmt.Sprintf("/stations/%d/capacity", i), "%s holds nothing; a station that is out of use is closed from day to day.", st.Name)
		}
	}
	s.floorFaults(&c)
	s.textFaults(&c)
	s.currencyFaults(&c)
	return c.Err("shop-settings-invalid")
}

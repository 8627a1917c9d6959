package api

import (
	"fmt"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

func shopView(s domain.Shop) Shop {
	set := s.Settings
	return Shop{ID: s.ID, Version: s.Version, Settings: ShopDraft{
		Name: set.Name, Address: set.Address, Currency: set.Currency, Locale: set.Locale, TimeZone: set.TimeZone, Units: Units(set.Units),
		TaxBasis: TaxBasis(set.TaxBasis),
		TaxRates: each(set.TaxRates, func(t domain.TaxRate) TaxRate {
			return TaxRate{Class: TaxClass(t.Class), Percent: plainText(t.Percent)}
		}),
		Terms:          set.Terms,
		QuoteValidDays: set.QuoteValidDays,
		DepositPercent: plainText(set.DepositPercent),
		Draws:          each(set.Draws, drawRuleView),

		TolerancePercent: plainText(set.TolerancePercent),
		Stations:         each(set.Stations, stationView),
		Floor:            floorRulesView(set.FloorRules()),
		Texts:            pointer(each(set.Texts, textView)),
		Currencies:       pointer(each(set.Currencies, currencyView)),
	}}
}

func settingsFrom(d ShopDraft) (domain.ShopSettings, error) {
	var r reading
	set := domain.ShopSettings{
		Name: d.Name, Address: d.Address, Currency: d.Currency, Locale: d.Locale, TimeZone: d.TimeZone, Units: string(d.Units),
		TaxBasis: pricing.TaxBasis(d.TaxBasis), TaxRates: []domain.TaxRate{}, Terms: d.Terms, QuoteValidDays: d.QuoteValidDays,
		DepositPercent:   r.decimal("/deposit_percent", d.DepositPercent),
		Draws:            []domain.DrawRule{},
		TolerancePercent: r.decimal("/tolerance_percent", d.TolerancePercent),
		Stations:         each(d.Stations, stationFrom),
	}
	if d.Floor != nil {
		set.Floor = &domain.FloorRules{ReplanToleranceDays: d.Floor.ReplanToleranceDays, PlanSeconds: d.Floor.PlanSeconds}
	}
	for i, t := range d.TaxRates {
		set.TaxRates = append(set.TaxRates, domain.TaxRate{Class: pricing.TaxClass(t.Class), Percent: r.decimal(fmt.Sprintf("/tax_rates/%d/percent", i), t.Percent)})
	}
	for i, w := range d.Draws {
		set.Draws = append(set.Draws, drawRuleFrom(&r, fmt.Sprintf("/draws/%d", i), w))
	}
	if d.Texts != nil {
		set.Texts = each(*d.Texts, func(t ShopText) domain.ShopText { return domain.ShopText{Key: domain.TextKey(t.Key), Text: t.Text} })
	}
	if d.Currencies != nil {
		set.Currencies = []domain.ShopCurrency{}
		for i, x := range *d.Currencies {
			set.Currencies = append(set.Currencies, domain.ShopCurrency{Code: x.Code, Rate: r.decimal(fmt.Sprintf("/currencies/%d/rate", i), x.Rate), On: domain.Day(x.On)})
		}
	}
	return set, r.err()
}

func calendarView(s domain.Shop, closed []calendar.ClosedDay) ShopCalendar {
	return ShopCalendar{
		Version: s.CalendarVersion, TimeZone: s.Settings.TimeZone,
		Settings: ShopCalendarDraft{
			Week:     weekView(s.Calendar.Week),
			Holidays: s.Calendar.Holidays,
			Closures: each(s.Calendar.Closures, func(c calendar.Closure) Closure { return Closure{From: c.From, To: c.To, Reason: c.Reason} }),
			Openings: each(s.Calendar.Openings, func(o calendar.Opening) Opening {
				return Opening{Day: o.Day, Intervals: shiftsView(o.Intervals), Reason: o.Reason}
			}),
		},
		HolidayRegions: calendar.Regions(),
		UpcomingClosed: each(closed, func(c calendar.ClosedDay) ClosedDay { return ClosedDay{Day: c.Day, Reason: c.Reason} }),
	}
}

// calendarFrom reads everything but the time zone, which is a setting of the
// shop. Whether days and times exist is for the calendar to say.
func calendarFrom(d ShopCalendarDraft) calendar.Spec {
	return calendar.Spec{
		Week:     weekFrom(d.Week),
		Holidays: d.Holidays,
		Closures: each(d.Closures, func(c Closure) calendar.Closure { return calendar.Closure{From: c.From, To: c.To, Reason: c.Reason} }),
		Openings: each(d.Openings, func(o Opening) calendar.Opening {
			return calendar.Opening{Day: o.Day, Intervals: intervalsFrom(o.Intervals), Reason: o.Reason}
		}),
	}
}

// daysOf names the places of a week's days. A day that is left out is closed.
func daysOf(w *Week) map[string]**Shifts {
	return map[string]**Shifts{
		"monday": &w.Monday, "tuesday": &w.Tuesday, "wednesday": &w.Wednesday, "thursday": &w.Thursday,
		"friday": &w.Friday, "saturday": &w.Saturday, "sunday": &w.Sunday,
	}
}

func weekView(week map[string][]calendar.Interval) Week {
	var out Week
	for name, day := range daysOf(&out) {
		if intervals, open := week[name]; open {
			shifts := shiftsView(intervals)
			*day = &shifts
		}
	}
	return out
}

func weekFrom(w Week) map[string][]calendar.Interval {
	out := map[string][]calendar.Interval{}
	for name, day := range daysOf(&w) {
		if *day != nil {
			out[name] = intervalsFrom(**day)
		}
	}
	return out
}

func shiftsView(list []calendar.Interval) Shifts {
	return each(list, func(i calendar.Interval) Shift { return Shift{From: i.From, To: i.To} })
}

func intervalsFrom(list Shifts) []calendar.Interval {
	return each(list, func(s Shift) calendar.Interval { return calendar.Interval{From: s.From, To: s.To} })
}

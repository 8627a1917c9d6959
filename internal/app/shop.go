package app

import (
	"context"
	"slices"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// Shop returns the actor's shop.
func (a *App) Shop(ctx context.Context, actor domain.Actor) (shop domain.Shop, err error) {
	err = a.view(ctx, actor, "getShop", func(r Reader) (err error) {
		shop, err = r.Shop()
		return err
	})
	return shop, err
}

// ShopNow, CalendarNow and PriceBookNow are the evidence of a stale edit: what
// is stored now.
type (
	ShopNow      struct{ domain.Shop }
	CalendarNow  struct{ domain.Shop }
	PriceBookNow struct {
		Book    domain.PriceBook // as it holds today
		Version int
		On      domain.Day
	}
)

// ChangeShop replaces the settings. The currency stays once a job exists, and
// so does a station that an open job's task needs.
func (a *App) ChangeShop(ctx context.Context, actor domain.Actor, made Precondition, settings domain.ShopSettings) (shop domain.Shop, err error) {
	err = a.change(ctx, actor, "changeShop", func(w *work) error {
		if shop, err = w.Shop(); err != nil {
			return err
		}
		before := shop.Settings
		if err := made.check(shop.Version, ShopNow{shop}); err != nil {
			return err
		}
		settings = settings.Keeping(before)
		if err := settings.Validate(); err != nil {
			return err
		}
		if err := settings.ValidateStations(shop.Calendar); err != nil {
			return err
		}
		if err := ratesStand(before, settings, domain.DayOf(w.now, shop.Zone())); err != nil {
			return err
		}
		if settings.Currency != before.Currency {
			jobs, _, err := w.Jobs(nil, "", Page{Limit: 1})
			if err != nil {
				return err
			}
			if len(jobs) > 0 {
				return fault.InvalidField("currency-fixed", "/currency", "The currency stays %s: there are jobs priced in it.", before.Currency)
			}
		}
		if err := w.stationsStay(settings.Stations); err != nil {
			return err
		}
		settings.Texts = settings.OwnTexts()
		shop.Settings = settings
		shop.Version++
		if settings.TimeZone != shop.Calendar.TimeZone {
			shop.Calendar.TimeZone = settings.TimeZone
			shop.CalendarVersion++
			if _, err := calendar.New(shop.Calendar); err != nil {
				return err
			}
		}
		if err := w.SaveShop(shop); err != nil {
			return err
		}
		w.events = append(w.events, Event{ShopID: shop.ID, What: "shop"})
		return w.trail("shop "+shop.ID, "", before, settings)
	})
	if err == nil {
		a.watches.forgetAll() // the tolerance may have moved
	}
	return shop, err
}

// ChangeCalendar replaces when the shop works; the time zone is a setting.
func (a *App) ChangeCalendar(ctx context.Context, actor domain.Actor, made Precondition, spec calendar.Spec) (shop domain.Shop, err error) {
	err = a.change(ctx, actor, "changeCalendar", func(w *work) error {
		if shop, err = w.Shop(); err != nil {
			return err
		}
		before := shop.Calendar
		if err := made.check(shop.CalendarVersion, CalendarNow{shop}); err != nil {
			return err
		}
		spec.TimeZone = shop.Settings.TimeZone
		if _, err := calendar.New(spec); err != nil {
			return err
		}
		shop.Calendar = spec
		shop.CalendarVersion++
		if err := w.SaveShop(shop); err != nil {
			return err
		}
		w.events = append(w.events, Event{ShopID: shop.ID, What: "shop"})
		return w.trail("calendar "+shop.ID, "", before, spec)
	})
	return shop, err
}

// openStates are the states in which a job's estimate is still priced.
var openStates = []domain.JobState{domain.Enquiry, domain.Surveyed, domain.Quoted, domain.Accepted, domain.InWork}

// skillsStay refuses a price book without a skill that an open job's task needs
// or that somebody has.
func (w *work) skillsStay(book domain.PriceBook) error {
	err := w.eachOpenTask(func(j domain.Job, t domain.Task) error {
		for _, need := range append([]domain.Helper{{Skill: t.Skill}}, t.Floor.Helpers...) {
			if _, ok := book.Rate(need.Skill); need.Skill != "" && !ok {
				return fault.InvalidField("skill-in-use", "/labour", "Skill %s is needed by job %d, %s.", need.Skill, j.Number, t.Describe())
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	for page := (Page{Limit: 200}); ; {
		people, next, err := w.People("", page)
		if err != nil {
			return err
		}
		for _, p := range people {
			for _, skill := range p.Skills {
				if _, ok := book.Rate(skill); !ok {
					return fault.InvalidField("skill-in-use", "/labour", "%s has the skill %s; take it off them first.", p.Name, skill)
				}
			}
		}
		if next == "" {
			return nil
		}
		page.After = next
	}
}

// stationsStay refuses settings without a station that an open job's task needs.
func (w *work) stationsStay(stations []domain.Station) error {
	return w.eachOpenTask(func(j domain.Job, t domain.Task) error {
		if t.Station != "" && !slices.ContainsFunc(stations, func(s domain.Station) bool { return s.Key == t.Station }) {
			return fault.InvalidField("station-in-use", "/stations", "Station %s is needed by job %d, %s.", t.Station, j.Number, t.Describe())
		}
		return nil
	})
}

// eachOpenTask calls fn on the tasks of all jobs whose work is not over, until
// it fails.
func (w *work) eachOpenTask(fn func(domain.Job, domain.Task) error) error {
	jobs, err := allJobs(w, openStates, "")
	if err != nil {
		return err
	}
	ids := make([]domain.ID, len(jobs))
	for i, j := range jobs {
		ids[i] = j.ID
	}
	estimates, err := w.Estimates(ids)
	if err != nil {
		return err
	}
	for _, j := range jobs {
		for _, t := range estimates[j.ID].Tasks {
			if err := fn(j, t); err != nil {
				return err
			}
		}
	}
	return nil
}

// allJobs walks every page of the jobs in some states.
func allJobs(r Reader, states []domain.JobState, clientID domain.ID) ([]domain.Job, error) {
	var all []domain.Job
	page := Page{Limit: 200}
	for {
		jobs, next, err := r.Jobs(states, clientID, page)
		if err != nil {
			return nil, err
		}
		all = append(all, jobs...)
		if next == "" {
			return all, nil
		}
		page.After = next
	}
}

// calendarKey names one version of one shop's calendar.
type calendarKey struct {
	shop    domain.ID
	version int
}

// calendarOf builds the shop's calendar once a version.
func (a *App) calendarOf(shop domain.Shop) (*calendar.Calendar, error) {
	return a.calendars.get(calendarKey{shop.ID, shop.CalendarVersion}, func() (*calendar.Calendar, error) { return calendar.New(shop.Calendar) })
}

// standardDay is the working minutes of the shop's longest ordinary weekday,
// the measure of "a working day" in lead times and lateness.
func standardDay(spec calendar.Spec) calendar.Minutes {
	longest := calendar.Minutes(0)
	for _, shifts := range spec.Week {
		longest = max(longest, shiftMinutes(shifts))
	}
	if longest == 0 {
		return 8 * 60
	}
	return longest
}

func shiftMinutes(shifts []calendar.Interval) calendar.Minutes {
	total := calendar.Minutes(0)
	for _, s := range shifts {
		total += calendar.Minutes(wallMinute(s.To) - wallMinute(s.From))
	}
	return total
}

func wallMinute(hhmm string) int {
	if len(hhmm) != 5 {
		return 0
	}
	digit := func(i int) int { return int(hhmm[i] - '0') }
	return (digit(0)*10+digit(1))*60 + digit(3)*10 + digit(4)
}

// ClosedAhead lists the closed working days of the next year, for the screen.
func (a *App) ClosedAhead(shop domain.Shop) ([]calendar.ClosedDay, error) {
	cal, err := a.calendarOf(shop)
	if err != nil {
		return nil, err
	}
	now := a.now()
	days := cal.ClosedDays(now, now.AddDate(1, 0, 0))
	return slices.Clip(days), nil
}

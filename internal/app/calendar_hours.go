package app

import (
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
)

// workingHours says when tasks of a plan are really worked: while everybody on
// them and their stations are there.
type workingHours struct {
	shop     domain.Shop
	cal      *calendar.Calendar
	people   map[domain.ID]domain.Person
	stations map[string]domain.Station
	laid     map[string]*calendar.Calendar // rosters over the shop's hours, as they were needed
}

func newWorkingHours(shop domain.Shop, cal *calendar.Calendar, people map[domain.ID]domain.Person) *workingHours {
	h := &workingHours{shop: shop, cal: cal, people: people, stations: map[string]domain.Station{}, laid: map[string]*calendar.Calendar{}}
	for _, s := range shop.Settings.Stations {
		h.stations[s.Key] = s
	}
	return h
}

// of gives the stretches of a bar, in order. What needs nobody is one stretch, day
// and night. Of work that has begun the plan says what is left, from when it was
// made. Where today's hours leave nothing of what the plan says, the plan stands.
// O(stretches × people and stations).
func (h *workingHours) of(b FloorBar, madeAt time.Time) ([]calendar.Span, error) {
	whole := []calendar.Span{{From: b.Start.UTC(), To: b.Finish.UTC()}}
	if takesNobody(b) {
		return whole, nil
	}
	if len(b.Pieces) > 0 {
		whole = b.Pieces
	} else if from := madeAt.UTC().Truncate(time.Minute); b.Progress == "in_progress" && from.After(b.Start) && from.Before(b.Finish) {
		whole[0].From = from
	}
	calendars, err := h.calendarsOf(b)
	if err != nil {
		return nil, err
	}
	var out []calendar.Span
	for _, piece := range whole {
		open := []calendar.Span{piece}
		for _, c := range calendars {
			open = common(open, c.OpenIntervals(piece.From, piece.To))
		}
		if len(open) == 0 {
			open = []calendar.Span{piece}
		}
		out = append(out, open...)
	}
	return out, nil
}

func (h *workingHours) calendarsOf(b FloorBar) ([]*calendar.Calendar, error) {
	out := []*calendar.Calendar{h.cal}
	add := func(key string, r *domain.Roster) error {
		if r.Empty() {
			return nil
		}
		c, ok := h.laid[key]
		if !ok {
			var err error
			if c, err = r.Over(h.cal); err != nil {
				return err
			}
			h.laid[key] = c
		}
		out = append(out, c)
		return nil
	}
	for _, id := range b.People {
		if err := add("person "+id, h.people[id].Roster); err != nil {
			return nil, err
		}
	}
	for _, key := range b.Stations {
		if err := add("station "+key, h.stations[key].Roster); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// common gives what lies in both of two lists of stretches, each in order. O(stretches).
func common(a, b []calendar.Span) []calendar.Span {
	var out []calendar.Span
	for i, k := 0, 0; i < len(a) && k < len(b); {
		from, to := a[i].From, a[i].To
		if b[k].From.After(from) {
			from = b[k].From
		}
		if b[k].To.Before(to) {
			to = b[k].To
		}
		if from.Before(to) {
			out = append(out, calendar.Span{From: from, To: to})
		}
		if a[i].To.Before(b[k].To) {
			i++
		} else {
			k++
		}
	}
	return out
}

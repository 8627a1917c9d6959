package app

import (
	"fmt"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/network"
)

func dec(text string) decimal.Decimal { return decimal.RequireFromString(text) }

// The cases below are worked by hand on a week of Monday to Friday 08:00 to
// 12:00 and 12:30 to 16:30, in UTC; 3 March 2031 is a Monday.
func weekdays(t *testing.T) *calendar.Calendar {
	t.Helper()
	spec := StartingCalendar()
	spec.TimeZone = "UTC"
	cal, err := calendar.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	return cal
}

const workday = 8 * 60

func on(day int, wall string) time.Time {
	clock, err := time.Parse("15:04", wall)
	if err != nil {
		panic(err)
	}
	return time.Date(2031, 3, day, clock.Hour(), clock.Minute(), 0, 0, time.UTC)
}

func ptr[T any](v T) *T { return &v }

func task(id string) domain.Task {
	return domain.Task{ID: id, Kind: domain.Work, Crew: 1, Hours: domain.ThreePoint{Low: dec("8"), Likely: dec("8"), High: dec("8")}}
}

func cure(id string, hours string) domain.Task {
	return domain.Task{ID: id, Kind: domain.Cure, ElapsedHours: dec(hours)}
}

func sublet(id string, days int) domain.Task {
	return domain.Task{ID: id, Kind: domain.Sublet, LeadDays: days}
}

func released(t domain.Task, at time.Time) domain.Task { t.ReleasedAt = &at; return t }

func follows(from, to string) domain.Link {
	return domain.Link{ID: from + "-" + to, FromID: from, ToID: to, Type: network.FS, LagKind: calendar.Working}
}

func done(from, to time.Time) domain.TaskProgress {
	return domain.TaskProgress{WorkedMinutes: 60, Started: &from, Finished: &to}
}

// says writes what is known of a task in one line.
func (a actual) says() string {
	wall := func(t *time.Time) string {
		if t == nil {
			return "-"
		}
		return t.Format("2 15:04")
	}
	left := "-"
	if a.left != nil {
		left = fmt.Sprint(*a.left)
	}
	return wall(a.start) + " to " + wall(a.finish) + ", left " + left
}

func TestWhatHappenedSoFar(t *testing.T) {
	cal := weekdays(t)
	paint := done(on(7, "08:00"), on(7, "16:30")) // Friday
	lagged := follows("paint", "cure")
	lagged.LagHours, lagged.LagKind = dec("2"), calendar.Elapsed
	worked := lagged
	worked.LagKind = calendar.Working
	for _, r := range []struct {
		name     string
		now      time.Time
		tasks    []domain.Task
		links    []domain.Link
		progress map[string]domain.TaskProgress
		want     map[string]string
	}{
		{"nothing yet", on(3, "10:00"), []domain.Task{task("a"), cure("c", "24"), sublet("s", 2)}, []domain.Link{follows("a", "c")}, nil, map[string]string{}},
		{"work under way: 8 h less the hour worked are left", on(3, "10:00"), []domain.Task{task("a")}, nil,
			map[string]domain.TaskProgress{"a": {WorkedMinutes: 60, Started: ptr(on(3, "08:00"))}}, map[string]string{"a": "3 08:00 to -, left 420"}},
		{"hours to go beat the estimate; two people halve them", on(3, "10:00"), []domain.Task{{ID: "a", Kind: domain.Work, Crew: 2}}, nil,
			map[string]domain.TaskProgress{"a": {WorkedMinutes: 60, Started: ptr(on(3, "08:00")), ToGo: ptr(dec("5"))}}, map[string]string{"a": "3 08:00 to -, left 150"}},
		{"a start ahead of the clock is now", on(3, "10:00"), []domain.Task{task("a")}, nil,
			map[string]domain.TaskProgress{"a": {Started: ptr(on(3, "10:01"))}}, map[string]string{"a": "3 10:00 to -, left 480"}},
		{"a cure runs over the weekend: Friday 16:30 and 72 h is Monday 16:30; at Monday 10:00 6 h 30 are left", on(10, "10:00"),
			[]domain.Task{task("paint"), cure("cure", "72")}, []domain.Link{follows("paint", "cure")}, map[string]domain.TaskProgress{"paint": paint},
			map[string]string{"paint": "7 08:00 to 7 16:30, left -", "cure": "7 16:30 to -, left 390"}},
		{"and ends by itself", on(10, "16:30"),
			[]domain.Task{task("paint"), cure("cure", "72")}, []domain.Link{follows("paint", "cure")}, map[string]domain.TaskProgress{"paint": paint},
			map[string]string{"paint": "7 08:00 to 7 16:30, left -", "cure": "7 16:30 to 10 16:30, left -"}},
		{"two hours by the clock before it begins: Friday 18:30", on(8, "12:00"),
			[]domain.Task{task("paint"), cure("cure", "10")}, []domain.Link{lagged}, map[string]domain.TaskProgress{"paint": paint},
			map[string]string{"paint": "7 08:00 to 7 16:30, left -", "cure": "7 18:30 to 8 04:30, left -"}},
		{"two working hours before it begins: Monday 10:00", on(10, "12:00"),
			[]domain.Task{task("paint"), cure("cure", "10")}, []domain.Link{worked}, map[string]domain.TaskProgress{"paint": paint},
			map[string]string{"paint": "7 08:00 to 7 16:30, left -", "cure": "10 10:00 to -, left 480"}},
		{"before it begins there is nothing", on(10, "09:59"),
			[]domain.Task{task("paint"), cure("cure", "10")}, []domain.Link{worked}, map[string]domain.TaskProgress{"paint": paint},
			map[string]string{"paint": "7 08:00 to 7 16:30, left -"}},
		{"a chain of cures, listed backwards: 16:30, 20:30, 02:30, and 9 h 30 of 24 are over at Saturday 12:00", on(8, "12:00"),
			[]domain.Task{cure("c3", "24"), cure("c2", "6"), cure("c1", "4"), task("paint")},
			[]domain.Link{follows("c2", "c3"), follows("c1", "c2"), follows("paint", "c1")}, map[string]domain.TaskProgress{"paint": paint},
			map[string]string{"paint": "7 08:00 to 7 16:30, left -", "c1": "7 16:30 to 7 20:30, left -", "c2": "7 20:30 to 8 02:30, left -", "c3": "8 02:30 to -, left 870"}},
		{"somebody went on before the cure was over: it ended then", on(10, "12:00"),
			[]domain.Task{task("paint"), cure("cure", "72"), task("sand")}, []domain.Link{follows("paint", "cure"), follows("cure", "sand")},
			map[string]domain.TaskProgress{"paint": paint, "sand": {Started: ptr(on(10, "08:00"))}},
			map[string]string{"paint": "7 08:00 to 7 16:30, left -", "cure": "7 16:30 to 10 08:00, left -", "sand": "10 08:00 to -, left 480"}},
		{"a cure waits for all that it follows", on(10, "12:00"),
			[]domain.Task{task("paint"), task("mask"), cure("cure", "1")}, []domain.Link{follows("paint", "cure"), follows("mask", "cure")},
			map[string]domain.TaskProgress{"paint": paint}, map[string]string{"paint": "7 08:00 to 7 16:30, left -"}},
		{"a cure that follows nothing never begins", on(10, "12:00"), []domain.Task{cure("cure", "1")}, nil, nil, map[string]string{}},
		{"sublet work is away: 2 days from Friday 16:30 are due Tuesday 16:30; at Tuesday 12:00 4 h are left", on(11, "12:00"),
			[]domain.Task{task("paint"), sublet("zinc", 2)}, []domain.Link{follows("paint", "zinc")}, map[string]domain.TaskProgress{"paint": paint},
			map[string]string{"paint": "7 08:00 to 7 16:30, left -", "zinc": "7 16:30 to -, left 240"}},
		{"late sublet work does not come back by itself", on(19, "12:00"),
			[]domain.Task{task("paint"), sublet("zinc", 2)}, []domain.Link{follows("paint", "zinc")}, map[string]domain.TaskProgress{"paint": paint},
			map[string]string{"paint": "7 08:00 to 7 16:30, left -", "zinc": "7 16:30 to -, left 0"}},
		{"sublet work that came back: away from Friday to Wednesday", on(13, "12:00"),
			[]domain.Task{task("paint"), released(sublet("zinc", 2), on(12, "09:00"))}, []domain.Link{follows("paint", "zinc")}, map[string]domain.TaskProgress{"paint": paint},
			map[string]string{"paint": "7 08:00 to 7 16:30, left -", "zinc": "7 16:30 to 12 09:00, left -"}},
		{"sublet work noted as back though nothing before it is done", on(13, "12:00"),
			[]domain.Task{task("paint"), released(sublet("zinc", 2), on(12, "09:00"))}, []domain.Link{follows("paint", "zinc")}, nil,
			map[string]string{"zinc": "12 09:00 to 12 09:00, left -"}},
		{"somebody went on with what was sublet: it had come back by then, due Tuesday 16:30 at the latest", on(13, "12:00"),
			[]domain.Task{task("paint"), sublet("zinc", 2), task("fit")}, []domain.Link{follows("paint", "zinc"), follows("zinc", "fit")},
			map[string]domain.TaskProgress{"paint": paint, "fit": {Started: ptr(on(12, "08:00"))}},
			map[string]string{"paint": "7 08:00 to 7 16:30, left -", "zinc": "7 16:30 to 11 16:30, left -", "fit": "12 08:00 to -, left 480"}},
		{"a cure after sublet work that came back: Wednesday 09:00 and 24 h", on(13, "12:00"),
			[]domain.Task{task("paint"), released(sublet("zinc", 2), on(12, "09:00")), cure("air", "24")},
			[]domain.Link{follows("paint", "zinc"), follows("zinc", "air")}, map[string]domain.TaskProgress{"paint": paint},
			map[string]string{"paint": "7 08:00 to 7 16:30, left -", "zinc": "7 16:30 to 12 09:00, left -", "air": "12 09:00 to 13 09:00, left -"}},
		{"a hold ends when it is released, not when its hours are done", on(4, "12:00"),
			[]domain.Task{{ID: "h", Kind: domain.Hold, Crew: 1}, released(domain.Task{ID: "i", Kind: domain.Hold, Crew: 1}, on(4, "10:00"))}, nil,
			map[string]domain.TaskProgress{"h": done(on(3, "08:00"), on(3, "09:00")), "i": done(on(3, "08:00"), on(3, "09:00"))},
			map[string]string{"h": "3 08:00 to -, left 0", "i": "3 08:00 to 4 10:00, left -"}},
	} {
		t.Run(r.name, func(t *testing.T) {
			got := track(cal, workday, domain.Estimate{Tasks: r.tasks, Links: r.links}, r.progress, r.now)
			for id, want := range r.want {
				if says := got[id].says(); says != want {
					t.Errorf("%s: %s, want %s", id, says, want)
				}
			}
			if len(got) != len(r.want) {
				t.Errorf("%d tasks have happened, want %d: %v", len(got), len(r.want), got)
			}
		})
	}
}

func TestHoursLeft(t *testing.T) {
	started := on(3, "08:00")
	for _, r := range []struct {
		name     string
		progress domain.TaskProgress
		want     string
	}{
		{"untouched", domain.TaskProgress{}, "8"},
		{"90 minutes worked", domain.TaskProgress{WorkedMinutes: 90, Started: &started}, "6.5"},
		{"more worked than sold", domain.TaskProgress{WorkedMinutes: 600}, "0"},
		{"said", domain.TaskProgress{WorkedMinutes: 600, ToGo: ptr(dec("2.25"))}, "2.25"},
		{"done", domain.TaskProgress{WorkedMinutes: 60, Finished: &started, ToGo: ptr(dec("2.25"))}, "0"},
	} {
		if got := hoursLeft(task("a"), r.progress); !got.Equal(dec(r.want)) {
			t.Errorf("%s: %s, want %s", r.name, got, r.want)
		}
	}
}

func TestHoursAndMinutes(t *testing.T) {
	for minutes, want := range map[int]string{0: "0", 60: "1", 90: "1.5", 1: "0.02", 20: "0.33", 40: "0.67", 3: "0.05"} {
		if got := hoursOf(minutes); !got.Equal(dec(want)) {
			t.Errorf("%d minutes are %s h, want %s", minutes, got, want)
		}
	}
	for text, want := range map[string]calendar.Minutes{"0": 0, "1.5": 90, "0.01": 1, "-0.01": -1, "-2": -120, "0.33": 20, "3.17": 190} {
		if got := minutesOf(dec(text)); got != want {
			t.Errorf("%s h are %d minutes, want %d", text, got, want)
		}
	}
	for _, r := range []struct {
		hours string
		crew  int
		want  calendar.Minutes
	}{{"3.17", 1, 191}, {"3.17", 2, 96}, {"4", 2, 120}, {"4", 0, 240}, {"0", 3, 0}, {"0.01", 3, 1}} {
		if got := crewMinutes(dec(r.hours), r.crew); got != r.want {
			t.Errorf("a crew of %d takes %d minutes over %s h, want %d", r.crew, got, r.hours, r.want)
		}
	}
}

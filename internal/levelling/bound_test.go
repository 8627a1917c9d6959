package levelling

import (
	"context"
	"testing"

	"bareframe/internal/calendar"
)

// oneWelder is a shop in which nothing is short but one welder.
func oneWelder() Input {
	in := Input{Now: monday, People: []Person{{ID: "w", Skills: []string{"weld"}}}, Stations: []Station{{ID: "s", Capacity: 9}}}
	for k, id := range []string{"a", "b", "c"} {
		in.Jobs = append(in.Jobs, Job{ID: id, Weight: []int{1, 3, 2}[k]})
		in.Tasks = append(in.Tasks, Task{ID: id, Job: id, Duration: calendar.Minutes(60 * (k + 1)), Kind: calendar.Working, Crew: []Crew{{"weld", 1}}})
	}
	return in
}

// One machine, all there at once: the order by weight ÷ work is best (Smith,
// "Various optimizers for single-stage production", Naval Research Logistics
// Quarterly 3, 1956). On paper: b, a, c are done after 120, 180 and 360 minutes,
// and 3 × 120 + 180 + 2 × 360 = 1260, which is also the lateness where everything
// was promised for now.
func TestTheBoundOfOneWelderIsSmithsRule(t *testing.T) {
	for _, promised := range []bool{false, true} {
		in := oneWelder()
		want := Cost{Finish: 1260}
		if promised {
			want.Late = 1260
			for k := range in.Jobs {
				in.Jobs[k].Promise = &in.Now
			}
		}
		r, err := Solve(context.Background(), in, Effort{Schedules: 30}, nil)
		if err != nil || r.Bound != want || r.Cost != want || r.Status != Optimal {
			t.Errorf("promised %v: got %v, cost %+v, bound %+v, %s; want both %+v and optimal", promised, err, r.Cost, r.Bound, r.Status, want)
		}
	}
}

// On paper: the same work by a welder who is there from 08:00 to 10:00 only. b fills
// Monday; a and one hour of c Tuesday; the rest of c Wednesday, as it may stand
// over the night. Now is Monday 07:00, so b ends after 3 h, a after 26 h, c after 51 h:
// 3 × 180 + 1560 + 2 × 3060 = 8220 minutes. The bound takes the mean minute of c's
// work, which is cut by a night, so it stays below; it is above what the jobs need
// alone: a by Monday 09:00, b by 10:00, c by Tuesday 09:00.
func TestTheBoundKnowsCalendars(t *testing.T) {
	in := oneWelder()
	in.People[0].Calendar = &calendar.Spec{TimeZone: "UTC", Week: map[string][]calendar.Interval{
		"monday": {span("08:00", "10:00")}, "tuesday": {span("08:00", "10:00")}, "wednesday": {span("08:00", "10:00")}, "thursday": {span("08:00", "10:00")}}}
	r, err := Solve(context.Background(), in, Effort{Schedules: 30}, nil)
	if err != nil {
		t.Fatal(err)
	}
	best := int64(3*180 + 1560 + 2*3060)
	alone := int64(3*180 + 120 + 2*1560)
	if r.Cost.Finish != best || r.Bound.Finish > best || r.Bound.Finish <= alone {
		t.Errorf("finish %d, bound %d; want %d, and a bound above %d", r.Cost.Finish, r.Bound.Finish, best, alone)
	}
}

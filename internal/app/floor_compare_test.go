package app

import (
	"testing"
	"time"

	"bareframe/internal/domain"
)

// What is said beside two dates agrees with them: 4 March 2031 is a Tuesday, and the
// shop of the tests opens from Monday to Friday.
func TestAMoveAgreesWithItsDates(t *testing.T) {
	b := &floorBase{cal: weekdays(t), day: workday, zone: time.UTC}
	for _, row := range []struct {
		name    string
		was, is time.Time
		want    int
	}{
		{"some hours earlier on one day", on(4, "15:00"), on(4, "10:00"), 0},
		{"some hours later on one day", on(4, "10:00"), on(4, "15:00"), 0},
		{"the day after", on(4, "10:00"), on(5, "10:00"), 1},
		{"the day before", on(5, "10:00"), on(4, "10:00"), -1},
		{"over a weekend", on(7, "10:00"), on(10, "10:00"), 1},
		{"some hours earlier, the evening before", on(5, "08:30"), on(4, "16:00"), -1},
	} {
		jobs := []FloorJob{{JobID: "a", Finish: row.is, Day: domain.DayOf(row.is, b.zone)}}
		compare(jobs, []FloorJob{{JobID: "a", Finish: row.was, Day: domain.DayOf(row.was, b.zone)}}, b)
		if jobs[0].Moved != row.want || !jobs[0].Before.Equal(row.was) {
			t.Errorf("%s: %s to %s moved by %d (before %s), want %d", row.name, row.was, row.is, jobs[0].Moved, jobs[0].Before, row.want)
		}
	}
}

package calendar

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"bareframe/internal/fault"
)

func TestNewNamesEveryFault(t *testing.T) {
	good := []Interval{{"08:00", "12:00"}}
	many := slices.Repeat(good, maxIntervals+1)
	for _, row := range []struct {
		name string
		spec Spec
		want string // pointers, in order
	}{
		{"nothing", Spec{}, "/time_zone"},
		{"no week", Spec{TimeZone: "UTC"}, "/week"},
		{"machine's own zone", Spec{TimeZone: "Local", Week: dayShifts}, "/time_zone"},
		{"a path for a zone", Spec{TimeZone: "../etc/passwd", Week: dayShifts}, "/time_zone"},
		{"a variant with leap seconds", Spec{TimeZone: "right/UTC", Week: dayShifts}, "/time_zone"},
		{"no such zone", Spec{TimeZone: "Europe/Atlantis", Week: dayShifts}, "/time_zone"},
		{"no such region", Spec{TimeZone: "UTC", Week: dayShifts, Holidays: "ZZ"}, "/holidays"},
		{"a day that does not exist", Spec{TimeZone: "UTC", Week: map[string][]Interval{"mon/day~": good}}, "/week/mon~1day~0"},
		{"too many intervals", Spec{TimeZone: "UTC", Week: map[string][]Interval{"monday": many}}, "/week/monday"},
		{"clock times", Spec{TimeZone: "UTC", Week: map[string][]Interval{"monday": {{"8:00", "24:01"}, {"24:00", "24:00"}, {"12:60", "ab:cd"}, {"-1:00", "00:00"}}}},
			"/week/monday/0/from /week/monday/0/to /week/monday/1/from /week/monday/2/from /week/monday/2/to /week/monday/3/from"},
		{"ends before it begins", Spec{TimeZone: "UTC", Week: map[string][]Interval{"monday": {{"12:00", "08:00"}, {"09:00", "09:00"}}}}, "/week/monday/0/to /week/monday/1/to"},
		{"overlap", Spec{TimeZone: "UTC", Week: map[string][]Interval{"monday": {{"12:00", "16:00"}, {"08:00", "12:01"}}}}, "/week/monday/1"},
		{"closures", Spec{TimeZone: "UTC", Week: dayShifts, Closures: []Closure{{"2026-02-30", "2026-03-01", ""}, {"2026-03-02", "2026-03-01", ""}, {"1969-12-31", "2200-01-01", strings.Repeat("x", maxReason+1)}}},
			"/closures/0/from /closures/1/to /closures/2/from /closures/2/to /closures/2/reason"},
		{"openings", Spec{TimeZone: "UTC", Week: dayShifts, Openings: []Opening{{"2026-01-01", good, ""}, {"2026-01-01", good, ""}, {"2026-01-02", nil, ""}, {"1.1.2026", []Interval{{"x", "y"}}, ""}}},
			"/openings/1/day /openings/2/intervals /openings/3/day /openings/3/intervals/0/from /openings/3/intervals/0/to"},
		{"too many days", Spec{TimeZone: "UTC", Week: dayShifts, Closures: make([]Closure, maxDays+1), Openings: make([]Opening, maxDays+1)}, "/closures /openings"},
		{"shut for good", Spec{TimeZone: "UTC", Week: dayShifts, Closures: []Closure{{"2026-01-01", "2027-12-31", ""}}}, "/closures"},
		{"shut bit by bit", Spec{TimeZone: "UTC", Week: map[string][]Interval{"monday": good}, Closures: mondays(60)}, "/closures"},
		{"everywhere", Spec{TimeZone: "x y", Holidays: "de", Week: map[string][]Interval{"Monday": good}, Closures: make([]Closure, 1), Openings: make([]Opening, 1)},
			"/time_zone /week/Monday /holidays /closures/0/from /closures/0/to /openings/0/day /openings/0/intervals"},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := New(row.spec)
			if got := pointers(t, err); got != row.want {
				t.Errorf("got  %s\nwant %s\n%v", got, row.want, err)
			}
		})
	}
}

func mondays(n int) []Closure {
	var list []Closure
	for i := range n {
		d := day("2026-01-05").AddDate(0, 0, 7*i).Format(time.DateOnly)
		list = append(list, Closure{d, d, ""})
	}
	return list
}

// pointers lists the fields of a refusal, which must be fault.Invalid.
func pointers(t *testing.T, err error) string {
	t.Helper()
	e := fault.As(err)
	if e == nil || e.Kind != fault.Invalid {
		t.Fatalf("got %v, want a fault.Invalid", err)
	}
	var list []string
	for _, f := range e.Fields {
		list = append(list, f.Pointer)
		if f.Detail == "" {
			t.Errorf("%s says nothing", f.Pointer)
		}
	}
	return strings.Join(list, " ")
}

func TestLongClosuresThatLeaveOpenDaysAreTaken(t *testing.T) {
	mustNew(t, Spec{TimeZone: "UTC", Week: dayShifts, Closures: []Closure{{"2026-01-05", "2026-12-31", ""}}})
	mustNew(t, Spec{TimeZone: "UTC", Week: dayShifts, Closures: []Closure{{"2026-01-01", "2027-10-31", ""}},
		Openings: []Opening{{"2026-12-01", shifts, ""}}})
	mustNew(t, Spec{TimeZone: "UTC", Week: map[string][]Interval{"monday": shifts}, Closures: mondays(50)})
}

func TestIntervalsThatTouchAreTakenInAnyOrder(t *testing.T) {
	c := mustNew(t, Spec{TimeZone: "UTC", Week: map[string][]Interval{"monday": {{"12:00", "16:00"}, {"08:00", "12:00"}}}})
	got := c.OpenIntervals(day("2026-06-01").Add(-12*time.Hour), day("2026-06-02"))
	want := []Span{{day("2026-06-01").Add(-4 * time.Hour), day("2026-06-01").Add(4 * time.Hour)}}
	if !sameSpans(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestCalculateRefuses(t *testing.T) {
	cal := Spec{TimeZone: "UTC", Week: dayShifts}
	ok := day("2026-06-01")
	for _, row := range []struct {
		name string
		in   Input
		want string
	}{
		{"nothing at all", Input{}, "/calendar/time_zone /start /kind"},
		{"year 99999", Input{cal, time.Date(99999, 1, 1, 0, 0, 0, 0, time.UTC), 1, Working}, "/start"},
		{"before 1970", Input{cal, time.Unix(-1, 0), 1, Working}, "/start"},
		{"too long", Input{cal, ok, MaxDuration + 1, Working}, "/minutes"},
		{"too long backward", Input{cal, ok, math.MinInt64, Elapsed}, "/minutes"},
		{"no such kind", Input{cal, ok, 1, "calendar"}, "/kind"},
		{"past the last year", Input{cal, day("2199-12-30"), MaxDuration, Elapsed}, "/minutes"},
		{"past the last year at work", Input{cal, day("2190-12-30"), MaxDuration, Working}, "/minutes"},
		{"before the first year", Input{cal, day("1970-01-10"), -10_000, Working}, "/minutes"},
		{"never open", Input{Spec{TimeZone: "UTC"}, ok, 1, Working}, "/calendar/week"},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := Calculate(row.in)
			if got := pointers(t, err); got != row.want {
				t.Errorf("got %s, want %s (%v)", got, row.want, err)
			}
		})
	}
}

func TestAxisRefusesAbsurdDates(t *testing.T) {
	c := RoundTheClock()
	_, err := c.Axis(time.Time{}, time.Date(2200, 1, 1, 0, 0, 0, 0, time.UTC))
	if got := pointers(t, err); got != "/origin /horizon" {
		t.Errorf("got %s", got)
	}
	_, err = c.Axis(day("2026-06-02"), day("2026-06-01"))
	if got := pointers(t, err); got != "/horizon" {
		t.Errorf("got %s", got)
	}
}

func TestStopsAtTheLimits(t *testing.T) {
	lo, hi := Limits()
	for name, c := range map[string]*Calendar{"shop": mustNew(t, Spec{TimeZone: "Pacific/Apia", Week: dayShifts}), "round the clock": RoundTheClock()} {
		axis, err := c.Axis(day("2026-06-01"), day("2026-06-01"))
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range []int64{1 << 40, math.MaxInt64, 120_000_000} {
			if got := c.Add(day("2026-06-01"), Minutes(d)); !got.Equal(hi) {
				t.Errorf("%s: %d minutes on is %v, want %v", name, d, got, hi)
			}
			if got := c.Add(day("2026-06-01"), Minutes(-d)); !got.Equal(lo) {
				t.Errorf("%s: %d minutes back is %v, want %v", name, d, got, lo)
			}
			if up, down := axis.Time(axis.AddWorking(d, d)), axis.Time(axis.AddWorking(-d, -d)); !up.Equal(hi) || !down.Equal(lo) {
				t.Errorf("%s: the axis runs from %v to %v", name, down, up)
			}
		}
		if got := c.Add(time.Time{}, 0); !got.IsZero() {
			t.Errorf("%s: adding nothing gives %v", name, got)
		}
		far := time.Date(99999, 1, 1, 0, 0, 0, 0, time.UTC)
		if got := c.NextOpen(far); !got.Equal(hi) {
			t.Errorf("%s: next open after the end is %v", name, got)
		}
		if got := c.PrevOpen(time.Time{}); !got.Equal(lo) {
			t.Errorf("%s: previous opening before the start is %v", name, got)
		}
		if c.Between(time.Time{}, far) <= 0 || axis.Worked(math.MaxInt64) <= 0 || axis.Worked(math.MinInt64) >= 0 {
			t.Errorf("%s: no time in all of time", name)
		}
	}
	if got, want := RoundTheClock().Between(lo, hi), Minutes(hi.Sub(lo)/time.Minute); got != want {
		t.Errorf("round the clock has %d minutes, the clock %d", got, want)
	}
}

func TestTheListOfOpenStretchesIsCutAndSaysSo(t *testing.T) {
	// 260 working days of two shifts in 52 weeks from a Monday midnight.
	got, err := Calculate(Input{Spec{TimeZone: "UTC", Week: dayShifts}, time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC), 52 * 7 * minutesPerDay, Elapsed})
	if err != nil || len(got.Open) != MaxOpen || got.OpenLeftOut != 520-MaxOpen {
		t.Errorf("%d listed, %d left out, %v; want %d and %d", len(got.Open), got.OpenLeftOut, err, MaxOpen, 520-MaxOpen)
	}
}

func TestResultsKeepTheZoneTheyWereAskedIn(t *testing.T) {
	c := mustNew(t, Spec{TimeZone: "Europe/Berlin", Week: dayShifts})
	start := time.Date(2026, 11, 20, 14, 0, 0, 0, time.UTC)
	if got := c.Add(start, 60).Format(time.RFC3339); got != "2026-11-20T15:00:00Z" {
		t.Errorf("Add gives %s", got)
	}
	if got := c.OpenIntervals(start, start.Add(time.Hour))[0].From.Format(time.RFC3339); got != "2026-11-20T15:00:00+01:00" {
		t.Errorf("OpenIntervals gives %s, want the shop's clock", got)
	}
	if c.Location().String() != "Europe/Berlin" {
		t.Errorf("Location is %s", c.Location())
	}
}

func FuzzCalculate(f *testing.F) {
	f.Add([]byte(`{"calendar":{"time_zone":"Europe/Berlin","week":{"monday":[{"from":"08:00","to":"24:00"}]},"holidays":"DE","closures":[{"from":"2026-01-01","to":"2026-02-01","reason":"x"}],"openings":[{"day":"2026-01-04","intervals":[{"from":"00:00","to":"01:00"}],"reason":""}]},"start":"2026-01-01T00:00:00Z","minutes":600,"kind":"working"}`))
	f.Add([]byte(`{"calendar":{"time_zone":"America/Santiago","week":{"sunday":[{"from":"00:00","to":"00:01"}]}},"start":"2199-12-31T23:59:59.999Z","minutes":-5270400,"kind":"working"}`))
	f.Add([]byte(`{"calendar":{"time_zone":"Africa/Monrovia","week":{"friday":[{"from":"00:00","to":"24:00"}]}},"start":"1970-01-02T03:04:05Z","minutes":5,"kind":"elapsed"}`))
	f.Fuzz(func(t *testing.T, raw []byte) {
		var in Input
		if json.Unmarshal(raw, &in) != nil {
			return
		}
		got, err := Calculate(in)
		if err != nil {
			if pointers(t, err) == "" {
				t.Fatalf("%v names no field", err)
			}
			return
		}
		if in.Kind == Working && got.Working != in.Duration || in.Kind == Elapsed && got.Elapsed != in.Duration {
			t.Fatalf("%d %s minutes gave %+v", in.Duration, in.Kind, got)
		}
		if w, e := got.Working, got.Elapsed; w*e < 0 || max(w, -w) > max(e, -e)+1 {
			t.Fatalf("%d working minutes in %d", w, e)
		}
		if _, err := json.Marshal(got); err != nil {
			t.Fatal(err)
		}
	})
}

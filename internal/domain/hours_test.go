package domain

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"bareframe/internal/fault"
)

// monday is 08:00 of a Monday; at gives minutes after it.
var monday = time.Date(2031, 3, 3, 8, 0, 0, 0, time.UTC)

func at(minutes int) time.Time { return monday.Add(time.Duration(minutes) * time.Minute) }

func until(minutes int) *time.Time { t := at(minutes); return &t }

func hours(text string) *decimal.Decimal { d := dec(text); return &d }

func worked(id ID, from, to int) Entry {
	return Entry{ID: id, TaskID: "t", PersonID: "p", Kind: Worked, StartedAt: at(from), FinishedAt: until(to), LoggedAt: at(to)}
}

func running(id ID, from int) Entry {
	e := worked(id, from, from)
	e.FinishedAt = nil
	return e
}

func TestOverlap(t *testing.T) {
	corrected := worked("old", 0, 60)
	corrected.CorrectedBy = "new"
	void := worked("void", 0, 60)
	void.Void = true
	somebodyElse := worked("theirs", 0, 60)
	somebodyElse.PersonID = "q"
	correction := worked("new", 30, 90)
	correction.CorrectsID = "old2"
	for _, r := range []struct {
		name  string
		entry Entry
		other Entry
		clash bool
	}{
		{"touches its end", worked("e", 60, 120), worked("o", 0, 60), false},
		{"touches its start", worked("e", 0, 60), worked("o", 60, 120), false},
		{"a minute in", worked("e", 59, 120), worked("o", 0, 60), true},
		{"inside it", worked("e", 20, 30), worked("o", 0, 60), true},
		{"round it", worked("e", 0, 60), worked("o", 20, 30), true},
		{"the same span", worked("e", 0, 60), worked("o", 0, 60), true},
		{"a day later", worked("e", 1440, 1500), worked("o", 0, 60), false},
		{"running since before it", running("e", 0), worked("o", 30, 60), true},
		{"running since its end", running("e", 60), worked("o", 30, 60), false},
		{"running since within it", running("e", 59), worked("o", 30, 60), true},
		{"ends as the clock started", worked("e", 0, 30), running("o", 30), false},
		{"ends after the clock started", worked("e", 0, 31), running("o", 30), true},
		{"both run", running("e", 900), running("o", 0), true},
		{"a corrected one", worked("e", 0, 60), corrected, false},
		{"a void one", worked("e", 0, 60), void, false},
		{"somebody else's", worked("e", 0, 60), somebodyElse, false},
		{"itself", worked("o", 0, 60), worked("o", 0, 60), false},
		{"the one it corrects", correction, worked("old2", 0, 60), false},
		{"another than the one it corrects", correction, worked("old3", 0, 60), true},
	} {
		got, clash := r.entry.Overlap([]Entry{worked("far", -5000, -4999), r.other})
		if clash != r.clash || clash && got.ID != r.other.ID {
			t.Errorf("%s: overlaps %v (%s), want %v", r.name, clash, got.ID, r.clash)
		}
	}
}

// Between entries that stand, sharing time goes both ways.
func TestOverlapGoesBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(id ID) Entry {
			from := rapid.IntRange(0, 20).Draw(t, "from")
			if rapid.IntRange(0, 4).Draw(t, "runs") == 0 {
				return running(id, from)
			}
			return worked(id, from, from+rapid.IntRange(1, 20).Draw(t, "length"))
		}
		a, b := draw("a"), draw("b")
		_, ab := a.Overlap([]Entry{b})
		_, ba := b.Overlap([]Entry{a})
		shared := false // minute by minute, the slow way
		for m := range 60 {
			in := func(e Entry) bool {
				return !at(m).Before(e.StartedAt) && (e.FinishedAt == nil || at(m).Before(*e.FinishedAt))
			}
			shared = shared || in(a) && in(b)
		}
		if ab != ba || ab != shared {
			t.Fatalf("a with b: %v, b with a: %v, minute by minute: %v", ab, ba, shared)
		}
	})
}

func TestMinutes(t *testing.T) {
	second := func(from, to int) Entry {
		e := worked("e", 0, 0)
		e.StartedAt = monday.Add(time.Duration(from) * time.Second)
		finish := monday.Add(time.Duration(to) * time.Second)
		e.FinishedAt = &finish
		return e
	}
	void := worked("v", 0, 60)
	void.Void = true
	for _, r := range []struct {
		name  string
		entry Entry
		want  int
	}{
		{"an hour and a half", worked("e", 0, 90), 90},
		{"running", running("e", 0), 0},
		{"void", void, 0},
		{"10:00:40 to 10:30:20 of a clock", second(40, 30*60+20), 30},
		{"within one minute", second(5, 55), 0},
	} {
		if got := r.entry.Minutes(); got != r.want {
			t.Errorf("%s: %d minutes, want %d", r.name, got, r.want)
		}
	}
}

// Switching all day loses and makes nothing: the parts add up to the whole.
func TestMinutesOfSwitchesAddUpToTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lengths := rapid.SliceOfN(rapid.IntRange(1, 3000), 1, 12).Draw(t, "seconds")
		from := monday.Add(time.Duration(rapid.IntRange(0, 59).Draw(t, "start")) * time.Second)
		first, sum := from, 0
		for _, s := range lengths {
			to := from.Add(time.Duration(s) * time.Second)
			sum += Entry{StartedAt: from, FinishedAt: &to}.Minutes()
			from = to
		}
		if whole := (Entry{StartedAt: first, FinishedAt: &from}).Minutes(); whole != sum {
			t.Fatalf("%v seconds: the parts have %d minutes, the whole %d", lengths, sum, whole)
		}
	})
}

func TestValidateEntry(t *testing.T) {
	now := at(600)
	change := func(fn func(e *Entry)) Entry {
		e := worked("e", 0, 60)
		fn(&e)
		return e
	}
	for _, r := range []struct {
		name     string
		entry    Entry
		pointers []string
	}{
		{"an hour", worked("e", 0, 60), nil},
		{"running", running("e", 600), nil},
		{"a minute ahead, for a device's clock", running("e", 601), nil},
		{"two minutes ahead", running("e", 602), []string{"/started_at"}},
		{"finish in the future", worked("e", 590, 602), []string{"/finished_at"}},
		{"no time at all", worked("e", 60, 60), []string{"/finished_at"}},
		{"backwards", worked("e", 60, 59), []string{"/finished_at"}},
		{"sixteen hours", worked("e", 600-960, 600), nil},
		{"a minute more than sixteen hours", worked("e", 600-961, 600), []string{"/finished_at"}},
		{"a year back", worked("e", 600-366*1440, 660-366*1440), nil},
		{"more than a year back", worked("e", 599-366*1440, 660-366*1440), []string{"/started_at"}},
		{"negative hours to go", change(func(e *Entry) { e.HoursToGo = hours("-0.01") }), []string{"/hours_to_go"}},
		{"the most hours to go", change(func(e *Entry) { e.HoursToGo = hours("2000") }), nil},
		{"more", change(func(e *Entry) { e.HoursToGo = hours("2000.01") }), []string{"/hours_to_go"}},
		{"done with nothing to go", change(func(e *Entry) { e.Done, e.HoursToGo = true, hours("0") }), nil},
		{"done with hours to go", change(func(e *Entry) { e.Done, e.HoursToGo = true, hours("1") }), []string{"/hours_to_go"}},
		{"everything wrong", change(func(e *Entry) { e.StartedAt, e.FinishedAt, e.HoursToGo = at(700), until(650), hours("-1") }), []string{"/started_at", "/finished_at", "/hours_to_go"}},
	} {
		wantFields(t, r.name, r.entry.Validate(now), r.pointers)
	}
}

// wantFields checks which fields a refusal names; none means no refusal.
func wantFields(t *testing.T, name string, err error, pointers []string) {
	t.Helper()
	if len(pointers) == 0 {
		if err != nil {
			t.Errorf("%s: %v, want it to stand", name, err)
		}
		return
	}
	e := fault.As(err)
	if e == nil || e.Kind != fault.Invalid {
		t.Errorf("%s: %v, want it refused", name, err)
		return
	}
	var got []string
	for _, f := range e.Fields {
		got = append(got, f.Pointer)
		if f.Detail == "" {
			t.Errorf("%s: %s without a reason", name, f.Pointer)
		}
	}
	if d := cmp.Diff(pointers, got); d != "" {
		t.Errorf("%s: fields (-want +got)\n%s", name, d)
	}
}

package domain

import (
	"encoding/json"
	"os"
	"slices"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"
)

func dec(text string) decimal.Decimal { return decimal.RequireFromString(text) }

// Source: testdata/domain/pert.json names it.
func TestMeanOfPublishedThreePointEstimates(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/domain/pert.json")
	if err != nil {
		t.Fatal(err)
	}
	var check struct {
		Source    string
		Tolerance decimal.Decimal
		Rows      []struct{ Low, Likely, High, Mean decimal.Decimal }
	}
	if err := json.Unmarshal(raw, &check); err != nil {
		t.Fatal(err)
	}
	if check.Source == "" || len(check.Rows) < 4 {
		t.Fatalf("source %q, %d rows", check.Source, len(check.Rows))
	}
	for _, r := range check.Rows {
		got := ThreePoint{r.Low, r.Likely, r.High}.Mean()
		if got.Sub(r.Mean).Abs().GreaterThan(check.Tolerance) {
			t.Errorf("mean of (%s, %s, %s) = %s, want %s within %s", r.Low, r.Likely, r.High, got, r.Mean, check.Tolerance)
		}
		if !got.Equal(got.Round(2)) {
			t.Errorf("mean of (%s, %s, %s) = %s has more than two places", r.Low, r.Likely, r.High, got)
		}
	}
}

// Mathematics: the mean lies between the lowest and the highest, to a
// hundredth, and six times it is the weighted sum to within the rounding.
func TestMeanLiesBetweenLowAndHigh(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.SliceOfN(rapid.Int64Range(0, 200_000), 3, 3).Draw(t, "hundredths")
		slices.Sort(c)
		h := ThreePoint{decimal.New(c[0], -2), decimal.New(c[1], -2), decimal.New(c[2], -2)}
		got := h.Mean().Shift(2).IntPart()
		if got < c[0] || got > c[2] {
			t.Fatalf("mean of %v hundredths is %d", c, got)
		}
		if off := 6*got - (c[0] + 4*c[1] + c[2]); off > 3 || off < -3 {
			t.Fatalf("mean of %v hundredths is %d: off by %d sixths", c, got, off)
		}
	})
}

func TestSortGivesTheReadingOrder(t *testing.T) {
	e := Estimate{
		Phases: []Phase{{ID: "p2", Position: 2}, {ID: "p1b", Position: 1}, {ID: "p1a", Position: 1}},
		Tasks:  []Task{{ID: "t4", PhaseID: "p2", Position: 1}, {ID: "t2", PhaseID: "p1a", Position: 9}, {ID: "t3", PhaseID: "p1b", Position: 2}, {ID: "t1", PhaseID: "p1a", Position: 9}},
		Links:  []Link{{ID: "l2"}, {ID: "l1"}},
		Lines:  []Line{{ID: "m2", PhaseID: "p2", Position: 1}, {ID: "m1", PhaseID: "p1a", Position: 5}},
	}
	e.Sort()
	var got []string
	for _, p := range e.Phases {
		got = append(got, p.ID)
	}
	for _, x := range e.Tasks {
		got = append(got, x.ID)
	}
	got = append(got, e.Links[0].ID, e.Links[1].ID, e.Lines[0].ID, e.Lines[1].ID)
	want := []string{"p1a", "p1b", "p2", "t1", "t2", "t3", "t4", "l1", "l2", "m1", "m2"}
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	task, ok := e.Task("t3")
	if !ok || task.PhaseID != "p1b" {
		t.Errorf("task t3: %v %v", task, ok)
	}
	task.Name = "changed in place"
	if again, _ := e.Task("t3"); again.Name != "changed in place" {
		t.Error("Task returns a copy")
	}
	if _, ok := e.Task("none"); ok {
		t.Error("a task that is not there was found")
	}
	if _, ok := e.Phase("none"); ok {
		t.Error("a phase that is not there was found")
	}
}

func TestNextPositionComesAfterTheLast(t *testing.T) {
	at := func(p Phase) int { return p.Position }
	if got := NextPosition(nil, at); got != 1 {
		t.Errorf("first of none: %d, want 1", got)
	}
	if got := NextPosition([]Phase{{Position: 7}, {Position: 3}}, at); got != 8 {
		t.Errorf("after 7 and 3: %d, want 8", got)
	}
}

func TestWhenHolds(t *testing.T) {
	open := map[string]string{"body": "open", "crossmember": "welded"}
	for _, r := range []struct {
		when When
		want bool
	}{
		{nil, true},
		{When{"body": {"open"}}, true},
		{When{"body": {"closed", "open"}}, true},
		{When{"body": {"closed"}}, false},
		{When{"body": {"open"}, "crossmember": {"bolted"}}, false},
		{When{"never_asked": {"yes"}}, false},
	} {
		if got := r.when.Holds(open); got != r.want {
			t.Errorf("%v on %v: %v, want %v", r.when, open, got, r.want)
		}
	}
}

// Arithmetic: whatever the places and the size, the mean is the decimal
// library's exact sum divided by six and rounded half away from zero.
func TestMeanIsExactInAnyForm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hours := rapid.Custom(func(t *rapid.T) decimal.Decimal {
			return decimal.New(rapid.Int64Range(-100, 10_000_000_000).Draw(t, "digits"), rapid.Int32Range(-4, 8).Draw(t, "exponent"))
		})
		h := ThreePoint{hours.Draw(t, "low"), hours.Draw(t, "likely"), hours.Draw(t, "high")}
		want := decimal.Sum(h.Low, h.Likely, h.Likely, h.Likely, h.Likely, h.High).DivRound(decimal.NewFromInt(6), 2)
		if got := h.Mean(); got.String() != want.String() {
			t.Fatalf("mean of %v is %s, want %s", h, got, want)
		}
	})
	for _, r := range []struct{ low, likely, high, want string }{
		{"0", "0", "0.03", "0.01"}, // 0.005: the half goes away from zero
		{"0", "0", "0.02", "0"},
		{"1e3", "2e3", "3e3", "2000"},
		{"0.005", "0.005", "0.005", "0.01"},
	} {
		if got := (ThreePoint{dec(r.low), dec(r.likely), dec(r.high)}).Mean(); !got.Equal(dec(r.want)) {
			t.Errorf("mean of (%s, %s, %s) = %s, want %s", r.low, r.likely, r.high, got, r.want)
		}
	}
}

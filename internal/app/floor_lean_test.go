package app_test

import (
	"reflect"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

// A floor of hundreds of cars keeps only what a plan asks; what the engine is asked and
// the sum over the facts are those of the whole estimates, with work done, work under
// way, cures and what is ordered. The whole estimates are the other side.
func TestTheLeanFloorAsksTheSameOfTheEngine(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	first := b.soldJob()
	b.soldJob()
	began := b.now()
	b.pass(3 * time.Hour)
	for i, task := range first.Estimate.Tasks[:2] {
		_, err := b.app.LogHours(t.Context(), b.marik, b.key(), app.Log{On: app.Target{TaskID: task.ID}, Done: i == 0,
			StartedAt: began.Add(time.Duration(i) * time.Hour), FinishedAt: began.Add(time.Duration(i+1) * time.Hour)})
		if err != nil {
			t.Logf("%s takes no hours yet: %v", task.Code, err)
		}
	}
	whole, sum, err := b.app.SeenFloor(t.Context(), b.shop)
	b.ok("reading the floor", err)
	lean, leanSum, settled, leanSettled, err := b.app.SeenLean(t.Context(), b.shop)
	b.ok("reading the lean floor", err)
	if sum != leanSum || len(whole.Tasks) == 0 || !reflect.DeepEqual(whole, lean) {
		t.Errorf("the sums are %s and %s; the engine is asked\n%+v\nof the lean floor, want\n%+v", sum, leanSum, lean, whole)
	}
	if !reflect.DeepEqual(settled, leanSettled) {
		t.Errorf("with its clock set back the lean floor asks\n%+v\nwant\n%+v", leanSettled, settled)
	}
	under := 0
	for _, task := range whole.Tasks {
		if task.ActualStart != nil {
			under++
		}
	}
	if under == 0 {
		t.Error("nothing has begun on this floor, so it shows too little")
	}
}

// Equal numbers are kept once, and none in the place of another: decimals compare by
// value, whatever their exponent (1.50 is 1.5; 2^64 has no 64-bit coefficient).
func TestLeanNumbersStayThemselves(t *testing.T) {
	for _, text := range []string{"0", "1.5", "1.50", "15", "-1.5", "18446744073709551616", "0.00000001", "1.5"} {
		want := decimal.RequireFromString(text)
		for _, before := range []string{"0", "1.5", "15", "-1.5", "18446744073709551616", "18446744073709551631"} {
			e := domain.Estimate{Tasks: []domain.Task{{ID: "a", LeadDays: 1, ElapsedHours: decimal.RequireFromString(before)}, {ID: "b", ElapsedHours: want}}}
			if got := app.LeanEstimate(e).Tasks[1].ElapsedHours; !got.Equal(want) {
				t.Errorf("%s after %s: got %s", text, before, got)
			}
		}
	}
}

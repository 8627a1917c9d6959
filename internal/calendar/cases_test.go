package calendar

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
)

// handWorked is one file of testdata/calendar: an input, and what somebody got
// with pencil and paper, with the working in words.
type handWorked struct {
	Name, Source, Working string
	Input                 Input
	Want                  struct {
		Result
		Open []Span // only when the file gives it
	}
}

func readCase(t *testing.T, path string) handWorked {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var c handWorked
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&c); err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	if c.Source == "" || c.Working == "" {
		t.Fatalf("%s: a case says its source and its working", path)
	}
	return c
}

func TestHandWorkedCases(t *testing.T) {
	paths, err := filepath.Glob("../../testdata/calendar/*.json")
	if err != nil || len(paths) < 20 {
		t.Fatalf("found %d cases, want at least 20 (%v)", len(paths), err)
	}
	for _, path := range paths {
		c := readCase(t, path)
		t.Run(c.Name, func(t *testing.T) {
			got, err := Calculate(c.Input)
			if err != nil {
				t.Fatal(err)
			}
			if !got.Finish.Equal(c.Want.Finish) || got.Working != c.Want.Working || got.Elapsed != c.Want.Elapsed {
				t.Errorf("from %v %d %s minutes: got %v, %d working, %d elapsed; want %v, %d, %d\n%s", c.Input.Start, c.Input.Duration, c.Input.Kind,
					got.Finish, got.Working, got.Elapsed, c.Want.Finish, c.Want.Working, c.Want.Elapsed, c.Working)
			}
			if c.Want.Open != nil && !sameSpans(got.Open, c.Want.Open) {
				t.Errorf("open %v, want %v", got.Open, c.Want.Open)
			}
			checkAxis(t, c.Input, got)
		})
	}
}

// checkAxis asks the axis the same question.
func checkAxis(t *testing.T, in Input, got Result) {
	t.Helper()
	cal, err := New(in.Calendar)
	if err != nil {
		t.Fatal(err)
	}
	axis, err := cal.Axis(in.Start, in.Start)
	if err != nil {
		t.Fatal(err)
	}
	finish := axis.Minute(got.Finish)
	if in.Kind == Working && axis.AddWorking(0, int64(in.Duration)) != finish {
		t.Errorf("axis: %d working minutes end at %v, want %v", in.Duration, axis.Time(axis.AddWorking(0, int64(in.Duration))), got.Finish)
	}
	if w := axis.Worked(finish); w != int64(got.Working) {
		t.Errorf("axis: worked %d, want %d", w, got.Working)
	}
}

func sameSpans(a, b []Span) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if !a[i].From.Equal(b[i].From) || !a[i].To.Equal(b[i].To) {
			return false
		}
	}
	return true
}

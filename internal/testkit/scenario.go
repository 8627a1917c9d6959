package testkit

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"
)

// Step is one request of a story. Path, Body, IfMatch, Key and text values of
// Want may hold {variables} of the world; {etag} is the ETag answered last.
type Step struct {
	Name    string            // the row as a sentence
	Who     *Client           // whose browser
	Do      string            // "POST /api/jobs/{job}/lines"
	Body    string            // JSON; empty for none
	IfMatch string            // empty for none
	Key     string            // empty for a fresh one where one is asked for
	Status  int               // wanted
	Code    string            // wanted problem code, for a refusal
	Field   string            // JSON pointer that the refusal must name
	Want    map[string]any    // wanted values by JSON pointer; a func(any) string says what is wrong
	Never   []string          // must not appear in the answer
	Keep    map[string]string // variable to JSON pointer: kept for later steps
	Before  func()            // run first: set the clock, read something
	After   func(a *Answer)   // further checks
}

// Absent as a wanted value means that there is nothing at the pointer.
const Absent = absent("nothing")

type absent string

// Present as a wanted value means that there is something at the pointer.
const Present = present("something")

type present string

// Run plays steps in order, each as a subtest; a story ends at the first step
// that fails, because what follows builds on it.
func (w *World) Run(t *testing.T, steps []Step) {
	t.Helper()
	for i, s := range steps {
		ok := t.Run(fmt.Sprintf("%02d %s", i+1, s.Name), func(t *testing.T) { w.play(t, s) })
		if !ok {
			t.Fatalf("the story ends at step %d, %q", i+1, s.Name)
		}
	}
}

func (w *World) play(t *testing.T, s Step) {
	if s.Before != nil {
		s.Before()
	}
	method, path, ok := strings.Cut(w.Fill(s.Do), " ")
	if !ok {
		t.Fatalf("%q is not a method and a path", s.Do)
	}
	var body any
	if s.Body != "" {
		body = w.Fill(s.Body)
	}
	var options []Option
	if s.IfMatch != "" {
		options = append(options, IfMatch(w.Fill(s.IfMatch)))
	}
	if s.Key != "" {
		options = append(options, Key(w.Fill(s.Key)))
	}
	a := s.Who.Do(t, method, path, body, options...)
	if a.Status != s.Status || a.Status >= 400 && s.Code != a.Code() {
		t.Fatalf("%s:\n got %d %s, want %d %s\nbody: %s", a.Asked, a.Status, a.Code(), s.Status, s.Code, short(a.Body))
	}
	if s.Field != "" {
		a.WantField(t, s.Field)
	}
	w.wanted(t, a, s.Want)
	for _, text := range s.Never {
		a.Never(t, w.Fill(text))
	}
	if tag := a.ETag(); tag != "" {
		w.Set("etag", tag)
	}
	for name, pointer := range s.Keep {
		v, ok := a.At(pointer)
		if !ok {
			t.Fatalf("%s: there is nothing at %s to keep\nbody: %s", a.Asked, pointer, short(a.Body))
		}
		w.Set(name, fmt.Sprint(v))
	}
	if s.After != nil {
		s.After(a)
	}
}

func (w *World) wanted(t *testing.T, a *Answer, want map[string]any) {
	t.Helper()
	for pointer, value := range want {
		got, ok := a.At(w.Fill(pointer))
		if wrong := w.differs(got, ok, value); wrong != "" {
			t.Errorf("%s:\n at %s: %s\nbody: %s", a.Asked, pointer, wrong, short(a.Body))
		}
	}
}

// differs says how a value differs from the one wanted, "" when it does not.
func (w *World) differs(got any, there bool, want any) string {
	switch v := want.(type) {
	case absent:
		if there {
			return fmt.Sprintf("got %v, want nothing", got)
		}
		return ""
	case present:
		if !there {
			return "got nothing, want something"
		}
		return ""
	case func(any) string:
		return v(got)
	case string:
		want = w.Fill(v)
	}
	raw, err := json.Marshal(want)
	if err != nil {
		return err.Error()
	}
	wanted := (&Answer{Body: raw}).JSON()
	if !there || !reflect.DeepEqual(got, wanted) {
		return fmt.Sprintf("got %v (there: %v), want %v", got, there, wanted)
	}
	return ""
}

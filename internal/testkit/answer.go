package testkit

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"testing"
)

// ProblemBase is what the type of every problem document begins with.
const ProblemBase = "urn:bareframe:problem:"

// Answer is what came back.
type Answer struct {
	Asked     string // who asked for what, for a failure's text
	Operation *Operation
	Status    int
	Header    http.Header
	Body      []byte
}

// JSON returns the body's value; numbers keep their digits.
func (a *Answer) JSON() any {
	d := json.NewDecoder(bytes.NewReader(a.Body))
	d.UseNumber()
	var v any
	if d.Decode(&v) != nil {
		return nil
	}
	return v
}

// At returns the value at a JSON pointer (RFC 6901); ok is false when there is
// none.
func (a *Answer) At(pointer string) (value any, ok bool) { return At(a.JSON(), pointer) }

// Text returns the value at a JSON pointer as text, "" when there is none.
func (a *Answer) Text(pointer string) string {
	v, ok := a.At(pointer)
	if !ok {
		return ""
	}
	return fmt.Sprint(v)
}

// Len returns how many items the list at a JSON pointer has, -1 for no list.
func (a *Answer) Len(pointer string) int {
	v, _ := a.At(pointer)
	if list, ok := v.([]any); ok {
		return len(list)
	}
	return -1
}

// ETag returns the version that the answer bears.
func (a *Answer) ETag() string { return a.Header.Get("ETag") }

// Code returns the last part of a problem's type, "" for no problem.
func (a *Answer) Code() string { return strings.TrimPrefix(a.Text("/type"), ProblemBase) }

// Pointers lists the fields that a problem names.
func (a *Answer) Pointers() []string {
	var out []string
	for i := range max(0, a.Len("/errors")) {
		out = append(out, a.Text("/errors/"+strconv.Itoa(i)+"/pointer"))
	}
	return out
}

// Want fails the test at once unless the status is the one wanted.
func (a *Answer) Want(t testing.TB, status int) *Answer {
	t.Helper()
	if a.Status != status {
		t.Fatalf("%s:\n got %d, want %d\nbody: %s", a.Asked, a.Status, status, short(a.Body))
	}
	return a
}

// WantProblem fails unless the answer is a refusal with this status and code.
func (a *Answer) WantProblem(t testing.TB, status int, code string) *Answer {
	t.Helper()
	if a.Status != status || a.Code() != code {
		t.Errorf("%s:\n got %d %s, want %d %s\nbody: %s", a.Asked, a.Status, a.Code(), status, code, short(a.Body))
	}
	return a
}

// WantField fails unless a refusal names the field.
func (a *Answer) WantField(t testing.TB, pointer string) *Answer {
	t.Helper()
	for _, p := range a.Pointers() {
		if p == pointer {
			return a
		}
	}
	t.Errorf("%s: the refusal names %q, want %q\nbody: %s", a.Asked, a.Pointers(), pointer, short(a.Body))
	return a
}

// Never fails when the answer holds one of the texts, whatever their case.
func (a *Answer) Never(t testing.TB, texts ...string) *Answer {
	t.Helper()
	lower := strings.ToLower(string(a.Body))
	for _, text := range texts {
		if i := strings.Index(lower, strings.ToLower(text)); i >= 0 {
			t.Errorf("%s: the answer holds %q, which must not appear there: …%s…", a.Asked, text, lower[max(0, i-60):min(len(lower), i+60)])
		}
	}
	return a
}

// wantWellFormedProblem holds a refusal against RFC 9457 and the house's rules.
func (a *Answer) wantWellFormedProblem(t testing.TB) {
	t.Helper()
	if got := a.Header.Get("Content-Type"); got != "application/problem+json" {
		t.Errorf("%s: a %d came as %q, want application/problem+json\nbody: %s", a.Asked, a.Status, got, short(a.Body))
		return
	}
	if !strings.HasPrefix(a.Text("/type"), ProblemBase) || a.Code() == "" {
		t.Errorf("%s: the problem's type is %q, want %s and a code", a.Asked, a.Text("/type"), ProblemBase)
	}
	if a.Text("/status") != strconv.Itoa(a.Status) {
		t.Errorf("%s: the problem says status %s, the answer has %d", a.Asked, a.Text("/status"), a.Status)
	}
	if a.Text("/detail") == "" || a.Text("/title") == "" {
		t.Errorf("%s: the problem says nothing to a person: %s", a.Asked, short(a.Body))
	}
	for _, p := range a.Pointers() {
		if p != "" && !strings.HasPrefix(p, "/") {
			t.Errorf("%s: %q is no JSON pointer", a.Asked, p)
		}
	}
}

// At returns the value at a JSON pointer (RFC 6901) into a decoded value.
func At(v any, pointer string) (any, bool) {
	if pointer == "" {
		return v, true
	}
	unescape := strings.NewReplacer("~1", "/", "~0", "~")
	for _, step := range strings.Split(pointer, "/")[1:] {
		step = unescape.Replace(step)
		switch at := v.(type) {
		case map[string]any:
			next, ok := at[step]
			if !ok {
				return nil, false
			}
			v = next
		case []any:
			i, err := strconv.Atoi(step)
			if err != nil || i < 0 || i >= len(at) {
				return nil, false
			}
			v = at[i]
		default:
			return nil, false
		}
	}
	return v, true
}

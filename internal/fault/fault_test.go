package fault

import (
	"errors"
	"fmt"
	"testing"
)

func TestAsFindsTheRefusalBehindWrapping(t *testing.T) {
	cause := errors.New("disk")
	wrapped := fmt.Errorf("saving: %w", New(Conflict, "two-clocks", "%s is already running", "T12").Because(cause))
	if got := KindOf(wrapped); got != Conflict {
		t.Fatalf("KindOf = %q, want %q", got, Conflict)
	}
	if !errors.Is(wrapped, cause) {
		t.Fatalf("the cause is lost in %v", wrapped)
	}
	if got := As(wrapped).Detail; got != "T12 is already running" {
		t.Fatalf("Detail = %q", got)
	}
	if As(cause) != nil || KindOf(nil) != "" {
		t.Fatal("an untyped error must not look like a refusal")
	}
}

func TestCollectorNamesEveryField(t *testing.T) {
	var c Collector
	if c.Err("x") != nil {
		t.Fatal("an empty collector must give nil")
	}
	c.Add("/a", "first")
	c.Add("/b/%d", "second is %d", 2)
	e := As(c.Err("bad"))
	if e == nil || e.Kind != Invalid || len(e.Fields) != 2 || e.Fields[1].Detail != "second is 2" {
		t.Fatalf("got %+v", e)
	}
}

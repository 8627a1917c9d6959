package fault

import (
	"errors"
	"fmt"
)

// Kind says what sort of refusal an error is. The zero value is not a kind.
type Kind string

// The kinds of refusal.
const (
	// Invalid: the input breaks a rule that needs nothing but the input.
	Invalid Kind = "invalid"
	// Unauthenticated: nobody is signed in.
	Unauthenticated Kind = "unauthenticated"
	// Forbidden: this actor may not do this.
	Forbidden Kind = "forbidden"
	// NotFound: there is no such thing within the actor's reach.
	NotFound Kind = "not_found"
	// Conflict: the thing is in a state that does not allow this.
	Conflict Kind = "conflict"
	// Stale: the caller edited an older version than the stored one.
	Stale Kind = "stale"
	// PreconditionMissing: an edit came without the version it was made on.
	PreconditionMissing Kind = "precondition_missing"
	// TooLarge: the request is larger than the limit.
	TooLarge Kind = "too_large"
	// Throttled: too many attempts; try later.
	Throttled Kind = "throttled"
	// Unavailable: the store is away or full; nothing was written.
	Unavailable Kind = "unavailable"
)

// Field names one value at fault.
type Field struct {
	// Pointer is an RFC 6901 JSON pointer into the request, such as /tasks/3/hours.
	Pointer string `json:"pointer"`
	// Detail says what is wrong and what would be right.
	Detail string `json:"detail"`
}

// Error is a refusal with its reason.
type Error struct {
	Kind   Kind
	Code   string  // stable, kebab-case, for programs: "network-cycle"
	Detail string  // one sentence for a person, safe to show
	Fields []Field // the values at fault, if any
	// Evidence is data that proves the refusal: the links of a cycle, the two
	// entries that overlap, the stored version beside the stale one. It must
	// marshal to JSON and be safe to show to whoever asked.
	Evidence any
	Err      error // the cause, for the log; never shown
}

// New returns an *Error without fields. The detail is formatted as by fmt.Sprintf.
func New(kind Kind, code, detail string, args ...any) *Error {
	if len(args) > 0 {
		detail = fmt.Sprintf(detail, args...)
	}
	return &Error{Kind: kind, Code: code, Detail: detail}
}

// InvalidField returns an Invalid error about one field.
func InvalidField(code, pointer, detail string, args ...any) *Error {
	e := New(Invalid, code, detail, args...)
	e.Fields = []Field{{Pointer: pointer, Detail: e.Detail}}
	return e
}

// With returns a copy of e that carries evidence.
func (e *Error) With(evidence any) *Error {
	c := *e
	c.Evidence = evidence
	return &c
}

// Because returns a copy of e that keeps its cause for the log.
func (e *Error) Because(cause error) *Error {
	c := *e
	c.Err = cause
	return &c
}

// Error gives code, detail and cause, for logs and tests.
func (e *Error) Error() string {
	s := e.Code + ": " + e.Detail
	for _, f := range e.Fields {
		if f.Detail != e.Detail {
			s += fmt.Sprintf(" [%s: %s]", f.Pointer, f.Detail)
		} else {
			s += " [" + f.Pointer + "]"
		}
	}
	if e.Err != nil {
		s += ": " + e.Err.Error()
	}
	return s
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// As returns the *Error in err's chain, or nil when there is none.
func As(err error) *Error {
	var e *Error
	if errors.As(err, &e) {
		return e
	}
	return nil
}

// KindOf returns the kind of err, or "" when err is not a refusal.
func KindOf(err error) Kind {
	if e := As(err); e != nil {
		return e.Kind
	}
	return ""
}

// Collector gathers field faults so that one answer names them all.
// The zero value is ready; it is not safe for concurrent use.
type Collector struct{ fields []Field }

// Add notes a fault at pointer.
func (c *Collector) Add(pointer, detail string, args ...any) {
	if len(args) > 0 {
		detail = fmt.Sprintf(detail, args...)
	}
	c.fields = append(c.fields, Field{Pointer: pointer, Detail: detail})
}

// Err returns nil when nothing was noted, else an Invalid *Error whose detail
// is the first fault's.
func (c *Collector) Err(code string) error {
	if len(c.fields) == 0 {
		return nil
	}
	return &Error{Kind: Invalid, Code: code, Detail: c.fields[0].Detail, Fields: c.fields}
}

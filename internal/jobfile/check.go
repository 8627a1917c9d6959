package jobfile

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"bareframe/internal/fault"
)

// mostFaults bounds what one refusal names.
const mostFaults = 100

// check holds a tree against the types of a file and gathers what is wrong.
type check struct{ faults []fault.Field }

func (c *check) add(at, detail string, args ...any) {
	if len(c.faults) < mostFaults {
		c.faults = append(c.faults, fault.Field{Pointer: at, Detail: fmt.Sprintf(detail, args...)})
	}
}

func (c *check) err() error {
	if len(c.faults) == 0 {
		return nil
	}
	return &fault.Error{Kind: fault.Invalid, Code: "job-file-invalid", Detail: c.faults[0].Detail, Fields: c.faults}
}

var rawType = reflect.TypeFor[json.RawMessage]()

// value holds one value against a type; tag is of the field that it stands in.
func (c *check) value(n node, t reflect.Type, tag reflect.StructTag, at string) {
	switch {
	case t == rawType:
		c.kind(n, '{', "an object", at)
	case t.Kind() == reflect.Struct:
		if c.kind(n, '{', "an object", at) {
			c.object(n, t, at)
		}
	case t.Kind() == reflect.Slice:
		if c.kind(n, '[', "a list", at) && c.few(len(n.items), tag, at) {
			for i, item := range n.items {
				c.value(item, t.Elem(), tag, at+"/"+strconv.Itoa(i))
			}
		}
	case t.Kind() == reflect.Map:
		if c.kind(n, '{', "an object", at) && c.few(len(n.members), tag, at) {
			for _, m := range n.members {
				c.form(m.name, "key", at+"/"+escaped(m.name))
				c.value(m.value, t.Elem(), tag, at+"/"+escaped(m.name))
			}
		}
	case t.Kind() == reflect.Bool:
		c.kind(n, 'b', "true or false", at)
	case t.Kind() == reflect.Int:
		if c.kind(n, 'n', "a whole number", at) {
			c.within(n.text, tag.Get("is"), at)
		}
	default:
		if c.kind(n, 's', "text", at) {
			c.form(n.text, tag.Get("is"), at)
		}
	}
}

func (c *check) kind(n node, want byte, name, at string) bool {
	if n.kind != want {
		c.add(at, "This must be %s.", name)
	}
	return n.kind == want
}

// few bounds a list before anything in it is looked at.
func (c *check) few(n int, tag reflect.StructTag, at string) bool {
	most, err := strconv.Atoi(tag.Get("most"))
	if err != nil {
		panic("jobfile: a list without a bound at " + at)
	}
	if n > most {
		c.add(at, "There are %d here, and at most %d can be.", n, most)
	}
	return n <= most
}

func (c *check) object(n node, t reflect.Type, at string) {
	known := map[string]bool{}
	for i := range t.NumField() {
		f := t.Field(i)
		name, rule, _ := strings.Cut(f.Tag.Get("json"), ",")
		known[name] = true
		value, ok := n.member(name)
		switch {
		case ok:
			c.value(value, f.Type, f.Tag, at+"/"+name)
		case rule != "omitempty":
			c.add(at+"/"+name, "This is missing.")
		}
	}
	for _, m := range n.members {
		if !known[m.name] {
			c.add(at+"/"+escaped(m.name), "This field is not known here.")
		}
	}
}

// within holds a number against bounds like 0..400.
func (c *check) within(text, bounds, at string) {
	low, high, _ := strings.Cut(bounds, "..")
	least, err1 := strconv.Atoi(low)
	most, err2 := strconv.Atoi(high)
	n, err3 := strconv.Atoi(text)
	if err1 != nil || err2 != nil {
		panic("jobfile: a number without bounds at " + at)
	}
	if err3 != nil || n < least || n > most {
		c.add(at, "This lies between %d and %d.", least, most)
	}
}

func (c *check) form(text, name, at string) {
	f, known := forms[name]
	if !known {
		panic("jobfile: no form " + name + " at " + at)
	}
	if !f.holds(text) {
		c.add(at, "This must be %s.", f.words)
	}
}

package ics

import (
	"fmt"
	"regexp"
	"strings"
	"time"
	"unicode/utf8"
)

// Property is one content line, its value as written.
type Property struct {
	Name   string
	Params map[string]string
	Value  string
}

// Component is a calendar object or an event in it.
type Component struct {
	Name       string
	Properties []Property
	Components []*Component
}

const longest = 75 // octets of a line without its end: section 3.1

var shape = regexp.MustCompile(`^([A-Za-z0-9-]+)((?:;[A-Za-z0-9-]+=(?:"[^"]*"|[^";:,]*)(?:,(?:"[^"]*"|[^";:,]*))*)*):(.*)$`)

// Read parses a whole calendar.
func Read(body []byte) (*Component, error) {
	lines, err := unfold(string(body))
	if err != nil {
		return nil, err
	}
	root := &Component{}
	stack := []*Component{root}
	for i, l := range lines {
		m := shape.FindStringSubmatch(l)
		if m == nil {
			return nil, fmt.Errorf("line %d is no content line (section 3.1): %q", i+1, l)
		}
		p := Property{Name: strings.ToUpper(m[1]), Params: map[string]string{}, Value: m[3]}
		for _, one := range strings.Split(m[2], ";")[1:] {
			key, value, _ := strings.Cut(one, "=")
			p.Params[strings.ToUpper(key)] = strings.Trim(value, `"`)
		}
		top := stack[len(stack)-1]
		switch p.Name {
		case "BEGIN":
			c := &Component{Name: p.Value}
			top.Components = append(top.Components, c)
			stack = append(stack, c)
		case "END":
			if len(stack) == 1 || top.Name != p.Value {
				return nil, fmt.Errorf("END:%s ends %q", p.Value, top.Name)
			}
			stack = stack[:len(stack)-1]
		default:
			if len(stack) == 1 {
				return nil, fmt.Errorf("%s stands outside any component", p.Name)
			}
			top.Properties = append(top.Properties, p)
		}
	}
	if len(stack) != 1 || len(root.Components) != 1 || root.Components[0].Name != "VCALENDAR" {
		return nil, fmt.Errorf("this is not one VCALENDAR (section 3.4)")
	}
	return root.Components[0], nil
}

// unfold is section 3.1: lines end with CRLF, are at most 75 octets long, and a
// line that begins with a space or tab goes on the one before.
func unfold(body string) ([]string, error) {
	if !strings.HasSuffix(body, "\r\n") {
		return nil, fmt.Errorf("the last line has no end")
	}
	var out []string
	for i, l := range strings.Split(strings.TrimSuffix(body, "\r\n"), "\r\n") {
		switch {
		case len(l) > longest:
			return nil, fmt.Errorf("line %d is %d octets long: %q", i+1, len(l), l)
		case !utf8.ValidString(l):
			return nil, fmt.Errorf("line %d is cut inside a character: %q", i+1, l)
		case strings.ContainsFunc(l, func(r rune) bool { return r < ' ' && r != '\t' || r == 0x7f }):
			return nil, fmt.Errorf("line %d holds a control character: %q", i+1, l)
		case l == "":
			return nil, fmt.Errorf("line %d is empty", i+1)
		}
		if l[0] == ' ' || l[0] == '\t' {
			if len(out) == 0 {
				return nil, fmt.Errorf("the first line goes on nothing")
			}
			out[len(out)-1] += l[1:]
			continue
		}
		out = append(out, l)
	}
	return out, nil
}

// Text reads a value as section 3.3.11 escapes it.
func Text(value string) (string, error) {
	var out strings.Builder
	for i := 0; i < len(value); i++ {
		c := value[i]
		switch {
		case c == ',' || c == ';':
			return "", fmt.Errorf("%q stands unescaped in %q", c, value)
		case c != '\\':
			out.WriteByte(c)
			continue
		case i+1 == len(value):
			return "", fmt.Errorf("%q ends inside an escape", value)
		}
		i++
		switch value[i] {
		case '\\', ',', ';':
			out.WriteByte(value[i])
		case 'n', 'N':
			out.WriteByte('\n')
		default:
			return "", fmt.Errorf(`\%c is no escape in %q`, value[i], value)
		}
	}
	return out.String(), nil
}

// All returns the properties of a name.
func (c *Component) All(name string) []Property {
	var out []Property
	for _, p := range c.Properties {
		if p.Name == name {
			out = append(out, p)
		}
	}
	return out
}

// Text returns the text of a property, "" when there is none.
func (c *Component) Text(name string) string {
	for _, p := range c.All(name) {
		text, _ := Text(p.Value)
		return text
	}
	return ""
}

// Time returns the instant or day of a property and whether it is a day.
func (c *Component) Time(name string) (at time.Time, day bool, err error) {
	all := c.All(name)
	if len(all) != 1 {
		return at, false, fmt.Errorf("%d times %s", len(all), name)
	}
	if all[0].Params["VALUE"] == "DATE" { // section 3.3.4
		at, err = time.Parse("20060102", all[0].Value)
		return at, true, err
	}
	at, err = time.Parse("20060102T150405Z", all[0].Value) // section 3.3.5, form 2
	return at, false, err
}

var (
	once    = []string{"UID", "DTSTAMP", "DTSTART", "DTEND", "CLASS", "CREATED", "DESCRIPTION", "GEO", "LAST-MODIFIED", "LOCATION", "ORGANIZER", "PRIORITY", "SEQUENCE", "STATUS", "SUMMARY", "TRANSP", "URL", "RECURRENCE-ID"}
	integer = regexp.MustCompile(`^[0-9]+$`)
)

// Faults says in sentences what of a calendar the standard does not allow.
func (c *Component) Faults() []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for _, name := range []string{"PRODID", "VERSION"} { // section 3.6: required, once
		if n := len(c.All(name)); n != 1 {
			say("the calendar has %d %s", n, name)
		}
	}
	if v := c.Text("VERSION"); v != "2.0" { // section 3.7.4
		say("the version is %q", v)
	}
	uids := map[string]bool{}
	for _, e := range c.Components {
		if e.Name != "VEVENT" {
			say("there is a %s", e.Name)
			continue
		}
		uid := e.Text("UID")
		if uids[uid] { // section 3.8.4.7: one identity, one event
			say("two events are %s", uid)
		}
		uids[uid] = true
		for _, fault := range e.eventFaults() {
			say("%s: %s", uid, fault)
		}
	}
	return out
}

func (c *Component) eventFaults() []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for _, name := range []string{"UID", "DTSTAMP", "DTSTART"} { // section 3.6.1: required; DTSTART without a METHOD
		if len(c.All(name)) != 1 || c.All(name)[0].Value == "" {
			say("%s is required once (section 3.6.1)", name)
		}
	}
	for _, name := range once {
		if n := len(c.All(name)); n > 1 {
			say("%d times %s (section 3.6.1)", n, name)
		}
	}
	for _, name := range []string{"SUMMARY", "DESCRIPTION", "LOCATION", "UID"} {
		for _, p := range c.All(name) {
			if _, err := Text(p.Value); err != nil {
				say("%s: %v (section 3.3.11)", name, err)
			}
		}
	}
	from, fromDay, err := c.Time("DTSTART")
	to, toDay, errTo := c.Time("DTEND")
	if err != nil || errTo != nil {
		say("the times cannot be read: %v %v", err, errTo)
	}
	if fromDay != toDay || !to.After(from) { // section 3.8.2.2
		say("it lasts from %v to %v", from, to)
	}
	if _, day, err := c.Time("DTSTAMP"); day || err != nil { // section 3.8.7.2: in UTC
		say("DTSTAMP: %v", err)
	}
	if all := c.All("LAST-MODIFIED"); len(all) > 0 { // section 3.8.7.3: in UTC
		if _, day, err := c.Time("LAST-MODIFIED"); day || err != nil {
			say("LAST-MODIFIED: %v", err)
		}
	}
	for _, p := range c.All("SEQUENCE") { // section 3.8.7.4
		if !integer.MatchString(p.Value) {
			say("SEQUENCE is %q", p.Value)
		}
	}
	for _, p := range c.All("TRANSP") { // section 3.8.2.7
		if p.Value != "OPAQUE" && p.Value != "TRANSPARENT" {
			say("TRANSP is %q", p.Value)
		}
	}
	return out
}

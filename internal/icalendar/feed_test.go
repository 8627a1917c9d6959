package icalendar_test

import (
	"bytes"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"pgregory.net/rapid"

	"bareframe/internal/icalendar"
	"bareframe/internal/testkit/ics"
)

var noon = time.Date(2026, 11, 24, 12, 0, 0, 0, time.FixedZone("", 3600))

func event() icalendar.Event {
	return icalendar.Event{UID: "a@shop", Stamp: noon, Modified: noon, Sequence: 3, Start: noon, End: noon.Add(time.Hour), Summary: "A20 Strip", Location: "Stand", Details: "Job 1"}
}

func read(t interface {
	Helper()
	Fatalf(string, ...any)
}, f icalendar.Feed) *ics.Component {
	t.Helper()
	body, err := f.Bytes()
	if err != nil {
		t.Fatalf("writing: %v", err)
	}
	c, err := ics.Read(body)
	if err != nil {
		t.Fatalf("reading: %v\n%s", err, body)
	}
	if faults := c.Faults(); len(faults) > 0 {
		t.Fatalf("faults: %q\n%s", faults, body)
	}
	return c
}

// The values are written down by hand from RFC 5545: 3.3.5 form 2 for instants,
// 3.3.4 for days, 3.8.2.7 for what takes no time.
func TestAnEventIsWrittenAsTheStandardSays(t *testing.T) {
	day := icalendar.Event{UID: "b@shop", Stamp: noon, Sequence: 1, Start: time.Date(2026, 12, 24, 0, 0, 0, 0, time.UTC), End: time.Date(2026, 12, 25, 0, 0, 0, 0, time.UTC), AllDay: true, Summary: "Promised", Free: true}
	c := read(t, icalendar.Feed{Name: "Jola; shop", Events: []icalendar.Event{event(), day}})
	rows := []struct {
		name  string
		of    *ics.Component
		param string
		want  string
	}{
		{"PRODID", c, "", "-//bareframe//Plan of the shop//EN"}, {"NAME", c, "", `Jola\; shop`}, {"REFRESH-INTERVAL", c, "DURATION", "PT1H"},
		{"UID", c.Components[0], "", "a@shop"}, {"DTSTAMP", c.Components[0], "", "20261124T110000Z"}, {"LAST-MODIFIED", c.Components[0], "", "20261124T110000Z"}, {"SEQUENCE", c.Components[0], "", "3"},
		{"DTSTART", c.Components[0], "", "20261124T110000Z"}, {"DTEND", c.Components[0], "", "20261124T120000Z"}, {"TRANSP", c.Components[0], "", "OPAQUE"},
		{"DTSTART", c.Components[1], "DATE", "20261224"}, {"DTEND", c.Components[1], "DATE", "20261225"}, {"TRANSP", c.Components[1], "", "TRANSPARENT"},
	}
	for _, r := range rows {
		all := r.of.All(r.name)
		if len(all) != 1 || all[0].Value != r.want || all[0].Params["VALUE"] != r.param {
			t.Errorf("%s of %s: got %v, want %q", r.name, r.of.Name, all, r.want)
		}
	}
	if n := len(c.Components[1].All("LAST-MODIFIED")) + len(c.Components[1].All("LOCATION")) + len(c.Components[1].All("DESCRIPTION")); n != 0 {
		t.Errorf("what is not known is said: %v", c.Components[1].Properties)
	}
}

// Sections 3.1 and 3.3.11: whatever stands in a text, it comes back as it was but
// for the ends of its lines, and adds no property.
func TestNoTextBreaksOutOfItsProperty(t *testing.T) {
	for _, hostile := range []string{
		"A\r\nATTENDEE:mailto:x@example.org", "A\nEND:VEVENT\nBEGIN:VEVENT", "A\rX-EVIL:1", "A\u0085X-EVIL:1", "A\u2028X-EVIL:1", "A\x00\x07\x1b\x7fB", "A\vX:1", "\xff\xfe\xc3", "a\\nb", `\,;\n\\`, "tab\there",
		strings.Repeat("Blechverarbeitung", 40), strings.Repeat("🔩", 100), strings.Repeat("é", 200), strings.Repeat(" ", 300) + "x", strings.Repeat("<>", 90), strings.Repeat(",;\\\n", 60), "", "\r\n",
	} {
		e := event()
		e.Summary, e.Location, e.Details, e.UID = hostile, hostile, hostile, "u@"+hostile
		plain := read(t, icalendar.Feed{Name: "x", Events: []icalendar.Event{event()}})
		c := read(t, icalendar.Feed{Name: hostile, Events: []icalendar.Event{e}})
		if len(c.Components) != 1 || len(c.Properties) != len(plain.Properties) {
			t.Fatalf("%q: got %v", hostile, c)
		}
		for _, p := range c.Components[0].Properties {
			if len(plain.Components[0].All(p.Name)) != 1 {
				t.Errorf("%q adds a property: %v", hostile, p)
			}
		}
	}
}

func TestTextsComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		piece := rapid.OneOf(rapid.String(), rapid.StringOfN(rapid.RuneFrom([]rune("äé🔩🚗漢<> ,;\\\"")), 0, 120, -1), rapid.SampledFrom([]string{"\r\nX:1\r\n", "\n", "\r", "END:VEVENT", strings.Repeat("w", 100)}))
		text := strings.Join(rapid.SliceOfN(piece, 0, 6).Draw(t, "text"), "")
		e := event()
		e.Details, e.Summary = text, text
		c := read(t, icalendar.Feed{Name: text, Events: []icalendar.Event{e}})
		if got, want := words(c.Components[0].Text("DESCRIPTION")), words(text); got != want {
			t.Fatalf("got %q, want %q of %q", got, want, text)
		}
		if got, want := words(c.Components[0].Text("SUMMARY")), words(text); got != want && want != "" {
			t.Fatalf("the summary is %q, want %q of %q", got, want, text)
		}
		if strings.ContainsAny(c.Components[0].Text("SUMMARY"), "\r\n") {
			t.Fatalf("the summary of %q has several lines", text)
		}
	})
}

// words is a text without its spaces and control characters, which a feed may
// change: the rest it must keep.
func words(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || unicode.IsControl(r) || r == '\u2028' || r == '\u2029' {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, string(utf8.RuneError)))
}

func TestEqualFeedsAreEqualBytes(t *testing.T) {
	f := icalendar.Feed{Name: "x", Events: []icalendar.Event{event(), event()}}
	one, _ := f.Bytes()
	for range 20 {
		if two, _ := f.Bytes(); !bytes.Equal(one, two) {
			t.Fatalf("got\n%s\nand\n%s", one, two)
		}
	}
}

package icalendar

import (
	"bytes"
	"cmp"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"
)

// Event is one entry of a feed. Texts may hold anything: they are cleaned and escaped.
type Event struct {
	UID      string // the same for as long as it is the same event
	Stamp    time.Time
	Modified time.Time // zero: not known
	Sequence int
	// Start and End are instants, to the second. All day they are midnights in UTC
	// that stand for days, the second being the day after the last.
	Start, End time.Time
	AllDay     bool
	Summary    string
	Location   string
	Details    string
	Free       bool // it takes nobody's time
}

// Feed is a calendar with a name.
type Feed struct {
	Name   string
	Events []Event
}

const (
	producer = "-//bareframe//Plan of the shop//EN"
	// refresh asks readers to come again after this long, as a duration of RFC 5545, 3.3.6.
	refresh = "PT1H"
	day     = "20060102"
)

// Bytes writes the feed as UTF-8 with lines of at most 75 octets, each ended by a
// carriage return and a line feed (RFC 5545, section 3.1). Equal feeds give equal
// bytes. O(length).
func (f Feed) Bytes() ([]byte, error) {
	cal := ics.NewCalendar()
	cal.SetProductId(producer)
	cal.SetCalscale("GREGORIAN")
	cal.SetName(line(f.Name))
	cal.SetRefreshInterval(refresh, ics.WithValue("DURATION"))
	cal.SetXPublishedTTL(refresh)
	for _, e := range f.Events {
		cal.AddVEvent(e.component())
	}
	var out bytes.Buffer
	err := cal.SerializeTo(&out, ics.WithNewLineWindows)
	return out.Bytes(), err
}

func (e Event) component() *ics.VEvent {
	v := ics.NewEvent(line(e.UID))
	v.SetDtStampTime(e.Stamp)
	if !e.Modified.IsZero() {
		v.SetModifiedAt(e.Modified)
	}
	v.SetSequence(e.Sequence)
	if e.AllDay {
		v.SetProperty(ics.ComponentPropertyDtStart, e.Start.Format(day), ics.WithValue("DATE"))
		v.SetProperty(ics.ComponentPropertyDtEnd, e.End.Format(day), ics.WithValue("DATE"))
	} else {
		v.SetStartAt(e.Start)
		v.SetEndAt(e.End)
	}
	v.SetSummary(cmp.Or(line(e.Summary), "Without a name"))
	if at := line(e.Location); at != "" {
		v.SetLocation(at)
	}
	if details := plain(e.Details); details != "" {
		v.SetDescription(details)
	}
	v.SetTimeTransparency(ics.TransparencyOpaque)
	if e.Free {
		v.SetTimeTransparency(ics.TransparencyTransparent)
	}
	return v
}

// ends are the ways to end a line: by RFC 5545 itself, and by Unicode 5.8 for who
// splits text by it.
var ends = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u0085", "\n", "\u2028", "\n", "\u2029", "\n", "\v", "\n", "\f", "\n")

// plain is a text as UTF-8 without control characters other than tab and line feed.
func plain(s string) string {
	s = ends.Replace(strings.ToValidUTF8(s, "\uFFFD"))
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' && r != '\t' || r >= 0x7f && r < 0xa0 {
			return -1
		}
		return r
	}, s))
}

// line is a plain text on one line.
func line(s string) string { return strings.Join(strings.Fields(plain(s)), " ") }

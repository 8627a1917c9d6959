package ics_test

import (
	"strings"
	"testing"

	"bareframe/internal/testkit/ics"
)

// The example of RFC 5545, section 3.4, is read.
const example = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//hacksw/handcal//NONSGML v1.0//EN\r\nBEGIN:VEVENT\r\nUID:19970610T172345Z-AF23B2@example.com\r\n" +
	"DTSTAMP:19970610T172345Z\r\nDTSTART:19970714T170000Z\r\nDTEND:19970715T040000Z\r\nSUMMARY:Bastille Day Party\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"

func TestTheStandardsExampleIsRead(t *testing.T) {
	c, err := ics.Read([]byte(example))
	if err != nil {
		t.Fatal(err)
	}
	if faults := c.Faults(); len(faults) > 0 || len(c.Components) != 1 || c.Components[0].Text("SUMMARY") != "Bastille Day Party" {
		t.Errorf("got %v and %v", faults, c.Components)
	}
}

// The example of folding in section 3.1 and of escaping in section 3.3.11.
func TestTheStandardsLinesAreRead(t *testing.T) {
	folded := strings.Replace(example, "SUMMARY:Bastille Day Party", "DESCRIPTION:This is a lo\r\n ng description\r\n  that exists on a long line.", 1)
	c, err := ics.Read([]byte(folded))
	if err != nil {
		t.Fatal(err)
	}
	if got, want := c.Components[0].Text("DESCRIPTION"), "This is a long description that exists on a long line."; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	got, err := ics.Text(`Project XYZ Final Review\nConference Room - 3B\nCome Prepared.`)
	if want := "Project XYZ Final Review\nConference Room - 3B\nCome Prepared."; got != want || err != nil {
		t.Errorf("got %q (%v), want %q", got, err, want)
	}
}

// Every check of the reader can fail.
func TestWhatTheStandardForbidsIsRefused(t *testing.T) {
	with := func(old, now string) string { return strings.Replace(example, old, now, 1) }
	for name, body := range map[string]string{
		"a bare line feed":          with("VERSION:2.0\r\n", "VERSION:2.0\n"),
		"a long line":               with("Bastille", strings.Repeat("x", 80)),
		"a cut character":           with("Bastille", "Basti\xc3\r\n \xa4lle"),
		"a line without a value":    with("SUMMARY:", "SUMMARY"),
		"an end of something else":  with("END:VEVENT", "END:VTODO"),
		"no stamp":                  with("DTSTAMP:19970610T172345Z\r\n", ""),
		"no identity":               with("UID:19970610T172345Z-AF23B2@example.com\r\n", ""),
		"no start":                  with("DTSTART:19970714T170000Z\r\n", ""),
		"two summaries":             with("SUMMARY:", "SUMMARY:x\r\nSUMMARY:"),
		"an end before the start":   with("DTEND:19970715", "DTEND:19970713"),
		"an unescaped comma":        with("Bastille", "Bastille,"),
		"an escape of nothing":      with("Bastille", `Basti\lle`),
		"another version":           with("VERSION:2.0", "VERSION:1.0"),
		"no producer":               with("PRODID", "X-PRODID"),
		"two events of an identity": with("END:VEVENT\r\n", "END:VEVENT\r\n"+example[strings.Index(example, "BEGIN:VEVENT"):strings.Index(example, "END:VCALENDAR")]),
		"a day and an instant":      with("DTEND:19970715T040000Z", "DTEND;VALUE=DATE:19970715"),
	} {
		c, err := ics.Read([]byte(body))
		if err == nil && len(c.Faults()) == 0 {
			t.Errorf("%s: got no complaint", name)
		}
	}
}

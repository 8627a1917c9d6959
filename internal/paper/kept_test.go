package paper

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bareframe/internal/domain"
	"bareframe/internal/testkit/pdftext"
)

// What is kept is JSON: a sheet read back gives the same bytes in both forms.
func TestASheetReadBackGivesTheSameDocument(t *testing.T) {
	for name, s := range documents(t, " Łódź \x00 <b> 👍") {
		kept, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		var back Sheet
		if err := json.Unmarshal(kept, &back); err != nil {
			t.Fatal(err)
		}
		for form, draw := range map[string]func(Sheet) ([]byte, error){"HTML": HTML, "PDF": func(s Sheet) ([]byte, error) { return PDF(s, someHash) }} {
			want, err := draw(s)
			if err != nil {
				t.Fatal(err)
			}
			if got, err := draw(back); err != nil || !bytes.Equal(got, want) {
				t.Errorf("%s: the %s of what was kept differs, %v", name, form, err)
			}
		}
	}
}

// Any text at all: the PDF is valid and shows every character or a square for it,
// but for those that only say where a line may end.
func TestAnyTextIsShown(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		note := rapid.String().Draw(rt, "note")
		s := Sheet{Name: note, Title: note, Shop: note, Author: note, Block: [][]Field{{{Label: note, Value: note}}}}
		s.part(note).say(Ranged, plain("[", note, "]"))
		s.part("").table(note, note, "#"+note).row(note, note).Cells[0].Small = note
		body, err := PDF(s, note)
		if err != nil {
			rt.Fatal(err)
		}
		if rapid.IntRange(0, 9).Draw(rt, "validated") > 0 {
			return // reading back costs more than drawing
		}
		if text := pdftext.Text(t, body); !strings.Contains(text, pdftext.Tight("["+inOneLine(note)+"]")) {
			rt.Fatalf("%q is not shown in %q", note, text)
		}
	})
}

func TestFormerStyleSheetsAreStillAllowed(t *testing.T) {
	if len(FormerStyles()) == 0 {
		t.Fatal("documents were stored with another style sheet before this one")
	}
	for _, sum := range FormerStyles() {
		if raw, err := base64.StdEncoding.DecodeString(sum); err != nil || len(raw) != 32 {
			t.Errorf("%q is no SHA-256 in base64: %d bytes, %v", sum, len(raw), err)
		}
	}
}

// A rail of two zones reads as one piece of steel: where they meet they have the
// same corners. A crossmember that begins there too changes nothing.
func TestRailsThatMeetAreMitred(t *testing.T) {
	p := Plan{Zones: []PlanZone{
		{Kind: domain.Rail, Bar: bar(0, 400, 1000, 400, 100)}, {Kind: domain.KickUp, Bar: bar(1000, 400, 1400, 600, 100)},
		{Kind: domain.Crossmember, Bar: bar(1000, -400, 1000, 400, 80)},
	}}
	a, b := p.outline(0), p.outline(1)
	for _, pair := range [][2]point{{a[3], b[0]}, {a[2], b[1]}} {
		if math.Hypot(pair[0].x-pair[1].x, pair[0].y-pair[1].y) > 1e-6 {
			t.Errorf("corners %v and %v do not meet", pair[0], pair[1])
		}
	}
	// by hand: the end that is met by nothing is square, half the width to each side
	if a[0] != (point{0, 450}) || a[1] != (point{0, 350}) {
		t.Errorf("the free end is %v, %v, want 0 450 and 0 350", a[0], a[1])
	}
}

func TestBadgesDoNotTouchAndStayOnThePaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		side, rooms := make([]badge, n), make([]float64, n)
		for i := range side {
			side[i].at.x = rapid.Float64Range(0, 170).Draw(t, "x")
			rooms[i] = rapid.Float64Range(3, 14).Draw(t, "room")
		}
		slices.SortFunc(side, func(a, b badge) int {
			if a.at.x < b.at.x {
				return -1
			}
			return 1
		})
		got := spread(side, rooms, 170)
		for i, x := range got {
			if x-rooms[i]/2 < -1e-6 || x+rooms[i]/2 > 170+1e-6 {
				t.Fatalf("badge %d at %.2f leaves the paper", i, x)
			}
			if i > 0 && x-rooms[i]/2 < got[i-1]+rooms[i-1]/2-1e-6 {
				t.Fatalf("badges %d and %d touch: %v", i-1, i, got)
			}
		}
	})
}

// Nothing of the job card is money, nothing of the inspection is cost.
func TestTheBenchReadsNoMoney(t *testing.T) {
	page, err := HTML(JobCard(someJobCard("")))
	if err != nil {
		t.Fatal(err)
	}
	for _, secret := range []string{"77.19", "31.17", "68.35", "EUR", "€"} {
		if strings.Contains(strings.ReplaceAll(string(page), StyleSheet(), ""), secret) {
			t.Errorf("the job card says %q", secret)
		}
	}
}

// Who helps is read before the lift begins.
func TestTheJobCardNamesHelpers(t *testing.T) {
	page, err := HTML(JobCard(someJobCard("")))
	if err != nil {
		t.Fatal(err)
	}
	if want := "2 people, with 3 more, lifter"; !strings.Contains(string(page), want) {
		t.Errorf("the job card does not say %q", want)
	}
}

// HTML reports stand by themselves: pictures are inside, nothing is fetched.
func TestAReportFetchesNothing(t *testing.T) {
	for name, s := range documents(t, nasty) {
		page, err := HTML(s)
		if err != nil {
			t.Fatal(err)
		}
		text := string(page)
		for _, bad := range []string{"<script", "http:", "https:", "url(", "javascript:", " style=", "<link", "<iframe"} {
			if strings.Contains(text, bad) {
				t.Errorf("%s has %q", name, bad)
			}
		}
		if all, inside := strings.Count(text, " src="), strings.Count(text, ` src="data:image/jpeg;base64,`); all != inside {
			t.Errorf("%s: %d of %d pictures are inside", name, inside, all)
		}
	}
}

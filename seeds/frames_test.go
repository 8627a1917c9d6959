package seeds_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
)

type point struct{ X, Y int }

type frameZone struct {
	Code, Name, Kind, Side string
	Section                frameSection
	LengthMM               int    `json:"length_mm"`
	AreaM2                 string `json:"area_m2"`
	VisiblePercent         int    `json:"visible_percent"`
	Plan                   struct {
		From, To point
		Width    int
	}
}

type frameSection struct {
	Shape       string
	WidthMM     int    `json:"width_mm"`
	HeightMM    int    `json:"height_mm"`
	ThicknessMM string `json:"thickness_mm"`
}

type frameLayout struct {
	Code, Name, Note string
	Zones            []frameZone
}

var (
	frameFiles = []string{"frames/perimeter-ladder.json", "frames/straight-ladder.json"}
	frameKinds = []string{"rail", "kick_up", "crossmember", "mount", "bracket", "opening"}
	frameSides = map[string]int{"left": -1, "centre": 0, "right": 1}
	kebab      = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	oneTenth   = regexp.MustCompile(`^\d{1,2}\.\d$`)
	threePlace = regexp.MustCompile(`^\d{1,3}\.\d{3}$`)
)

// perimeterMM is how much of a section's outline is blasted and coated, in millimetres: all round for a closed
// section, both faces of an open one. Thickness is neglected, end faces are left out. Plane geometry.
func (s frameSection) perimeterMM() (float64, bool) {
	w, h := float64(s.WidthMM), float64(s.HeightMM)
	switch s.Shape {
	case "box":
		return 2 * (w + h), true
	case "channel": // web h and two flanges w
		return 2 * (h + 2*w), true
	case "tube":
		return math.Pi * w, s.WidthMM == s.HeightMM
	case "plate":
		return 2 * w, s.HeightMM == 0
	case "none":
		return 0, s.WidthMM == 0 && s.HeightMM == 0
	}
	return 0, false
}

// areaM2 is the surface to three places.
func (s frameSection) areaM2(lengthMM int) string {
	around, _ := s.perimeterMM()
	return fmt.Sprintf("%.3f", around*float64(lengthMM)/1e6)
}

// Worked by hand: a box 110 x 120 of 1150 is 0.46 m round, 0.529 m2; a channel 90 x 80 of 960 has 2(80+180) =
// 520 mm of face, 0.4992 m2; a tube of 60 is 0.18850 m round, 600 long 0.1131 m2; both faces of a plate 150 x 140
// are 0.042 m2.
func TestSurfaceOfASection(t *testing.T) {
	for _, c := range []struct {
		section frameSection
		length  int
		want    string
	}{
		{frameSection{"box", 110, 120, "3.0"}, 1150, "0.529"},
		{frameSection{"channel", 90, 80, "2.5"}, 960, "0.499"},
		{frameSection{"tube", 60, 60, "3.0"}, 600, "0.113"},
		{frameSection{"plate", 150, 0, "4.0"}, 140, "0.042"},
		{frameSection{"none", 0, 0, "0.0"}, 60, "0.000"},
	} {
		if got := c.section.areaM2(c.length); got != c.want {
			t.Errorf("%v of %d mm: got %s m2, want %s", c.section, c.length, got, c.want)
		}
	}
}

func (p *problems) zone(z frameZone) {
	k := z.Code
	p.want(kebab.MatchString(k), "zone code %q", k)
	p.want(label.MatchString(z.Name), "%s: name %q", k, z.Name)
	p.want(slices.Contains(frameKinds, z.Kind), "%s: kind %q", k, z.Kind)
	sign, known := frameSides[z.Side]
	p.want(known, "%s: side %q", k, z.Side)
	_, sound := z.Section.perimeterMM()
	p.want(sound && oneTenth.MatchString(z.Section.ThicknessMM), "%s: section %v", k, z.Section)
	p.want(threePlace.MatchString(z.AreaM2) && z.AreaM2 == z.Section.areaM2(z.LengthMM), "%s: area %s m2, its section and length give %s", k, z.AreaM2, z.Section.areaM2(z.LengthMM))
	p.want(z.VisiblePercent >= 0 && z.VisiblePercent <= 100, "%s: visible %d %%", k, z.VisiblePercent)
	p.want((z.Kind == "opening") == (z.Section.Shape == "none"), "%s: a %s of section %s", k, z.Kind, z.Section.Shape)

	from, to := z.Plan.From, z.Plan.To
	p.want(from.Y*sign >= 0 && to.Y*sign >= 0 && (sign != 0 || from.Y == -to.Y), "%s: its plan is not at the %s", k, z.Side)
	p.want(sign == 0 || strings.Contains(k, z.Side) || z.Kind == "opening", "%s: at the %s and not called so", k, z.Side)
	flat := math.Hypot(float64(to.X-from.X), float64(to.Y-from.Y))
	p.want((flat == 0) == (z.Kind == "mount"), "%s: a %s that is %.0f mm long in plan", k, z.Kind, flat)
	if z.Kind != "opening" {
		p.want(z.Plan.Width == z.Section.WidthMM, "%s: %d mm wide in plan, %d in section", k, z.Plan.Width, z.Section.WidthMM)
	}
	// Steel is never shorter than its plan; half again as long would be a wall, not a rise.
	if z.Kind == "rail" || z.Kind == "kick_up" || z.Kind == "crossmember" {
		p.want(float64(z.LengthMM) >= math.Floor(flat) && float64(z.LengthMM) <= 1.5*flat, "%s: %d mm of steel over %.0f mm in plan", k, z.LengthMM, flat)
	}
	p.want(z.LengthMM > 0, "%s: length %d", k, z.LengthMM)
}

func checkLayout(l frameLayout) problems {
	var p problems
	p.want(kebab.MatchString(l.Code) && label.MatchString(l.Name), "code %q, name %q", l.Code, l.Name)
	p.want(strings.Contains(l.Note, "starting values"), "the note does not call the measures starting values")
	seen := map[string]bool{}
	for _, z := range l.Zones {
		p.want(!seen[z.Code] && !seen[z.Name], "%s stands twice", z.Code)
		seen[z.Code], seen[z.Name] = true, true
		p.zone(z)
	}
	return p
}

func TestFrameLayouts(t *testing.T) {
	for _, name := range frameFiles {
		l := read[frameLayout](t, name)
		if want := "frames/" + l.Code + ".json"; name != want {
			t.Errorf("%s holds the layout %s", name, l.Code)
		}
		report(t, checkLayout(l))
	}
	if n := len(read[frameLayout](t, frameFiles[0]).Zones); n < 25 || n > 40 {
		t.Errorf("the perimeter frame has %d zones, want 25 to 40", n)
	}
}

// The rails of a side follow one another without a gap, from the front to the rear.
func TestRailsOfALayoutAreOnePiece(t *testing.T) {
	for _, name := range frameFiles {
		for side := range frameSides {
			var end *point
			for _, z := range read[frameLayout](t, name).Zones {
				if z.Side != side || (z.Kind != "rail" && z.Kind != "kick_up") {
					continue
				}
				if end != nil && *end != z.Plan.From {
					t.Errorf("%s: %s begins at %v, the rail before it ends at %v", name, z.Code, z.Plan.From, *end)
				}
				end = &z.Plan.To
			}
			if (end == nil) != (side == "centre") {
				t.Errorf("%s: rails at the %s", name, side)
			}
		}
	}
}

// Each mistake is made in a sound layout, and must be found.
func TestAFaultyLayoutIsFound(t *testing.T) {
	for _, c := range []struct {
		want  string
		spoil func(*frameLayout)
	}{
		{"starting values", func(l *frameLayout) { l.Note = "measured" }},
		{"stands twice", func(l *frameLayout) { l.Zones = append(l.Zones, l.Zones[0]) }},
		{"zone code", func(l *frameLayout) { l.Zones[3].Code = "Left Rail" }},
		{"area", func(l *frameLayout) { l.Zones[3].AreaM2 = "9.000" }},
		{"area", func(l *frameLayout) { l.Zones[3].LengthMM++; l.Zones[3].Section.WidthMM += 100 }},
		{"its plan is not at", func(l *frameLayout) { l.Zones[3].Plan.From.Y *= -1 }},
		{"mm of steel", func(l *frameLayout) { l.Zones[3].LengthMM = 100 }},
		{"visible", func(l *frameLayout) { l.Zones[3].VisiblePercent = 101 }},
		{"section", func(l *frameLayout) { l.Zones[3].Section.ThicknessMM = "3" }},
		{"kind", func(l *frameLayout) { l.Zones[3].Kind = "beam" }},
	} {
		l := read[frameLayout](t, frameFiles[0])
		c.spoil(&l)
		if p := checkLayout(l); !p.mention(c.want) {
			t.Errorf("want a problem with %q, got %q", c.want, p)
		}
	}
}

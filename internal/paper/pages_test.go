package paper

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// drawSheet draws a document whose words all differ, with tables of every length.
func drawSheet(t *rapid.T) Sheet {
	s := Sheet{Title: "TITLE", Shop: "SHOP", Block: [][]Field{{{Label: "Job", Value: "1"}}}, Letter: rapid.Bool().Draw(t, "letter")}
	n := 0
	words := func(most int) string {
		out := make([]string, rapid.IntRange(1, most).Draw(t, "words"))
		for i := range out {
			n++
			out[i] = fmt.Sprintf("w%d%s", n, strings.Repeat("x", rapid.SampledFrom([]int{0, 2, 8, 150}).Draw(t, "long")))
		}
		return strings.Join(out, " ")
	}
	for p := range rapid.IntRange(1, 4).Draw(t, "parts") {
		part := s.part(rapid.SampledFrom([]string{"", fmt.Sprintf("HEADING%d", p)}).Draw(t, "heading"))
		if rapid.Bool().Draw(t, "text") {
			part.say(rapid.SampledFrom([]Manner{Plain, Lead, Ranged, Caution, Quiet}).Draw(t, "manner"), plain(words(60)))
		}
		table := part.table("T", "Item", "#Number")
		for r := range rapid.IntRange(1, 70).Draw(t, "rows") {
			if r > 0 && rapid.IntRange(0, 9).Draw(t, "sum") == 0 {
				table.sum(fmt.Sprintf("sum%d.%d.", p, r), "1")
				continue
			}
			row := table.row(fmt.Sprintf("r%d.%d.", p, r), fmt.Sprintf("n%d.%d.", p, r))
			if rapid.IntRange(0, 4).Draw(t, "more") == 0 {
				row.Cells[0].Small = words(40)
			}
		}
	}
	return s
}

// pageOf finds on which pages a text begins.
func pageOf(bodies []ink, text string) []int {
	var out []int
	for i, b := range bodies {
		for _, l := range b.labels {
			if strings.HasPrefix(l.words, text) {
				out = append(out, i)
			}
		}
	}
	return out
}

// The rules of breaking, on random documents: everything is on the paper and
// inside the frame; a row is on one page; a sum is on the page of the row above
// it; a table that goes on has its head again, and a heading is followed.
func TestPagesBreakByTheRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSheet(t)
		g := s.geometry()
		bodies := s.bodies(g)
		width, height := g.body()
		all := ""
		for i, b := range bodies {
			for _, l := range b.labels {
				all += tight(l.words)
				end := l.at.x + wide(l.words, l.size, l.strong)
				if l.at.x < -1e-6 || end > width+0.02 || l.at.y < 0 || l.at.y > height+1e-6 {
					t.Fatalf("page %d: %q at %.2f to %.2f, %.2f lies outside %.2f x %.2f", i+1, l.words, l.at.x, end, l.at.y, width, height)
				}
			}
			if i > 0 && len(b.labels) == 0 {
				t.Fatalf("page %d is empty", i+1)
			}
		}
		for _, want := range texts(s) {
			if !strings.Contains(all, tight(want)) {
				t.Fatalf("%q is not on the paper", want)
			}
		}
		for p, part := range s.Parts {
			rulesOf(t, bodies, p, part)
		}
	})
}

func rulesOf(t *rapid.T, bodies []ink, p int, part Part) {
	table := part.Blocks[len(part.Blocks)-1].Table
	above := -1
	for r, row := range table.Rows {
		first := fmt.Sprintf("r%d.%d.", p, r)
		if row.Sum {
			first = fmt.Sprintf("sum%d.%d.", p, r)
		}
		at := pageOf(bodies, first)
		if len(at) != 1 {
			t.Fatalf("%s is on pages %v, want one", first, at)
		}
		if !row.Sum {
			if number := pageOf(bodies, fmt.Sprintf("n%d.%d.", p, r)); len(number) != 1 || number[0] != at[0] {
				t.Fatalf("row %s is on page %d, its number on %v", first, at[0], number)
			}
		}
		if row.Sum && at[0] != above {
			t.Fatalf("%s is on page %d, the row above it on %d", first, at[0], above)
		}
		if r == 0 && part.Heading != "" {
			if heading := pageOf(bodies, part.Heading); heading[0] != at[0] && len(part.Blocks) == 1 {
				t.Fatalf("%s stands on page %d, what it is over on %d", part.Heading, heading[0], at[0])
			}
		}
		if above >= 0 && at[0] != above {
			page := bodies[at[0]].labels
			head := slices.IndexFunc(page, func(l label) bool { return l.words == "Item" })
			here := slices.IndexFunc(page, func(l label) bool { return strings.HasPrefix(l.words, first) })
			if head < 0 || head > here {
				t.Fatalf("the table goes on at %s on page %d without its head", first, at[0])
			}
			if head > 0 && part.Heading != "" && page[head-1].words != part.Heading+", continued" {
				t.Fatalf("page %d begins with %q", at[0], page[0].words)
			}
		}
		above = at[0]
	}
}

// A row that is higher than a page is the one exception; no line of it is lost.
func TestARowHigherThanAPageLosesNothing(t *testing.T) {
	s := Sheet{Title: "T", Shop: "S"}
	var long []string
	for i := range 3000 {
		long = append(long, fmt.Sprintf("w%d", i))
	}
	s.part("HEADING").table("T", "Item", "#Number").row(strings.Join(long, " "), "12")
	bodies := s.bodies(s.geometry())
	_, height := s.geometry().body()
	all := ""
	for _, b := range bodies {
		for _, l := range b.labels {
			if l.words != "HEADING, continued" && l.words != "Item" && l.words != "Number" {
				all += tight(l.words)
			}
			if l.at.y > height || l.at.y < 0 {
				t.Errorf("%q lies outside the page", l.words)
			}
		}
	}
	if want := tight(strings.Join(long, " ")); !strings.Contains(strings.ReplaceAll(all, "12", ""), strings.ReplaceAll(want, "12", "")) || len(bodies) < 2 {
		t.Errorf("text is lost on %d pages", len(bodies))
	}
}

func TestNumbersEndAtOneLine(t *testing.T) {
	s := Sheet{Title: "T", Shop: "S"}
	table := s.part("").table("T", "Item", "#Amount")
	for _, amount := range []string{"1.00", "1,111,111.11", "−88.80", "0.05"} {
		table.row("x", amount)
	}
	width, _ := s.geometry().body()
	for _, l := range s.bodies(s.geometry())[0].labels {
		if end := l.at.x + wide(l.words, l.size, l.strong); strings.Contains(l.words, ".") && math.Abs(end-width) > 0.01 {
			t.Errorf("%s ends at %.3f, want %.3f", l.words, end, width)
		}
	}
}

// Lines are within their width, hold the text and get no hyphen; none could have
// taken the next word.
func TestWrapping(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOfN(rapid.SampledFrom([]rune("ab iłŁ.-/ W \n\u00a0")), 0, 200, -1).Draw(t, "text")
		width := rapid.Float64Range(4, 120).Draw(t, "width")
		strongly := rapid.Bool().Draw(t, "strong")
		all := ""
		for _, l := range wrap([]Run{{text, strongly}}, 9, width) {
			if l.width() > width+0.02 {
				t.Fatalf("a line of %.2f in a width of %.2f", l.width(), width)
			}
			for _, g := range l {
				all += string(g.r)
			}
		}
		if tight(all) != tight(text) {
			t.Fatalf("%q is set as %q", text, all)
		}
	})
}

// A space or a hyphen at the start of a line does not let the word after it
// stand out of the line.
func TestWhatIsCarriedOverIsBrokenToo(t *testing.T) {
	for _, text := range []string{" aaaW", "  aaaW", "i-aaaW", "a aaaW"} {
		lines := wrap([]Run{plain(text)}, 9, 8)
		if len(lines) < 2 {
			t.Errorf("%q is %d lines", text, len(lines))
		}
		for i, l := range lines {
			if l.width() > 8.01 || len(l) == 0 {
				t.Errorf("%q: line %d is %.2f wide with %d characters", text, i+1, l.width(), len(l))
			}
		}
	}
}

// By hand: at 10 points a figure of this face is 5.56 points wide, 1.962 mm; the
// advance of 556 thousandths is that of the metrics it shares with Arial.
func TestWidthsAreThoseOfTheFont(t *testing.T) {
	if got, want := wide("00", 10, false), 2*0.556*10*25.4/72; math.Abs(got-want) > 0.01 {
		t.Errorf("two figures are %.4f mm wide, want %.4f", got, want)
	}
	lines := wrap([]Run{plain("000 000")}, 10, 3.5*0.556*10*25.4/72)
	if len(lines) != 2 || len(lines[0]) != 3 || len(lines[1]) != 3 {
		t.Errorf("six figures in room for three and a half are %d lines", len(lines))
	}
}

// Geometry: hatch lines lie inside the outline, parallel at 45 degrees, and their
// neighbours as far apart as asked.
func TestHatchesStayInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.Float64Range(1, 60).Draw(t, "w"), rapid.Float64Range(1, 60).Draw(t, "h")
		apart := rapid.Float64Range(0.5, 5).Draw(t, "apart")
		left := rapid.Bool().Draw(t, "left")
		box := []point{{3, 7}, {3 + w, 7}, {3 + w, 7 + h}, {3, 7 + h}}
		levels := []float64{}
		for _, s := range hatch(box, apart, left) {
			a, b := s.at[0], s.at[1]
			for _, p := range s.at {
				if p.x < 3-1e-6 || p.x > 3+w+1e-6 || p.y < 7-1e-6 || p.y > 7+h+1e-6 {
					t.Fatalf("%v lies outside %v", p, box)
				}
			}
			slope := 1.0
			if left {
				slope = -1
			}
			if math.Abs((b.y-a.y)-slope*(b.x-a.x)) > 1e-6 {
				t.Fatalf("%v to %v is not at 45 degrees", a, b)
			}
			levels = append(levels, (a.y-slope*a.x)/math.Sqrt2)
		}
		slices.Sort(levels)
		for i := 1; i < len(levels); i++ {
			if math.Abs(levels[i]-levels[i-1]-apart) > 1e-6 {
				t.Fatalf("lines %.4f apart, want %.4f", levels[i]-levels[i-1], apart)
			}
		}
		if want := int((w+h)/math.Sqrt2/apart) - 1; len(levels) < want {
			t.Fatalf("%d lines over a diagonal of %.1f, want %d at least", len(levels), (w+h)/math.Sqrt2, want)
		}
	})
}

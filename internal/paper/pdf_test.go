package paper

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/unicode/norm"

	"bareframe/internal/testkit/pdftext"
)

const someHash = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef"

// Valid by an independent reader (pdfcpu), and the same bytes again and again:
// the inspection has several photos of one size, which the PDF library would
// write in any order.
func TestEveryDocumentIsAValidPDFAndAlwaysTheSame(t *testing.T) {
	for name, s := range documents(t, "") {
		first, err := PDF(s, someHash)
		if err != nil {
			t.Fatal(name, err)
		}
		ctx := pdftext.Read(t, first)
		if ctx.Title != s.Title+" · SHOP" || !strings.HasSuffix(ctx.Author, "SHOP") {
			t.Errorf("%s: title %q, author %q", name, ctx.Title, ctx.Author)
		}
		if want := "D:" + s.Date.Format("20060102150405"); !bytes.Contains(first, []byte(want)) {
			t.Errorf("%s: not dated %s, as the document is", name, want)
		}
		if lang, ok := ctx.RootDict.Find("Lang"); !ok || !strings.Contains(lang.String(), "en") {
			t.Errorf("%s: its language is %v, want en", name, lang)
		}
		for range 8 {
			if again, _ := PDF(s, someHash); !bytes.Equal(again, first) {
				t.Fatalf("%s: the PDF differs from one drawing to the next", name)
			}
		}
		s.Date = s.Date.Add(time.Second)
		if other, _ := PDF(s, someHash); bytes.Equal(other, first) {
			t.Errorf("%s: another date gives the same PDF", name)
		}
	}
}

// texts are all strings of a document, in its order.
func texts(s Sheet) []string {
	out := []string{s.Shop, s.Address, s.Title}
	for _, p := range s.Parts {
		out = append(out, p.Heading)
		for _, b := range p.Blocks {
			if b.Text != nil {
				all := ""
				for _, r := range b.Text.Runs {
					all += r.Words
				}
				out = append(out, all)
			}
			if b.Table != nil {
				for _, c := range b.Table.Columns {
					out = append(out, c.Head)
				}
				for _, r := range b.Table.Rows {
					for _, c := range r.Cells {
						out = append(out, c.Words, c.Small)
					}
				}
			}
			for _, pic := range b.Pictures {
				out = append(out, pic.Caption)
			}
			out = append(out, b.Sign...)
		}
	}
	return out
}

func TestAllTextCanBeTakenOutOfThePDF(t *testing.T) {
	for name, s := range documents(t, " Łódź ő ß") {
		var all strings.Builder
		for i, page := range printed(t, s, someHash) {
			of := strings.Join(page, " ")
			for _, want := range []string{"SHOP", "Sheet", fmt.Sprintf("%d of ", i+1), "Job", "Vehicle", "SHA-256"} {
				if !strings.Contains(of, want) {
					t.Errorf("%s, page %d: no %q", name, i+1, want)
				}
			}
			if got := tight(of); !strings.Contains(got, someHash) {
				t.Errorf("%s, page %d does not name the hash", name, i+1)
			}
			all.WriteString(tight(of))
		}
		for _, want := range texts(s) {
			if !strings.Contains(all.String(), tight(want)) {
				t.Errorf("%s: %q cannot be found in the PDF", name, want)
			}
		}
		if strings.Contains(all.String(), string(missing)) {
			t.Errorf("%s: something is shown as missing", name)
		}
	}
}

func TestADraftNamesNoHash(t *testing.T) {
	for _, page := range printed(t, documents(t, "")["quote"], "") {
		if strings.Contains(strings.Join(page, " "), "SHA-256") {
			t.Error("a document that was not issued names a hash")
		}
	}
}

// ISO 8859-1, -2 and -15 as golang.org/x/text has them.
func TestTheFontHasLatin1AndLatin2(t *testing.T) {
	for _, set := range []*charmap.Charmap{charmap.ISO8859_1, charmap.ISO8859_2, charmap.ISO8859_15} {
		for b := range 256 {
			r := set.DecodeByte(byte(b))
			if b < 0x20 || b >= 0x7f && b < 0xa0 || r == softHyphen {
				continue
			}
			for i, f := range faces() {
				if f.advance[r] < 0 {
					t.Errorf("%s: face %d has no %q (%U)", set, i, r, r)
				}
			}
			if got := showable(string(r)); got != string(r) {
				t.Errorf("%s: %q is shown as %q", set, r, got)
			}
		}
	}
	for i, f := range faces() {
		for r := '0'; r <= '9'; r++ {
			if f.advance[r] != f.advance['0'] {
				t.Errorf("face %d: figures are of different widths", i)
			}
		}
	}
}

// Nothing is dropped: what cannot be shown stands as a square, one a character.
func TestWhatTheFontDoesNotHaveIsShownAsASquare(t *testing.T) {
	for _, r := range []struct{ in, want string }{
		{"Привет", "Привет"}, {"Ελλάς", "Ελλάς"},
		{"a👍b", "a□b"}, {"👩‍🔧", "□□□"}, {"שלום", "□□□□"}, {"مرحبا", "□□□□□"},
		{"車", "□"}, {"a\u202eb", "a□b"}, {"a\x00\x07b", "a□□b"}, {"a\xffb", "a□b"}, {"\ufffd", "□"},
		{"e\u0301", "é"}, {"tab\tend", "tab end"}, {"☐", "□"}, {"− × ² ½ € ≥ °", "− × ² ½ € ≥ °"},
	} {
		if got := showable(r.in); got != r.want {
			t.Errorf("%q is shown as %q, want %q", r.in, got, r.want)
		}
		d := someQuote("")
		d.Quote.Note = "AHEAD " + r.in + " BEHIND"
		s, err := Quote(d)
		if err != nil {
			t.Fatal(err)
		}
		all := tight(strings.Join(slices.Concat(printed(t, s, "")...), " "))
		if !strings.Contains(all, "AHEAD"+tight(norm.NFC.String(r.want))+"BEHIND") {
			t.Errorf("%q is not in the PDF as %q", r.in, r.want)
		}
		if said := strings.Contains(all, "standsforacharacter"); said != strings.ContainsRune(r.want, missing) {
			t.Errorf("%q: the PDF says that something is missing: %v", r.in, said)
		}
	}
}

func TestAPictureThatCannotBeReadSaysSo(t *testing.T) {
	s := documents(t, "")["quote"]
	broken := drawnPhoto(480, 360, 1)
	s.Parts = append(s.Parts, Part{Blocks: []Block{{Pictures: []Picture{{[]byte("no picture"), "ONE"}, {broken[:len(broken)-200], "TWO"}, {drawnPhoto(1, 2000, 3), "THREE"}, {nil, "FOUR"}}}}})
	all := strings.Join(slices.Concat(printed(t, s, "")...), " ")
	if n := strings.Count(tight(all), tight("(the picture cannot be read)")); n != 2 {
		t.Errorf("%d pictures are said to be unreadable, want 2: %s", n, all)
	}
}

// The frame of ISO 5457:1999 (from memory): 20 mm to file, 10 mm elsewhere.
func TestTheFrameLeavesAFilingEdge(t *testing.T) {
	for _, letter := range []bool{false, true} {
		s := documents(t, "")["quote"]
		s.Letter = letter
		wide, high := 210.0, 297.0
		if letter {
			wide, high = 215.9, 279.4 // 8.5 by 11 inches
		}
		outer := s.frame(s.geometry(), "", 1, 1).strokes[0]
		want := []point{{20, 10}, {wide - 10, 10}, {wide - 10, high - 10}, {20, high - 10}}
		if !slices.EqualFunc(outer.at, want, func(a, b point) bool { return math.Hypot(a.x-b.x, a.y-b.y) < 1e-9 }) {
			t.Errorf("letter %v: the frame is %v, want %v", letter, outer.at, want)
		}
		body, err := PDF(s, "")
		if err != nil {
			t.Fatal(err)
		}
		dims, err := pdftext.Read(t, body).PageDims()
		if err != nil || math.Abs(dims[0].Width-wide/25.4*72) > 0.1 || math.Abs(dims[0].Height-high/25.4*72) > 0.1 {
			t.Errorf("letter %v: the page is %v, %v", letter, dims, err)
		}
	}
}

// TestForTheEye writes all documents into a folder, to be looked at.
func TestForTheEye(t *testing.T) {
	dir := os.Getenv("PAPER_LOOK")
	if dir == "" {
		t.Skip("SKIPPED: set PAPER_LOOK to a folder to have all documents written there")
	}
	all := documents(t, "")
	long, err := Quote(longQuote(200))
	if err != nil {
		t.Fatal(err)
	}
	all["long quote"] = long
	for name, s := range all {
		pdf, err := PDF(s, someHash)
		if err != nil {
			t.Fatal(err)
		}
		page, err := HTML(s)
		if err != nil {
			t.Fatal(err)
		}
		name = filepath.Join(dir, strings.ReplaceAll(name, " ", "-"))
		if err := os.WriteFile(name+".pdf", pdf, 0o600); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name+".html", page, 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// The budget is 150 ms; beside it the same document as HTML.
func BenchmarkQuotePDF200(b *testing.B) {
	drawing(b, func(s Sheet) ([]byte, error) { return PDF(s, someHash) })
}

func BenchmarkQuoteHTML200(b *testing.B) { drawing(b, HTML) }

func drawing(b *testing.B, draw func(Sheet) ([]byte, error)) {
	s, err := Quote(longQuote(200))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := draw(s); err != nil {
			b.Fatal(err)
		}
	}
}

package paper

import (
	"fmt"
	"strings"
	"sync"
	"unicode"

	"github.com/go-fonts/liberation/liberationsansbold"
	"github.com/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	fixedpoint "golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/norm"
)

// pointMM is a typographic point in millimetres.
const pointMM = 25.4 / 72

// face is what layout needs of a font: the advance of each character in
// thousandths of its size, negative where it has no glyph.
type face struct{ advance [1 << 16]int16 }

// faces are the regular and the strong face, read once when first needed.
var faces = sync.OnceValue(func() [2]*face {
	return [2]*face{readFace(liberationsansregular.TTF), readFace(liberationsansbold.TTF)}
})

// readFace panics on a font that cannot be read: it is built in.
func readFace(data []byte) *face {
	f, err := sfnt.Parse(data)
	if err != nil {
		panic(fmt.Errorf("the font that is built in: %w", err))
	}
	var buf sfnt.Buffer
	out := &face{}
	for r := range out.advance {
		out.advance[r] = -1
		glyph, err := f.GlyphIndex(&buf, rune(r))
		if err != nil || glyph == 0 {
			continue
		}
		if a, err := f.GlyphAdvance(&buf, glyph, fixedpoint.I(1000), font.HintingNone); err == nil {
			out.advance[r] = int16(a.Round())
		}
	}
	return out
}

func faceOf(strong bool) *face {
	if strong {
		return faces()[1]
	}
	return faces()[0]
}

// of returns the width of a character in millimetres at a size in points.
func (f *face) of(r rune, size float64) float64 {
	if r >= 1<<16 || f.advance[r] < 0 {
		return 0
	}
	return float64(f.advance[r]) * size * pointMM / 1000
}

// wide returns the width of words that are showable, in millimetres.
func wide(words string, size float64, strong bool) float64 {
	f, w := faceOf(strong), 0.0
	for _, r := range words {
		w += f.of(r, size)
	}
	return w
}

// missing stands where the font has no character.
const missing = '□'

// Characters without a form of their own that only say where a line may end.
const (
	softHyphen = '\u00ad'
	zeroSpace  = '\u200b'
)

// showable composes text (NFC, UAX 15) and replaces what the PDF cannot show:
// characters that the font does not have, controls, and scripts that are written
// from right to left, which would come out in the wrong order. The line feed
// stays.
func showable(text string) string {
	regular := faceOf(false)
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == softHyphen || r == zeroSpace:
			return r
		case r == '\t' || r == '\r' || r == '\u2028' || r == '\u2029':
			return ' '
		case r >= 1<<16 || regular.advance[r] < 0,
			unicode.Is(unicode.C, r), unicode.In(r, rightToLeft...):
			return missing
		}
		return r
	}, norm.NFC.String(strings.ToValidUTF8(text, string(missing))))
}

// breaks only say where a line may end.
var breaks = strings.NewReplacer("\n", " ", string(softHyphen), "", string(zeroSpace), "")

// inOneLine is showable text for a place where no line is broken.
func inOneLine(text string) string { return breaks.Replace(showable(text)) }

var rightToLeft = []*unicode.RangeTable{unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko}

package paper

import "unicode"

// glyph is a character to be set.
type glyph struct {
	r      rune
	strong bool
	width  float64
}

// setLine is a line of text as it is set.
type setLine []glyph

func (l setLine) width() float64 {
	w := 0.0
	for _, g := range l {
		w += g.width
	}
	return w
}

// glyphs sets runs at a size.
func glyphs(runs []Run, size float64) []glyph {
	var out []glyph
	for _, run := range runs {
		f := faceOf(run.Strong)
		for _, r := range showable(run.Words) {
			out = append(out, glyph{r, run.Strong, f.of(r, size)})
		}
	}
	return out
}

// wrap breaks runs into lines of a width: at spaces, after a hyphen or slash
// that is written, where the text says so; a word longer than a line is broken
// where the line ends. No hyphen is added. There is always one line.
// Complexity: linear in the characters.
func wrap(runs []Run, size, width float64) []setLine {
	var lines []setLine
	all := glyphs(runs, size)
	start, may, used := 0, 0, 0.0 // may is where the line could end
	for i := 0; i < len(all); i++ {
		g := all[i]
		if g.r == '\n' {
			lines = append(lines, trimmed(all[start:i]))
			start, may, used = i+1, i+1, 0
			continue
		}
		if g.r == ' ' && i == start { // not drawn where a line begins
			start, may = i+1, i+1
			continue
		}
		used += g.width
		// What is carried over may be too long for a line in its turn.
		for used > width+0.01 && g.r != ' ' && i > start {
			end := may
			if end <= start {
				end = i
			}
			lines = append(lines, trimmed(all[start:end]))
			start, may, used = end, end, setLine(all[end:i+1]).width()
		}
		if ends(all, i) {
			may = i + 1
		}
	}
	return append(lines, trimmed(all[start:]))
}

// ends reports whether a line may end after a character.
func ends(all []glyph, i int) bool {
	switch all[i].r {
	case ' ', softHyphen, zeroSpace:
		return true
	case '-', '/':
		return i > 0 && i+1 < len(all) && unicode.IsLetter(all[i-1].r) && unicode.IsLetter(all[i+1].r)
	}
	return false
}

// trimmed drops the spaces around a line and what is never drawn.
func trimmed(l []glyph) setLine {
	out := make(setLine, 0, len(l))
	for _, g := range l {
		if g.r == softHyphen || g.r == zeroSpace || g.r == ' ' && len(out) == 0 {
			continue
		}
		out = append(out, g)
	}
	for len(out) > 0 && out[len(out)-1].r == ' ' {
		out = out[:len(out)-1]
	}
	return out
}

// longest returns the width of the longest stretch that is not broken, and of
// the whole without a break.
func longest(runs []Run, size float64) (word, whole float64) {
	all, stretch, line := glyphs(runs, size), 0.0, 0.0
	for i, g := range all {
		if g.r == '\n' {
			stretch, line = 0, 0
			continue
		}
		line += g.width
		if g.r == ' ' {
			stretch = 0
			whole = max(whole, line-g.width)
			continue
		}
		stretch += g.width
		word, whole = max(word, stretch), max(whole, line)
		if ends(all, i) {
			stretch = 0
		}
	}
	return word, whole
}

// write draws a line at its left end on the base line.
func (k *ink) write(l setLine, x, y, size float64) {
	for start := 0; start < len(l); {
		end, w := start, 0.0
		var words []rune
		for ; end < len(l) && l[end].strong == l[start].strong; end++ {
			words = append(words, l[end].r)
			w += l[end].width
		}
		k.text(x, y, size, l[start].strong, string(words))
		x, start = x+w, end
	}
}

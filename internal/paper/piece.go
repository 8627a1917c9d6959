package paper

// Sizes of type in points and distances in millimetres.
const (
	titleSize   = 17.0
	headingSize = 12.0
	leadSize    = 11.0
	textSize    = 9.5
	tableSize   = 9.0
	smallSize   = 7.5

	leading   = 1.32 // line height over size
	ascent    = 0.92 // base line below the top of a line, over size
	boxInside = 2.2
	mostText  = 150.0 // lines stay under some 95 characters
)

func lineHeight(size float64) float64 { return size * pointMM * leading }

// piece is what is never divided: a line, a row of a table, a drawing.
type piece struct {
	above  float64 // space before it, unless it begins a page
	height float64
	ink    ink
	// keep holds it on the page of the piece after it.
	keep bool
	// again is repeated above it when it begins a page.
	again []piece
}

// pieces lays out a part.
func (p Part) pieces(width float64) []piece {
	var out []piece
	if p.Heading != "" {
		out = heading(p.Heading, width)
	}
	for i, b := range p.Blocks {
		if len(b.Pictures)+len(b.Sign) > 0 && len(out) > 0 {
			out[len(out)-1].keep = true // with what pictures show, with what is signed
		}
		for j, x := range b.pieces(p.Heading, width) {
			if j == 0 && i == 0 && p.Heading == "" {
				x.above = max(x.above, 3.5)
			}
			out = append(out, x)
		}
		if b.Text != nil && i+1 < len(p.Blocks) && p.Blocks[i+1].Table != nil {
			out[len(out)-1].keep = true // words over a table stay with its first row
		}
	}
	return out
}

func (b Block) pieces(heading string, width float64) []piece {
	switch {
	case b.Text != nil:
		return b.Text.pieces(width)
	case b.Table != nil:
		return b.Table.pieces(heading, width)
	case b.Plan != nil:
		k, height := b.Plan.ink(width)
		return []piece{{above: 3, height: height, ink: k}}
	case len(b.Pictures) > 0:
		return pictures(b.Pictures, width)
	case len(b.Sign) > 0:
		return signatures(b.Sign, width)
	}
	return nil
}

// heading is underlined heavily and stays with what follows.
func heading(words string, width float64) []piece {
	lines := wrap([]Run{strong(words)}, headingSize, width)
	var out []piece
	for i, l := range lines {
		p := piece{height: lineHeight(headingSize), keep: true}
		if i == 0 {
			p.above = 5.5
		}
		p.ink.write(l, 0, headingSize*pointMM*ascent, headingSize)
		if i == len(lines)-1 {
			p.height += 0.8
			p.ink.line(point{0, p.height - .3}, point{width, p.height - .3}, thick, continuous)
		}
		out = append(out, p)
	}
	return out
}

// pieces sets a paragraph a line a piece; neither its first nor its last line
// stands alone on a page. A box is drawn line by line too.
func (t Text) pieces(width float64) []piece {
	size, inset, room := textSize, 0.0, min(width, mostText)
	boxed := t.Manner == Ranged || t.Manner == Caution
	switch {
	case t.Manner == Lead:
		size = leadSize
	case t.Manner == Quiet:
		size = smallSize
	case boxed:
		inset = boxInside
	}
	lines := wrap(t.Runs, size, room-2*inset)
	out := make([]piece, len(lines))
	for i, l := range lines {
		p := piece{height: lineHeight(size), keep: i == 0 && len(lines) > 1 || i == len(lines)-2}
		if i == 0 {
			p.above = 1.6
		}
		y := 0.0
		if boxed {
			p.keep = i < len(lines)-1 && (len(lines) < 12 || p.keep)
			y = p.box(t.Manner, i == 0, i == len(lines)-1, room)
		}
		p.ink.write(l, inset, y+size*pointMM*ascent, size)
		out[i] = p
	}
	return out
}

// box draws the stretch of a box beside one line and makes room in it.
func (p *piece) box(m Manner, first, last bool, width float64) (top float64) {
	weight, d := thin, hiddenEdge
	if m == Caution {
		weight, d = thick, continuous
	}
	if first {
		p.above, p.height, top = 2.5, p.height+1.3, 1.3
		p.ink.line(point{0, 0}, point{width, 0}, weight, d)
	}
	if last {
		p.height += 1.6
		p.ink.line(point{0, p.height}, point{width, p.height}, weight, d)
	}
	for _, x := range []float64{0, width} {
		p.ink.line(point{x, 0}, point{x, p.height}, weight, d)
	}
	return top
}

// signatures are lines to sign on, side by side, each over who signs.
func signatures(who []string, width float64) []piece {
	const gap, room = 8.0, 14.0
	var out []piece
	for start := 0; start < len(who); start += 2 {
		p := piece{above: 2}
		each := (width - gap) / 2
		for i, words := range who[start:min(start+2, len(who))] {
			x := float64(i) * (each + gap)
			p.ink.line(point{x, room}, point{x + each, room}, thin, continuous)
			for j, l := range wrap([]Run{plain(words)}, smallSize, each) {
				p.ink.write(l, x, room+.6+smallSize*pointMM*ascent+float64(j)*lineHeight(smallSize), smallSize)
				p.height = max(p.height, room+1+float64(j+1)*lineHeight(smallSize))
			}
		}
		out = append(out, p)
	}
	return out
}

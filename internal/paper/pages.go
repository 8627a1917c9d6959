package paper

// pages fills pages of a height with pieces. What is kept together moves to the
// next page as one, unless it is higher than a page; then it is broken between
// pieces.
// Complexity: linear in the pieces.
func pages(all []piece, height float64) []ink {
	f := filling{height: height, pages: []ink{{}}}
	for start := 0; start < len(all); {
		end := start + 1
		for end < len(all) && all[end-1].keep {
			end++
		}
		f.group(all[start:end])
		start = end
	}
	return f.pages
}

// filling is a page that is being filled, and those before it.
type filling struct {
	height float64
	used   float64
	pages  []ink
}

// group puts pieces on one page where they fit on one.
func (f *filling) group(pieces []piece) {
	if need := heightOf(pieces, f.used == 0); f.used > 0 && f.used+need > f.height && fresh(pieces) <= f.height {
		f.turn()
	}
	for _, p := range pieces {
		f.put(p)
	}
}

// put places one piece, on the next page if need be with what is repeated there.
func (f *filling) put(p piece) {
	if f.used > 0 && f.used+p.above+p.height > f.height+1e-6 {
		f.turn()
	}
	if f.used == 0 && len(f.pages) > 1 {
		for _, a := range p.again {
			f.place(a)
		}
	}
	f.place(p)
}

func (f *filling) place(p piece) {
	if f.used > 0 {
		f.used += p.above
	}
	f.pages[len(f.pages)-1].add(p.ink, point{0, f.used})
	f.used += p.height
}

func (f *filling) turn() {
	f.pages = append(f.pages, ink{})
	f.used = 0
}

// fresh is the height of pieces on a page that they begin.
func fresh(pieces []piece) float64 {
	return heightOf(pieces[0].again, true) + heightOf(pieces, len(pieces[0].again) == 0)
}

func heightOf(pieces []piece, begins bool) float64 {
	h := 0.0
	for i, p := range pieces {
		if i > 0 || !begins {
			h += p.above
		}
		h += p.height
	}
	return h
}

// divided breaks a piece of lines that is higher than a page.
func divided(all []piece, height float64) []piece {
	var out []piece
	for _, p := range all {
		room := height - heightOf(p.again, true)
		if p.height <= room || room <= 0 {
			out = append(out, p)
			continue
		}
		out = append(out, p.slices(room)...)
	}
	return out
}

// slices cuts a piece at heights where no line of text is cut. What is drawn is
// left out: only rows of text grow so high, and their rules with them.
func (p piece) slices(room float64) []piece {
	var out []piece
	from := 0.0
	for from < p.height {
		to := min(from+room-1, p.height)
		part := piece{height: to - from, above: p.above, again: p.again}
		next := to
		for _, l := range p.ink.labels {
			top, foot := l.at.y-l.size*pointMM*ascent, l.at.y+l.size*pointMM*(leading-ascent)
			if top < from-0.01 {
				continue
			}
			if foot <= to+0.01 {
				l.at.y -= from
				part.ink.labels = append(part.ink.labels, l)
			} else if top < next {
				next = max(top, from+1)
			}
		}
		part.height = min(part.height, next-from+0.01)
		out = append(out, part)
		from = next
	}
	out[len(out)-1].keep = p.keep
	return out
}

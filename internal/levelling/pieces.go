package levelling

// piece is a stretch of work, from included, to not.
type piece struct{ from, to int32 }

// fitPieces places work that others may come between. The people are those who
// could begin first, and stay with it.
func (d *decoder) fitPieces(t *task, x, ef int32) (start, finish int32) {
	h := d.hours[t.class]
	for {
		if x = h.nextOpen(x); x >= never {
			return never, never
		}
		if from := d.placesFree(t, x); from > x {
			x = from
			continue
		}
		class := t.class
		if len(t.needs) > 0 {
			for k := range t.needs {
				for _, p := range t.needs[k].who {
					d.wait[p] = d.personAt(t, p, x) - x
				}
			}
			if d.match.match(t.needs, d.wait) == nil {
				x = d.nextChance(t, x)
				continue
			}
			for _, p := range d.match.slots {
				class = d.joint(class, d.s.person[p])
			}
		}
		if !d.walk(t, d.hours[class], x, ef) {
			return never, never
		}
		if after, broken := d.leftOver(t.longest); broken {
			x = after
			continue
		}
		return d.pieces[0].from, d.pieces[len(d.pieces)-1].to
	}
}

func (d *decoder) placesFree(t *task, x int32) int32 {
	at := x
	for _, u := range t.uses {
		from, _ := d.lines[d.people+u.station].free(x, d.s.capacity[u.station]-u.units)
		at = max(at, from)
	}
	return at
}

// walk gathers into d.pieces the minutes from x on in which h is open and the
// matched people and the places of t are free, until the work is done and ef is
// reached; what is then too much is taken off the front.
func (d *decoder) walk(t *task, h *hours, x, ef int32) bool {
	d.pieces = d.pieces[:0]
	total, last := int32(0), int32(-never)
	for total < t.minutes || last < ef {
		if x = h.nextOpen(x); x >= never {
			return false
		}
		from, until := d.allFree(t, x)
		if from > x {
			x = from
			continue
		}
		to := min(until, h.end[h.at(x)], max(x+max(1, t.minutes-total), min(ef, never)))
		if n := len(d.pieces); n > 0 && d.pieces[n-1].to == x {
			d.pieces[n-1].to = to
		} else {
			d.pieces = append(d.pieces, piece{x, to})
		}
		total += to - x
		x, last = to, to
	}
	d.trim(total - t.minutes)
	return true
}

func (d *decoder) trim(over int32) {
	k := 0
	for over > 0 {
		if long := d.pieces[k].to - d.pieces[k].from; long > over {
			d.pieces[k].from += over
			break
		} else {
			over -= long
			k++
		}
	}
	d.pieces = append(d.pieces[:0], d.pieces[k:]...)
}

// allFree gives the first minute from x on at which everybody and every place
// is free, as far as each alone can say, and until when.
func (d *decoder) allFree(t *task, x int32) (from, until int32) {
	from, until = x, never
	for _, p := range d.match.slots {
		a, b := d.lines[p].free(x, 0)
		from, until = max(from, a), min(until, b)
	}
	for _, u := range t.uses {
		a, b := d.lines[d.people+u.station].free(x, d.s.capacity[u.station]-u.units)
		from, until = max(from, a), min(until, b)
	}
	return from, until
}

// leftOver looks for a stretch between pieces longer than most.
func (d *decoder) leftOver(most int32) (after int32, found bool) {
	for k := 1; k < len(d.pieces); k++ {
		if d.pieces[k].from-d.pieces[k-1].to > most {
			return d.pieces[k].from, true
		}
	}
	return 0, false
}

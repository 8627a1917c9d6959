package project

// Capacities are kept four to a word, sixteen bits each with the highest bit as a
// guard: one subtraction then asks all four at once whether something fits.
const (
	lanes  = 4
	guards = 0x8000_8000_8000_8000
)

// pack lays units of resources into words.
func pack(units []int32) []uint64 {
	out := make([]uint64, max(1, (len(units)+lanes-1)/lanes))
	for k, u := range units {
		out[k/lanes] |= uint64(u) << (16 * (k % lanes))
	}
	return out
}

// board is what is free at each unit of time.
type board struct {
	full []uint64 // of one unit of time, guards set
	free []uint64 // words of time 0, words of time 1, ...
	used int32    // nothing is taken from here on
}

func newBoard(capacities []int32, horizon int32) *board {
	b := &board{full: pack(capacities)}
	for w := range b.full {
		b.full[w] |= guards
	}
	b.free = make([]uint64, int(horizon)*len(b.full))
	b.used = horizon
	b.clear()
	return b
}

// clear frees everything.
func (b *board) clear() {
	if len(b.full) == 1 {
		free := b.free[:b.used]
		for t := range free {
			free[t] = b.full[0]
		}
	} else {
		for at := 0; at < int(b.used)*len(b.full); at += len(b.full) {
			copy(b.free[at:], b.full)
		}
	}
	b.used = 0
}

// earliest returns the first time from t on at which need fits for d units of
// time. It looks at each unit of time from the end of the stretch, so that it can
// jump behind whatever is in the way: O(time passed). Past used all is free.
func (b *board) earliest(t, d int32, need []uint64) int32 {
	if d == 0 {
		return t
	}
	if len(b.full) > 1 {
		return b.earliestOfMany(t, d, need)
	}
	n := need[0]
	if n == 0 {
		return t
	}
	free, seen := b.free, t
	for {
		end := t + d
		at := end - 1
		for at >= seen && (free[at]-n)&guards == guards {
			at--
		}
		if at < seen {
			return t
		}
		seen, t = end, at+1
	}
}

func (b *board) earliestOfMany(t, d int32, need []uint64) int32 {
	seen := t
	for {
		end := t + d
		at := end - 1
		for at >= seen && b.fits(at, need) {
			at--
		}
		if at < seen {
			return t
		}
		seen, t = end, at+1
	}
}

func (b *board) fits(t int32, need []uint64) bool {
	free := b.free[int(t)*len(need):]
	for w, n := range need {
		if (free[w]-n)&guards != guards {
			return false
		}
	}
	return true
}

// take occupies need from t for d units of time.
func (b *board) take(t, d int32, need []uint64) {
	b.used = max(b.used, t+d)
	if len(need) == 1 {
		for at := t; at < t+d; at++ {
			b.free[at] -= need[0]
		}
		return
	}
	for at := t; at < t+d; at++ {
		for w, n := range need {
			b.free[int(at)*len(need)+w] -= n
		}
	}
}

// give is the opposite of take.
func (b *board) give(t, d int32, need []uint64) {
	for at := t; at < t+d; at++ {
		for w, n := range need {
			b.free[int(at)*len(need)+w] += n
		}
	}
}

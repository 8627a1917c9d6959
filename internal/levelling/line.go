package levelling

// line is how much of one person or station is taken over time: used[i] units
// from minute at[i] to at[i+1]. It always begins at minute 0 and ends unused.
type line struct{ at, used []int32 }

func newLine() line { return line{at: []int32{0}, used: []int32{0}} }

// copyOf makes l what from is, in the memory that l has.
func (l *line) copyOf(from *line) {
	l.at = append(l.at[:0], from.at...)
	l.used = append(l.used[:0], from.used...)
}

// find gives the step that t lies in. O(log n).
func (l *line) find(t int32) int {
	lo, hi := 0, len(l.at)
	if l.at[hi-1] <= t { // the end is where most of the asking is
		return hi - 1
	}
	for hi-lo > 1 {
		if mid := int(uint(lo+hi) >> 1); l.at[mid] <= t {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// blocked says whether more than room is taken anywhere from start to finish,
// and then when the last such stretch that begins in there is over.
func (l *line) blocked(start, finish, room int32) (until int32, yes bool) {
	i := l.find(start)
	if i == len(l.at)-1 {
		return 0, false
	}
	for ; i < len(l.at) && l.at[i] < finish; i++ {
		if l.used[i] > room {
			until, yes = l.end(i), true
		}
	}
	return until, yes
}

func (l *line) end(i int) int32 {
	if i+1 < len(l.at) {
		return l.at[i+1]
	}
	return never
}

// free gives the first minute from t on at which no more than room is taken,
// and until when that stays so.
func (l *line) free(t, room int32) (from, until int32) {
	i := l.find(t)
	for l.used[i] > room {
		i++
		t = l.at[i]
	}
	for until = l.end(i); until < never && l.used[i+1] <= room; until = l.end(i) {
		i++
	}
	return t, until
}

// book takes units from start to finish; with negative units it gives back.
// O(log n) and the moving of what comes after.
func (l *line) book(start, finish, units int32) {
	if start >= finish {
		return
	}
	i := l.split(start)
	k := l.split(finish)
	for j := i; j < k; j++ {
		l.used[j] += units
	}
	l.join(k)
	l.join(i)
}

// split makes a step begin at t and gives its place.
func (l *line) split(t int32) int {
	i := l.find(t)
	if l.at[i] == t {
		return i
	}
	l.at, l.used = append(l.at, 0), append(l.used, 0)
	copy(l.at[i+2:], l.at[i+1:])
	copy(l.used[i+2:], l.used[i+1:])
	l.at[i+1], l.used[i+1] = t, l.used[i]
	return i + 1
}

// join takes out step i where it goes on like the one before.
func (l *line) join(i int) {
	if i == 0 || i >= len(l.at) || l.used[i] != l.used[i-1] {
		return
	}
	l.at = append(l.at[:i], l.at[i+1:]...)
	l.used = append(l.used[:i], l.used[i+1:]...)
}

package levelling

import (
	"math"
	"time"

	"bareframe/internal/calendar"
)

// never is after every minute of the axis, with room to add to it.
const never = math.MaxInt32 / 4

// hours are the open stretches of a calendar between minute 0 and the horizon of
// the axis, in order and never touching.
type hours struct {
	start, end []int32
	sum        []int32 // open minutes before each stretch; one more for the total
	edge       []int32 // of each 1024 minutes, the first stretch that ends after they begin
}

const edgeBits = 10

// newHours takes stretches in order and reckons the rest. O(stretches + horizon/1024).
func newHours(start, end []int32, horizon int32) *hours {
	h := &hours{start: start, end: end, sum: make([]int32, len(start)+1), edge: make([]int32, horizon>>edgeBits+2)}
	for i := range start {
		h.sum[i+1] = h.sum[i] + end[i] - start[i]
	}
	i := 0
	for k := range h.edge {
		for i < len(end) && end[i] <= int32(k)<<edgeBits {
			i++
		}
		h.edge[k] = int32(i)
	}
	return h
}

// hoursOf lays a calendar out on the axis that begins at origin.
func hoursOf(c *calendar.Calendar, origin time.Time, horizon int32) *hours {
	if c == nil {
		return newHours([]int32{0}, []int32{horizon}, horizon)
	}
	spans := c.OpenIntervals(origin, origin.Add(time.Duration(horizon)*time.Minute))
	start, end := make([]int32, len(spans)), make([]int32, len(spans))
	for i, s := range spans {
		start[i] = int32(s.From.Sub(origin) / time.Minute)
		end[i] = int32(s.To.Sub(origin) / time.Minute)
	}
	return newHours(start, end, horizon)
}

// joint gives the stretches that are open in both. O(stretches).
func joint(a, b *hours, horizon int32) *hours {
	var start, end []int32
	for i, k := 0, 0; i < len(a.start) && k < len(b.start); {
		if from, to := max(a.start[i], b.start[k]), min(a.end[i], b.end[k]); from < to {
			start, end = append(start, from), append(end, to)
		}
		if a.end[i] < b.end[k] {
			i++
		} else {
			k++
		}
	}
	return newHours(start, end, horizon)
}

// at gives the first stretch that ends after t; len(h.start) when there is none.
// O(1) but for calendars with a great many stretches a day.
func (h *hours) at(t int32) int {
	k := int(max(t, 0) >> edgeBits)
	if k >= len(h.edge) {
		return len(h.start)
	}
	i := int(h.edge[k])
	for i < len(h.end) && h.end[i] <= t {
		i++
	}
	return i
}

// nextOpen gives t when the minute that begins at t is open, else the next
// opening, or never.
func (h *hours) nextOpen(t int32) int32 {
	i := h.at(t)
	if i == len(h.start) {
		return never
	}
	return max(t, h.start[i])
}

// worked gives the open minutes before t.
func (h *hours) worked(t int32) int32 {
	i := h.at(t)
	if i == len(h.start) {
		return h.sum[i]
	}
	return h.sum[i] + max(0, t-h.start[i])
}

// finish gives the minute at which d > 0 minutes of work from t on are done,
// or never. O(1) for work of a few openings, O(log n) otherwise.
func (h *hours) finish(t, d int32) int32 {
	i := h.at(t)
	if i == len(h.start) {
		return never
	}
	if from := max(t, h.start[i]); h.end[i]-from >= d {
		return from + d
	}
	return h.reach(i, h.sum[i]+max(0, t-h.start[i])+d)
}

// reach gives the first minute by which w are worked, which lies in stretch i or
// a later one.
func (h *hours) reach(i int, w int32) int32 {
	for range 8 {
		if i == len(h.start) {
			return never
		}
		if h.sum[i+1] >= w {
			return h.start[i] + w - h.sum[i]
		}
		i++
	}
	hi := len(h.start)
	for i < hi {
		if mid := int(uint(i+hi) >> 1); h.sum[mid+1] >= w {
			hi = mid
		} else {
			i = mid + 1
		}
	}
	if i == len(h.start) {
		return never
	}
	return h.start[i] + w - h.sum[i]
}

// earliest gives the first minute by which w are worked, or never; latest gives
// the last by which no more than w are, or never.
func (h *hours) earliest(w int32) int32 {
	if w <= 0 {
		return 0
	}
	return h.reach(0, w)
}

func (h *hours) latest(w int32) int32 {
	if w < 0 {
		return -1
	}
	if m := h.reach(0, w+1); m < never {
		return m - 1
	}
	return never
}

// tooLong looks for a closed stretch longer than most between from and to; it
// gives the opening after the first one.
func (h *hours) tooLong(from, to, most int32) (after int32, found bool) {
	for i := h.at(from); i+1 < len(h.start) && h.end[i] < to; i++ {
		if h.start[i+1]-h.end[i] > most {
			return h.start[i+1], true
		}
	}
	return 0, false
}

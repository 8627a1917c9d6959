package search

// Cost is what a schedule is judged by, first things first; less is better.
type Cost [3]int64

// None is a cost that is above any other.
var None = Cost{1 << 62, 1 << 62, 1 << 62}

// Less reports whether c is better than d.
func (c Cost) Less(d Cost) bool {
	for k := range c {
		if c[k] != d[k] {
			return c[k] < d[k]
		}
	}
	return false
}

// Schedule is what a decoder makes of an order: start and finish of each
// activity, on the decoder's own line of time.
type Schedule struct {
	Start, Finish []int32
	Cost          Cost
	// Scheme is the one of the decoder's schemes by which it was generated, or is to be.
	Scheme int32
	// Order is what it was decoded from, where the decoder keeps that.
	Order []int32
	mark  uint64
}

// NewSchedule returns a schedule for n activities that costs None.
func NewSchedule(n int) *Schedule {
	return &Schedule{Start: make([]int32, n), Finish: make([]int32, n), Cost: None}
}

// Decoder is a schedule generation scheme: it places the activities one by one,
// each as early as what is placed already allows. One decoder serves one worker
// at a time.
type Decoder interface {
	// Size is the number of activities, numbered from 0, at most 65,536.
	Size() int
	// Ahead are the activities that an order must name before activity i: its
	// predecessors. The lists are shared and not written to.
	Ahead(i int32) []int32
	// Weight is what activity i occupies per unit of time, as a share of all there is.
	Weight(i int32) float64
	// Schemes is how many schedule generation schemes there are, numbered from 0;
	// at least one.
	Schemes() int
	// Decode fills into with the schedule of order, in which each activity stands
	// after its predecessors, by the scheme that into names. It stops with ok false as
	// soon as the cost is certain to be above limit, and says how many activities it had placed.
	Decode(order []int32, limit Cost, into *Schedule) (placed int, ok bool)
	// Mirror is the decoder of the same activities with time running backward, or
	// nil where there is none. The mirror of the mirror is the decoder itself.
	// A schedule of the mirror, read from its end, is a schedule of the decoder,
	// and its cost is the same.
	Mirror() Decoder
	// Sample fills into with a schedule by a priority rule and chance, number k of
	// those asked for, and says how many activities it placed on the way. A decoder
	// with several rules takes them in turn.
	Sample(src *Source, k int, into *Schedule) (placed int)
}

package search

import "slices"

// The form of crossing, found by trying on published instances: the stretch that
// the mother hands down is between shortest and longest of her schedule, the
// fullest of tries drawn; of all activities, mutations are shifted by up to nudge on average.
const (
	shortest, longest = 0.1, 0.4
	tries             = 3
	mutations         = 1.5
	nudge             = 5
	apart             = 1 << 33 // more than any place in time
)

// breeder makes orders out of schedules; it keeps its room between calls.
type breeder struct {
	forward Decoder
	justify bool // children are decoded with time running against their parents
	// mutation is the chance of an activity to be shifted, in 2^-24.
	mutation float64
	weight   []float64
	key      []uint64
	order    []int32
	pos      []int32
	full     [buckets + 1]float64 // what is occupied before each bucket of time
	stack    []int32
	done     []bool
	out      []int32
}

func newBreeder(d Decoder) *breeder {
	n := d.Size()
	b := &breeder{forward: d, justify: d.Mirror() != nil, mutation: mutations / float64(n) * (1 << 24), weight: make([]float64, n), key: make([]uint64, n),
		order: make([]int32, n), pos: make([]int32, n), done: make([]bool, n), out: make([]int32, 0, n)}
	for i := range b.weight {
		b.weight[i] = d.Weight(int32(i))
	}
	return b
}

// cross returns an order for the decoder into, valid until the next call. Where
// children are justified it runs from what finishes last in the parents.
func (b *breeder) cross(into Decoder, src *Source, mother, father *Schedule) []int32 {
	place, other := mother.Start, father.Start
	if b.justify {
		place, other = mother.Finish, father.Finish
	}
	from, to := b.stretch(src, mother)
	for i := range place {
		at := int64(place[i])
		if at < int64(from) {
			at = int64(other[i]) - apart
		} else if at > int64(to) {
			at = int64(other[i]) + apart
		}
		chance := src.Uint64()
		if float64(chance>>40) < b.mutation {
			at += int64(chance>>8)%(2*nudge+1) - nudge
		}
		if b.justify {
			at = -at
		}
		b.key[i] = uint64(at+4*apart)<<24 | chance&0xff<<16 | uint64(i) // ties by chance
	}
	slices.Sort(b.key)
	for h, k := range b.key {
		b.order[h] = int32(k & 0xffff)
	}
	b.mend(into)
	return b.order
}

// buckets is how finely time is parted to find where much is occupied.
const buckets = 128

// stretch draws the stretch of time that the mother hands down.
func (b *breeder) stretch(src *Source, mother *Schedule) (from, to int32) {
	end := last(mother.Finish)
	wide := end/buckets + 1
	clear(b.full[:])
	for i := range mother.Start {
		w := b.weight[i]
		for k := mother.Start[i] / wide; k*wide < mother.Finish[i]; k++ {
			b.full[k+1] += w * float64(min(mother.Finish[i], (k+1)*wide)-max(mother.Start[i], k*wide))
		}
	}
	for k := range buckets {
		b.full[k+1] += b.full[k]
	}
	length := int32(float64(end) * (shortest + (longest-shortest)*src.Float()))
	most := -1.0
	for range tries {
		at := int32(src.Int(int(end-length) + 1))
		if held := b.full[(at+length)/wide] - b.full[at/wide]; held > most {
			from, most = at, held
		}
	}
	return from, from + length
}

// mend puts what has to be named first before what follows it; it changes no
// order that can stand.
func (b *breeder) mend(d Decoder) {
	for h, i := range b.order {
		b.pos[i] = int32(h)
	}
	if b.stands(d) {
		return
	}
	clear(b.done)
	b.out = b.out[:0]
	for _, i := range b.order {
		b.name(d, i)
	}
	copy(b.order, b.out)
}

func (b *breeder) stands(d Decoder) bool {
	for i := range b.pos {
		for _, q := range d.Ahead(int32(i)) {
			if b.pos[q] > b.pos[i] {
				return false
			}
		}
	}
	return true
}

// name puts i into the order after everything ahead of it, the earlier named first.
func (b *breeder) name(d Decoder, i int32) {
	b.stack = append(b.stack[:0], i)
	for len(b.stack) > 0 {
		top := b.stack[len(b.stack)-1]
		first := int32(-1)
		if !b.done[top] {
			for _, q := range d.Ahead(top) {
				if !b.done[q] && (first < 0 || b.pos[q] < b.pos[first]) {
					first = q
				}
			}
		}
		if first >= 0 {
			b.stack = append(b.stack, first)
			continue
		}
		if !b.done[top] {
			b.done[top] = true
			b.out = append(b.out, top)
		}
		b.stack = b.stack[:len(b.stack)-1]
	}
}

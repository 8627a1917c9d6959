package points

// node is a set of options decided up to a layer.
type node struct {
	points int64 // bought less deductions of aspects that are reckoned, in units
	key    int64 // cost << countBits + number of options
	top    int64 // the least bound found for it
	taken  set   // by rank
	barred set   // later positions that cannot be taken
	met    uint64
}

func (n *node) cost() int64 { return n.key >> countBits }

// layer is the nodes that have decided the same choices, with the sums left on
// the aspects that are open there.
type layer struct {
	nodes []node
	width int
	sums  []int32 // width for each node
}

func (l *layer) reset(width int) {
	l.nodes, l.sums, l.width = l.nodes[:0], l.sums[:0], width
}

func (l *layer) sumsOf(i int) []int32 { return l.sums[i*l.width : (i+1)*l.width] }

// Marks that stand where a sum left would.
const (
	closed = -1 << 31        // reckoned to its end
	linear = -1<<31 + 1      // cannot reach an end any more: effects count as they are
	past   = int64(-1 << 30) // sums are above it
)

// grown adds to l the child of a node of layer d, taken or left, and reports
// whether there can be one.
func (s *search) grown(d int, n *node, sums []int32, take bool, to *layer) bool {
	p := s.p
	c := &p.choices[d]
	child := *n
	if take {
		child.key += c.cost<<countBits + 1
		if child.cost() > p.budget {
			return false
		}
		child.taken = child.taken.with(c.rank)
		child.barred = child.barred.plus(c.ifTaken)
		child.met |= c.meets
	} else {
		child.barred = child.barred.plus(c.ifLeft)
	}
	child.barred = child.barred.and(s.later[d+1])
	if !s.canMeet(d+1, &child) {
		return false
	}
	s.carry(d, sums, take, &child)
	for _, a := range p.open[d+1] {
		to.sums = append(to.sums, s.left[a])
	}
	to.nodes = append(to.nodes, child)
	return true
}

// canMeet reports whether each exact group is met or can still be.
func (s *search) canMeet(d int, n *node) bool {
	free := s.later[d].minus(n.barred)
	for g, members := range s.p.exact {
		if n.met>>g&1 == 0 && members.and(free).empty() {
			return false
		}
	}
	return true
}

// carry brings the sums of a node of layer d into s.left as they are after its
// choice, and reckons what can be reckoned.
func (s *search) carry(d int, sums []int32, take bool, child *node) {
	p := s.p
	for k, a := range p.open[d] {
		s.left[a] = sums[k]
	}
	for _, e := range p.choices[d].deltas {
		if p.aspects[e.aspect].first == d {
			s.left[e.aspect] = int32(p.aspects[e.aspect].sum)
		}
		if take {
			switch s.left[e.aspect] {
			case closed:
			case linear:
				child.points += e.amount
			default:
				s.left[e.aspect] -= int32(e.amount)
			}
		}
	}
	for _, a := range p.open[d] {
		s.reckon(d+1, a, child)
	}
	for _, e := range p.choices[d].deltas {
		if p.aspects[e.aspect].first == d {
			s.reckon(d+1, e.aspect, child)
		}
	}
}

// reckon takes an aspect into the points once its end is known or it can no
// longer reach one.
func (s *search) reckon(d, i int, child *node) {
	left := int64(s.left[i])
	if left < past {
		return
	}
	a := &s.p.aspects[i]
	level := s.p.level(s.p.budget - child.cost())
	low, high := left-a.gain[d][level], left+a.harm[d][level]
	switch {
	case high <= 0:
		s.left[i] = closed
	case low >= a.maximum:
		child.points -= a.maximum
		s.left[i] = closed
	case low >= 0 && high <= a.maximum:
		child.points -= left
		s.left[i] = linear
	}
}

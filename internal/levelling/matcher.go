package levelling

// matcher finds different people for the needs of a task. It keeps its memory.
type matcher struct {
	owner []int32 // by person, the slot that has them, or -1
	seen  []int32 // by person, the round in which they were looked at
	round int32
	slots []int32 // by slot, the person
	of    []int32 // by slot, its need
}

func newMatcher(people int) *matcher {
	m := &matcher{owner: make([]int32, people), seen: make([]int32, people)}
	for p := range m.owner {
		m.owner[p] = -1
	}
	return m
}

// match gives a person for each slot of the needs in order, each need's best
// first as far as all others can still be filled, or nil. Only people of whom
// free says zero may be taken; a nil free takes all. O(slots × people).
func (m *matcher) match(needs []need, free []int32) []int32 {
	m.slots, m.of = m.slots[:0], m.of[:0]
	ok := true
	for k := range needs {
		for range needs[k].count {
			m.slots, m.of = append(m.slots, -1), append(m.of, int32(k))
			m.round++
			if ok = m.fill(needs, free, int32(len(m.slots)-1)); !ok {
				break
			}
		}
		if !ok {
			break
		}
	}
	for _, p := range m.slots {
		if p >= 0 {
			m.owner[p] = -1
		}
	}
	if !ok {
		return nil
	}
	return m.slots
}

// fill finds a person for a slot: one who is not taken, else one whose slot can
// be filled by another.
func (m *matcher) fill(needs []need, free []int32, slot int32) bool {
	who := needs[m.of[slot]].who
	for _, p := range who {
		if m.owner[p] < 0 && (free == nil || free[p] == 0) {
			m.owner[p], m.slots[slot] = slot, p
			return true
		}
	}
	for _, p := range who {
		if m.seen[p] == m.round || free != nil && free[p] != 0 {
			continue
		}
		m.seen[p] = m.round
		if m.fill(needs, free, m.owner[p]) {
			m.owner[p], m.slots[slot] = slot, p
			return true
		}
	}
	return false
}

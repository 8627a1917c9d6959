package levelling

import (
	"cmp"
	"slices"

	"bareframe/internal/levelling/search"
)

// layWeights reckons what each block occupies of all people and stations.
func (s *shop) layWeights() {
	s.weight = make([]float64, len(s.blocks))
	all := float64(len(s.person))
	for _, c := range s.capacity {
		all += float64(c)
	}
	for b, members := range s.blocks {
		long, taken := 1.0, 0.0
		for _, i := range members {
			t := &s.tasks[i]
			units := float64(s.slot[i+1] - s.slot[i])
			for _, u := range t.uses {
				units += float64(u.units)
			}
			long += float64(t.minutes)
			taken += units * float64(t.minutes)
		}
		s.weight[b] = taken / long / max(1, all)
	}
}

// layLoad reckons what each person is wanted for: the work of each skill, shared
// by all who have it.
func (s *shop) layLoad() {
	work := make([]int64, len(s.able))
	for i := range s.in.Tasks {
		for _, w := range s.in.Tasks[i].Crew {
			if k, ok := s.skills[w.Skill]; ok && s.in.Tasks[i].ActualFinish == nil {
				work[k] += int64(w.Count) * int64(s.in.Tasks[i].Duration)
			}
		}
	}
	s.load = make([]int64, len(s.in.People))
	for k, who := range s.able {
		for _, p := range who {
			s.load[p] += work[k] / int64(len(who))
		}
	}
}

// prefer sorts people for a task: fewest other skills, then those of the previous
// plan, who come first where it is kept to, then those least wanted elsewhere, then by ID.
func (s *shop) prefer(who []int32, previous []int32) []int32 {
	who = slices.Clone(who)
	before := func(p int32) int {
		if slices.Contains(previous, p) {
			return 0
		}
		return 1
	}
	slices.SortFunc(who, func(a, b int32) int {
		if s.follows && before(a) != before(b) {
			return cmp.Compare(before(a), before(b))
		}
		return cmp.Or(cmp.Compare(s.breadth[a], s.breadth[b]), cmp.Compare(before(a), before(b)),
			cmp.Compare(s.load[a], s.load[b]), cmp.Compare(s.in.People[a].ID, s.in.People[b].ID))
	})
	return who
}

// spread lets each task of a block ask last for those whom the block's other tasks
// cannot do without: who is chosen for the first of them is not chosen anew when a
// later one has to follow at once.
func (s *shop) spread() {
	for _, members := range s.blocks {
		if len(members) < 2 {
			continue
		}
		for _, i := range members {
			wanted := s.wantedBy(members, i)
			for _, n := range s.tasks[i].needs {
				slices.SortStableFunc(n.who, func(a, b int32) int { return cmp.Compare(wanted[a], wanted[b]) })
			}
		}
	}
}

// wantedBy counts for each person the tasks, but for i, that have nobody else.
func (s *shop) wantedBy(members []int32, i int32) map[int32]int {
	wanted := map[int32]int{}
	for _, j := range members {
		if j == i {
			continue
		}
		for _, n := range s.tasks[j].needs {
			if len(n.who) == int(n.count) {
				for _, p := range n.who {
					wanted[p]++
				}
			}
		}
	}
	return wanted
}

var _ search.Decoder = (*decoder)(nil)

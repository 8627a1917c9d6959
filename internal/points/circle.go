package points

import (
	"fmt"
	"strings"

	"bareframe/internal/fault"
)

// circle refuses options that require each other around, with the circle as
// evidence and a pointer to each of its requirements.
func (j *job) circle() error {
	const unseen, open, done = 0, 1, 2
	state := make([]int, len(j.options))
	var path []int
	var visit func(i int) []int
	visit = func(i int) []int {
		state[i], path = open, append(path, i)
		for _, other := range j.options[i].requires {
			if state[other] == open {
				return path[indexOf(path, other):]
			}
			if state[other] == unseen {
				if found := visit(other); found != nil {
					return found
				}
			}
		}
		state[i], path = done, path[:len(path)-1]
		return nil
	}
	for i := range j.options {
		if state[i] == unseen {
			if found := visit(i); found != nil {
				return j.refuseCircle(found)
			}
		}
	}
	return nil
}

func (j *job) refuseCircle(around []int) error {
	ids := make([]string, len(around))
	for k, i := range around {
		ids[k] = j.in.Options[i].ID
	}
	detail := fmt.Sprintf("These options require each other in a circle: %s.", strings.Join(append(ids, ids[0]), ", "))
	e := fault.New(fault.Invalid, "points-circle", "%s", detail)
	for k, i := range around {
		next := ids[(k+1)%len(ids)]
		for n, id := range j.in.Options[i].Requires {
			if id == next {
				e.Fields = append(e.Fields, fault.Field{Pointer: fmt.Sprintf("/options/%d/requires/%d", i, n), Detail: detail})
			}
		}
	}
	return e.With(ids)
}

func indexOf(path []int, i int) int {
	for k, p := range path {
		if p == i {
			return k
		}
	}
	return 0
}

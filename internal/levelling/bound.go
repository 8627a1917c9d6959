package levelling

import "bareframe/internal/levelling/search"

// bound gives a cost that no plan is below.
func (s *shop) bound() search.Cost {
	b := s.costLow
	for i := range s.tasks {
		if t := &s.tasks[i]; s.blockOf[i] >= 0 && s.aloneEnd[i] > t.finishBy {
			b[0] += int64(s.aloneEnd[i] - t.finishBy)
		}
	}
	return b
}

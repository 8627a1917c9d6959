package levelling

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// refuse notes why a task has no place in any plan; the first reason stays.
func (s *shop) refuse(i int32, code, detail string, args ...any) *Unplaced {
	if s.unplaced[i] == nil {
		s.unplaced[i] = &Unplaced{Task: s.in.Tasks[i].ID, Code: code, Detail: fmt.Sprintf(detail, args...)}
	}
	return s.unplaced[i]
}

// by adds a link, and the task at its other end, to the evidence.
func (u *Unplaced) by(s *shop, link int32) {
	l := &s.in.Links[link]
	if name := s.linkName(link); !slices.Contains(u.Links, name) {
		u.Links = append(u.Links, name)
	}
	for _, id := range []string{l.From, l.To} {
		if id != u.Task && !slices.Contains(u.Tasks, id) {
			u.Tasks = append(u.Tasks, id)
		}
	}
}

// linkName is how results call a link: its ID, or "#" and its place.
func (s *shop) linkName(k int32) string {
	if id := s.in.Links[k].ID; id != "" {
		return id
	}
	return "#" + strconv.Itoa(int(k)+1)
}

func (s *shop) title(i int32) string {
	t := &s.in.Tasks[i]
	if t.Name != "" {
		return t.Name
	}
	return clip(t.ID)
}

func (s *shop) stationTitle(k int32) string {
	t := &s.in.Stations[k]
	if t.Name != "" {
		return t.Name
	}
	return clip(t.ID)
}

// clock writes a minute as the shop's clock shows it.
func (s *shop) clock(m int32) string {
	if m >= never {
		return "never"
	}
	return s.time(m).Format("2006-01-02 15:04")
}

func crewText(crew []Crew) string {
	var parts []string
	for _, w := range crew {
		parts = append(parts, fmt.Sprintf("%d × %s", w.Count, clip(w.Skill)))
	}
	return strings.Join(parts, " and ")
}

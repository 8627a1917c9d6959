package app

import (
	"fmt"

	"bareframe/internal/domain"
)

// workers lists whoever works in the shop: technicians, and owners who have a skill.
func workers(r Reader) ([]domain.Person, error) {
	var out []domain.Person
	for _, role := range []domain.Role{domain.Technician, domain.Owner} {
		for page := (Page{Limit: 200}); ; {
			people, next, err := r.People(role, page)
			if err != nil {
				return nil, err
			}
			for _, p := range people {
				if p.Active && (role == domain.Technician || len(p.Skills) > 0) {
					out = append(out, p)
				}
			}
			if next == "" {
				break
			}
			page.After = next
		}
	}
	return out, nil
}

// shortOfHands says of which skills some task needs more people at once than the
// shop has: a sentence a skill, that names the task which needs most. A shop in
// which nobody works yet is not warned of that for every skill.
func (p *JobPage) shortOfHands(people []domain.Person) []string {
	if len(people) == 0 || p.Job.Editable() != nil {
		return nil
	}
	type need struct {
		most   domain.Task
		count  int
		others int
	}
	var skills []string
	short := map[string]need{}
	for _, t := range p.Estimate.Tasks {
		if p.Tasks[t.ID].State == TaskFinished {
			continue
		}
		for _, n := range t.Needs() {
			if n.Count <= withSkill(people, n.Skill) {
				continue
			}
			had, known := short[n.Skill]
			if !known {
				skills = append(skills, n.Skill)
				short[n.Skill] = need{most: t, count: n.Count}
				continue
			}
			if had.others++; n.Count > had.count {
				had.most, had.count = t, n.Count
			}
			short[n.Skill] = had
		}
	}
	out := make([]string, len(skills))
	for i, skill := range skills {
		s := short[skill]
		out[i] = fmt.Sprintf("%s needs %s at once, and the shop has %d.", s.most.Describe(), p.ofSkill(s.count, skill), withSkill(people, skill))
		if s.others > 0 {
			out[i] += fmt.Sprintf(" So it is with %s.", plural(s.others, "other task"))
		}
	}
	return out
}

func withSkill(people []domain.Person, skill string) int {
	n := 0
	for _, p := range people {
		if able(p, skill) {
			n++
		}
	}
	return n
}

// ofSkill is so many people of a skill, by its name in the price book.
func (p *JobPage) ofSkill(n int, skill string) string {
	who := "people"
	if n == 1 {
		who = "person"
	}
	if rate, ok := p.Shop.PriceBook.Rate(skill); ok {
		return fmt.Sprintf("%d %s with the skill %s", n, who, rate.Name)
	}
	return fmt.Sprintf("%d %s", n, who)
}

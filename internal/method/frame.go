package method

import (
	"fmt"
	"maps"
	"slices"
)

// fact is a quantity of a zone in base units, and its place among those given.
type fact struct {
	value ratio
	given int
}

// zones reads the zones and returns the quantities of each, one after the other.
func (n names) zones(r *reader, zones []Zone) []fact {
	if !r.few("/zones", len(zones), MaxZones) {
		return nil
	}
	seen := make(map[string]bool, len(zones))
	facts := make([]fact, len(zones)*len(n.wanted))
	for i, z := range zones {
		here := fmt.Sprintf("/zones/%d", i)
		if seen[z.ID] {
			r.f.Add(here+"/id", "another zone has the id %q", z.ID)
		}
		seen[z.ID] = true
		z.check(r, here, n)
		n.facts(r, here+"/quantities", z.Quantities, facts[i*len(n.wanted):(i+1)*len(n.wanted)])
	}
	return facts
}

func (z Zone) check(r *reader, at string, n names) {
	r.word(at+"/id", z.ID, true)
	r.word(at+"/code", z.Code, false)
	r.word(at+"/name", z.Name, true)
	oneOf(r, at+"/kind", z.Kind, Kinds())
	oneOf(r, at+"/side", z.Side, Sides())
	oneOf(r, at+"/condition", z.Condition, Conditions())
	oneOf(r, at+"/finish", z.Finish, Finishes())
	known := 0
	for _, s := range Stages() {
		key, chosen := z.Methods[s]
		if !chosen {
			continue
		}
		known++
		if !slices.Contains(n.methods[s], key) {
			r.f.Add(at+"/methods/"+string(s), "the stage %s has no method %q", s, key)
		}
	}
	if known < len(z.Methods) {
		r.f.Add(at+"/methods", "methods are chosen for the stages %v only", Stages())
	}
}

// facts reads the quantities of a zone into a place for each that is known.
func (n names) facts(r *reader, at string, given []Quantity, into []fact) {
	if !r.few(at, len(given), MaxQuantities) {
		return
	}
	for i, q := range given {
		kind, known := n.kinds[q.Name]
		if !known {
			r.f.Add(fmt.Sprintf("%s/%d/name", at, i), "there is no quantity %q", q.Name)
			continue
		}
		if into[kind].value.known() {
			r.f.Add(fmt.Sprintf("%s/%d/name", at, i), "%q stands here twice", q.Name)
		}
		into[kind] = fact{n.wanted[kind].inBase(r, at, i, q), i}
		if q.Words != "" || q.Source != "" {
			here := fmt.Sprintf("%s/%d", at, i)
			r.text(here+"/words", q.Words, false)
			r.text(here+"/source", q.Source, false)
		}
	}
}

// inBase reads the value of a quantity. Most are plain and in the unit in which
// they are known.
func (w wanted) inBase(r *reader, at string, i int, q Quantity) ratio {
	if value, ok := plain(q.Value); ok && q.Unit == w.sign && w.size.known() {
		return value.times(w.size)
	}
	here := fmt.Sprintf("%s/%d", at, i)
	d, _ := r.decimal(here+"/value", q.Value, quantityDigits, quantityPlaces)
	u, ok := r.unit(here+"/unit", q.Unit)
	if !ok {
		return whole(0)
	}
	if w.told && !maps.Equal(u.power, w.power) {
		r.f.Add(here+"/unit", "%q is told in %s, not in %s", q.Name, w.power, u.power)
	}
	return ratioOf(d.Rat()).times(ratioOf(u.size))
}

package method

import (
	"fmt"
	"maps"
	"math/big"
	"slices"
)

// fact is a quantity of a zone in base units.
type fact struct {
	value *big.Rat
	given Quantity
}

// zones reads the zones and returns the quantities of each.
func (n names) zones(r *reader, zones []Zone) []map[string]fact {
	if !r.few("/zones", len(zones), MaxZones) {
		return nil
	}
	seen := map[string]bool{}
	facts := make([]map[string]fact, len(zones))
	for i, z := range zones {
		here := fmt.Sprintf("/zones/%d", i)
		if seen[z.ID] {
			r.f.Add(here+"/id", "another zone has the id %q", z.ID)
		}
		seen[z.ID] = true
		z.check(r, here, n)
		facts[i] = n.facts(r, here+"/quantities", z.Quantities)
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

func (n names) facts(r *reader, at string, given []Quantity) map[string]fact {
	out := make(map[string]fact, len(given))
	if !r.few(at, len(given), MaxQuantities) {
		return out
	}
	for i, q := range given {
		here := fmt.Sprintf("%s/%d", at, i)
		wanted, known := n.quantities[q.Name]
		if !known {
			r.f.Add(here+"/name", "there is no quantity %q", q.Name)
			continue
		}
		if _, twice := out[q.Name]; twice {
			r.f.Add(here+"/name", "%q stands here twice", q.Name)
		}
		d, _ := r.decimal(here+"/value", q.Value, quantityDigits, quantityPlaces)
		u, ok := r.unit(here+"/unit", q.Unit)
		if ok && wanted.size != nil && !maps.Equal(u.power, wanted.power) {
			r.f.Add(here+"/unit", "%q is told in %s, not in %s", q.Name, wanted.power, u.power)
		}
		if ok {
			out[q.Name] = fact{new(big.Rat).Mul(d.Rat(), u.size), q}
		}
		r.text(here+"/words", q.Words, false)
		r.text(here+"/source", q.Source, false)
	}
	return out
}

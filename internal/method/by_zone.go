package method

import "encoding/json"

// ZoneChanged is a zone that is not what it was.
type ZoneChanged struct {
	Zone string   `json:"zone"`
	Name string   `json:"name"`
	What []string `json:"what"` // condition from grade B to perforated
}

// zones lists the zones that differ, in the order of the new frame, then those
// that are gone.
func (c comparing) zones() []ZoneChanged {
	out := []ZoneChanged{}
	all := reads{bys: Bys(), sides: true, codes: true, stages: Stages()}
	for _, is := range c.after.Input.Zones {
		was, old := c.was.zone(is.ID)
		if !old {
			out = append(out, ZoneChanged{is.ID, is.Name, []string{"the zone is new"}})
			continue
		}
		r := all
		r.quantities = either(was, is)
		if what := c.changed(was, is, r); len(what) > 0 {
			out = append(out, ZoneChanged{is.ID, is.Name, what})
		}
	}
	for _, was := range c.before.Input.Zones {
		if _, still := c.is.zone(was.ID); !still {
			out = append(out, ZoneChanged{was.ID, was.Name, []string{"the zone is gone"}})
		}
	}
	return out
}

// either lists the quantities that one of two states of a zone has.
func either(was, is Zone) []string {
	var out []string
	for _, q := range was.Quantities {
		out = append(out, q.Name)
	}
	for _, q := range is.Quantities {
		if was.quantity(q.Name) == "none" {
			out = append(out, q.Name)
		}
	}
	return out
}

// ZonePart is what one rule makes for a zone, seen from the zone.
type ZonePart struct {
	Task     string
	Material string // empty: hours
	Rule     string
	RuleName string
	Source   string
	Unit     string
	Share
}

// MarshalJSON writes the part with its share beside it.
func (p ZonePart) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Task     string `json:"task"`
		Material string `json:"material,omitempty"`
		Rule     string `json:"rule"`
		RuleName string `json:"rule_name"`
		Source   string `json:"source"`
		Unit     string `json:"unit"`
		shownShare
	}{p.Task, p.Material, p.Rule, p.RuleName, p.Source, p.Unit, p.Share.shown()})
}

// OfZone lists what the rules made for one zone, hours by task and then materials.
func (r Result) OfZone(id string) []ZonePart {
	out := []ZonePart{}
	add := func(task, material string, rules []Made) {
		for _, m := range rules {
			for _, s := range m.Zones {
				if s.Zone == id {
					out = append(out, ZonePart{task, material, m.Rule, m.Name, m.Source, m.Unit, s})
				}
			}
		}
	}
	for _, t := range r.Tasks {
		add(t.Task, "", t.Rules)
	}
	for _, m := range r.Materials {
		add(m.Task, m.Material, m.Rules)
	}
	return out
}

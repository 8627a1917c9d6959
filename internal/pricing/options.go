package pricing

import (
	"fmt"

	"bareframe/internal/money"
)

// choiceKey names a choice of a group, or an extra when the group is empty.
type choiceKey struct{ group, choice string }

func keyOf(o *Option) choiceKey { return choiceKey{o.Group, o.Choice} }

// checkOptions makes sure that a choice is taken whole or not at all and that
// exactly one choice of each group is taken.
func (d *document) checkOptions() {
	taken := map[choiceKey]bool{} // of each choice, as its first line says
	chosen := map[string]string{} // group to the choice taken
	firstLine := map[string]int{} // group to its first line
	var groups []string           // in order of appearance
	for i, line := range d.in.Lines {
		o := line.Option
		if o == nil {
			continue
		}
		at := fmt.Sprintf("/lines/%d/option", i)
		if !d.id(at, "/choice", o.Choice) || len(o.Group) > MaxIDLength {
			d.boundGroup(at, o.Group)
			continue
		}
		if _, ok := firstLine[o.Group]; !ok && o.Group != "" {
			firstLine[o.Group] = i
			groups = append(groups, o.Group)
		}
		d.checkTaken(at+"/taken", o, taken, chosen)
	}
	for _, g := range groups {
		if _, ok := chosen[g]; !ok {
			d.faults.Add(fmt.Sprintf("/lines/%d/option/group", firstLine[g]),
				"one choice of the group %q must be taken", g)
		}
	}
}

func (d *document) boundGroup(at, group string) {
	if len(group) > MaxIDLength {
		d.faults.Add(at+"/group", "use at most %d characters", MaxIDLength)
	}
}

// checkTaken compares one line's option with the lines before it.
func (d *document) checkTaken(pointer string, o *Option, taken map[choiceKey]bool, chosen map[string]string) {
	first, seen := taken[keyOf(o)]
	if !seen {
		taken[keyOf(o)] = o.Taken
	} else if first != o.Taken {
		d.faults.Add(pointer, "the lines of the choice %q must all be taken or all not", o.Choice)
		return
	}
	if o.Group == "" || !o.Taken {
		return
	}
	if other, ok := chosen[o.Group]; ok && other != o.Choice {
		d.faults.Add(pointer, "the choice %q of this group is taken already; only one can be", other)
		return
	}
	chosen[o.Group] = o.Choice
}

// priceOptions adds up each choice and says what it would change.
func (d *document) priceOptions(r *Result) {
	index := map[choiceKey]int{}
	taken := map[string]money.Amount{} // group to the net of its taken choice
	r.Options = []OptionResult{}
	for i := range d.lines {
		line := d.lines[i]
		if line.Option == nil {
			continue
		}
		k := keyOf(line.Option)
		at, ok := index[k]
		if !ok {
			at, index[k] = len(r.Options), len(r.Options)
			r.Options = append(r.Options, OptionResult{Group: k.group, Choice: k.choice,
				Taken: line.Option.Taken, Net: d.zero()})
		}
		o := &r.Options[at]
		o.LineIDs = append(o.LineIDs, line.ID)
		o.Net = plus(o.Net, line.Net)
		if o.Taken && o.Group != "" {
			taken[o.Group] = o.Net
		}
	}
	for i := range r.Options {
		o := &r.Options[i]
		switch instead, choice := taken[o.Group]; {
		case o.Taken:
			o.Difference = d.zero()
		case choice:
			o.Difference = minus(o.Net, instead)
		default:
			o.Difference = o.Net
		}
	}
}

package domain

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// MaxOptions bounds the options of one job: each is priced and scheduled when
// they are compared.
const MaxOptions = 40

// Option is one way to do a piece of work, or an extra that the client may take.
// Tasks and lines of the estimate name the option that they belong to. Options
// with the same Group exclude each other, and exactly one of a group is taken;
// without a Group an option is an extra by itself, taken or left.
type Option struct {
	ID       ID
	JobID    ID
	Group    string // what is chosen, as the client reads it; empty: an extra
	Name     string
	Note     string
	Taken    bool // before acceptance as the shop advises, afterwards as the client chose
	Position int
	Points   []PointEffect
}

// PointEffect is what an option does to one item of the judging sheet: judged
// points gained for originality and for condition.
type PointEffect struct {
	ItemKey     string          `json:"item_key"`
	Originality decimal.Decimal `json:"originality"`
	Condition   decimal.Decimal `json:"condition"`
}

// Gains adds up the judged points of an option.
func (o Option) Gains() (originality, condition decimal.Decimal) {
	for _, p := range o.Points {
		originality, condition = originality.Add(p.Originality), condition.Add(p.Condition)
	}
	return originality, condition
}

// Label names an option for a sentence: what is chosen, then how.
func (o Option) Label() string {
	if o.Group == "" {
		return o.Name
	}
	return o.Group + ": " + o.Name
}

// Validate names what is wrong with an option beside the others of its job.
func (o Option) Validate(e Estimate) error {
	var c fault.Collector
	for _, other := range e.Options {
		if other.ID != o.ID && other.Group == o.Group && other.Name == o.Name {
			c.Add("/name", "There is an option of this name already.")
		}
	}
	seen := map[string]bool{}
	for i, p := range o.Points {
		if seen[p.ItemKey] {
			c.Add(fmt.Sprintf("/points/%d/item_key", i), "This item is named already.")
		}
		seen[p.ItemKey] = true
	}
	return c.Err("option-invalid")
}

// Option returns the option with an ID.
func (e Estimate) Option(id ID) (Option, bool) {
	for _, o := range e.Options {
		if o.ID == id {
			return o, true
		}
	}
	return Option{}, false
}

// Holds names a task or line that belongs to an option, or returns "".
func (e Estimate) Holds(optionID ID) string {
	for _, t := range e.Tasks {
		if t.OptionID == optionID {
			return t.Describe()
		}
	}
	for _, l := range e.Lines {
		if l.OptionID == optionID {
			return fmt.Sprintf("the line %q", l.Description)
		}
	}
	return ""
}

// Place puts an option as it was sent among those of its job and returns the
// options that change with it, itself first. Of each group exactly one stays
// taken: the first of a group is, taking another leaves the one before, and what
// is taken is not left but for another. It fails with Invalid on what cannot be.
func (e Estimate) Place(o Option) ([]Option, error) {
	before, _ := e.Option(o.ID)
	changed := []Option{o}
	if before.Group != "" && before.Taken && before.Group != o.Group && e.othersOf(before) > 0 {
		return nil, fault.InvalidField("option-advised", "/group", "%s is the advised one of its group; advise another first.", before.Name)
	}
	if o.Group == "" {
		return changed, nil
	}
	if e.othersOf(o) == 0 {
		changed[0].Taken = true
		return changed, nil
	}
	if !o.Taken {
		if before.Taken && before.Group == o.Group {
			return nil, fault.InvalidField("option-advised", "/taken", "One of %q is always taken; advise another instead.", o.Group)
		}
		return changed, nil
	}
	for _, other := range e.Options {
		if other.ID != o.ID && other.Group == o.Group && other.Taken {
			other.Taken = false
			changed = append(changed, other)
		}
	}
	return changed, nil
}

// MayRemove refuses to remove the advised option of a group that has others.
func (e Estimate) MayRemove(o Option) error {
	if o.Group != "" && o.Taken && e.othersOf(o) > 0 {
		return fault.New(fault.Conflict, "option-advised", "%s is the advised one of its group; advise another first.", o.Name)
	}
	return nil
}

func (e Estimate) othersOf(o Option) int {
	n := 0
	for _, other := range e.Options {
		if other.ID != o.ID && other.Group == o.Group {
			n++
		}
	}
	return n
}

// Taken lists the options that are taken, in the order of the job's options.
func (e Estimate) Taken() []ID {
	out := []ID{}
	for _, o := range e.Options {
		if o.Taken {
			out = append(out, o.ID)
		}
	}
	return out
}

// Choose returns the estimate with exactly these options taken. It fails with
// Invalid, pointing into option_ids, on an option that the job does not have,
// that is named twice, or that excludes another that is named; and on a group of
// which none is named.
func (e Estimate) Choose(ids []ID) (Estimate, error) {
	var c fault.Collector
	named, chosen := map[ID]bool{}, map[string]string{}
	for i, id := range ids {
		at := fmt.Sprintf("/option_ids/%d", i)
		o, ok := e.Option(id)
		switch other, taken := chosen[o.Group]; {
		case !ok:
			c.Add(at, "There is no such option here.")
		case named[id]:
			c.Add(at, "%s is named already.", o.Label())
		case o.Group != "" && taken:
			c.Add(at, "Only one of %q can be chosen, and %s is already.", o.Group, other)
		default:
			named[id], chosen[o.Group] = true, o.Name
		}
	}
	for _, o := range e.Options {
		if _, ok := chosen[o.Group]; o.Group != "" && !ok {
			c.Add("/option_ids", "Choose one of %q.", o.Group)
			chosen[o.Group] = ""
		}
	}
	if err := c.Err("options-invalid"); err != nil {
		return e, err
	}
	e.Options = slices.Clone(e.Options)
	for i := range e.Options {
		e.Options[i].Taken = named[e.Options[i].ID]
	}
	return e, nil
}

// Toggled is the selection that differs from the taken one in a single option:
// of a group this one instead of the other, an extra taken instead of left or
// left instead of taken. Of an option that its group has taken it is the same.
func (e Estimate) Toggled(id ID) []ID {
	this, _ := e.Option(id)
	out := []ID{}
	for _, o := range e.Options {
		taken := o.Taken
		switch {
		case o.ID == id:
			taken = o.Group != "" || !o.Taken
		case this.Group != "" && o.Group == this.Group:
			taken = false
		}
		if taken {
			out = append(out, o.ID)
		}
	}
	return out
}

// LeftOut says of each task and line whether it belongs to an option that is not
// taken. A line hangs on its task too: without the task there is no line.
func (e Estimate) LeftOut() (tasks, lines map[ID]bool) {
	tasks, lines = map[ID]bool{}, map[ID]bool{}
	left := map[ID]bool{}
	for _, o := range e.Options {
		left[o.ID] = !o.Taken
	}
	for _, t := range e.Tasks {
		if left[t.OptionID] {
			tasks[t.ID] = true
		}
	}
	for _, l := range e.Lines {
		if left[l.OptionID] || tasks[l.TaskID] {
			lines[l.ID] = true
		}
	}
	return tasks, lines
}

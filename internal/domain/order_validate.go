package domain

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// Validate names everything in a draft that cannot stand, given the shop and
// the job's estimate. What only shows when the work is scheduled, such as tasks
// that wait for each other, is not refused here: the effect shows it.
func (o ChangeOrder) Validate(shop Shop, e Estimate) error {
	v := orderCheck{shop: shop, e: e}
	findings, items := map[ID]bool{}, map[string]bool{}
	for i, item := range o.Items {
		at := fmt.Sprintf("/items/%d", i)
		v.once(items, item.Key, at+"/key", "Another item has this key.")
		for k, id := range item.FindingIDs {
			v.once(findings, id, fmt.Sprintf("%s/finding_ids/%d", at, k), "This finding is in the order already.")
		}
		v.item(at, item)
	}
	return v.faults.Err("order-invalid")
}

// orderCheck collects what is wrong with a draft.
type orderCheck struct {
	faults fault.Collector
	shop   Shop
	e      Estimate
}

func (v *orderCheck) once(seen map[string]bool, key, pointer, detail string) {
	if seen[key] {
		v.faults.Add(pointer, "%s", detail)
	}
	seen[key] = true
}

// under notes the faults of a part below its pointer.
func (v *orderCheck) under(at string, err error) {
	e := fault.As(err)
	if e == nil {
		return
	}
	for _, f := range e.Fields {
		v.faults.Add(at+f.Pointer, "%s", f.Detail)
	}
}

func (v *orderCheck) item(at string, item OrderItem) {
	if len(item.Options) == 0 {
		v.faults.Add(at+"/options", "An item has one option at least.")
	}
	advised, keys := 0, map[string]bool{}
	for i, option := range item.Options {
		here := fmt.Sprintf("%s/options/%d", at, i)
		v.once(keys, option.Key, here+"/key", "Another option of this item has this key.")
		if option.Advised {
			if advised++; advised > 1 {
				v.faults.Add(here+"/advised", "Advise one option of an item.")
			}
		}
		v.option(here, option)
	}
}

func (v *orderCheck) option(at string, o OrderOption) {
	tasks := map[string]OrderTask{}
	keys := map[string]bool{}
	for i, t := range o.Tasks {
		v.once(keys, t.Key, fmt.Sprintf("%s/tasks/%d/key", at, i), "Another task of this option has this key.")
		tasks[t.Key] = t
	}
	for i, t := range o.Tasks {
		v.task(fmt.Sprintf("%s/tasks/%d", at, i), t, tasks)
	}
	for i, l := range o.Lines {
		v.line(fmt.Sprintf("%s/lines/%d", at, i), l, tasks)
	}
	v.links(at, o, tasks)
	v.takes(at, o)
	touched := map[string]bool{}
	for i, h := range o.HoursChanges {
		here := fmt.Sprintf("%s/hours_changes/%d", at, i)
		v.once(touched, h.TaskID, here+"/task_id", "This option changes the task already.")
		v.hours(here, h)
	}
	for i, id := range o.RemovesTasks {
		here := fmt.Sprintf("%s/removes_tasks/%d", at, i)
		v.once(touched, id, here, "This option changes or removes the task already.")
		v.soldTask(here, id)
	}
	gone := map[string]bool{}
	for i, id := range o.RemovesLines {
		here := fmt.Sprintf("%s/removes_lines/%d", at, i)
		v.once(gone, id, here, "This option removes the line already.")
		v.soldLine(here, id)
	}
}

func (v *orderCheck) task(at string, t OrderTask, siblings map[string]OrderTask) {
	if _, ok := v.e.Phase(t.PhaseID); !ok {
		v.faults.Add(at+"/phase_id", "This job has no such phase.")
	}
	v.under(at, t.Task().Validate(v.shop))
	v.refs(at+"/after", t.Key, t.After, siblings)
	v.refs(at+"/before", t.Key, t.Before, siblings)
}

func (v *orderCheck) refs(at, own string, refs []string, siblings map[string]OrderTask) {
	for i, ref := range refs {
		here := fmt.Sprintf("%s/%d", at, i)
		_, sibling := siblings[ref]
		_, known := v.e.Task(ref)
		switch {
		case ref == own:
			v.faults.Add(here, "A task cannot wait for itself.")
		case !sibling && !known:
			v.faults.Add(here, "Neither the job nor this option has such a task.")
		}
	}
}

// Task is the task of the job that an order's task becomes; identifiers, code,
// place and scope are not in it.
func (t OrderTask) Task() Task {
	return Task{PhaseID: t.PhaseID, Name: t.Name, Note: t.Note, Kind: t.Kind, Hours: t.Hours, ElapsedHours: t.ElapsedHours,
		LeadDays: t.LeadDays, Skill: t.Skill, Crew: t.Crew, Station: t.Station, Cautions: t.Cautions, HoldPoint: t.HoldPoint, TaxClass: t.TaxClass, Floor: t.Floor}
}

// Line is the line of the job that an order's line becomes; identifiers, place
// and scope are not in it.
func (l OrderLine) Line() Line {
	return Line{PhaseID: l.PhaseID, Kind: l.Kind, Description: l.Description, Quantity: l.Quantity, Unit: l.Unit, UnitCost: l.UnitCost,
		MarkupPercent: l.MarkupPercent, WastePercent: l.WastePercent, DiscountPercent: l.DiscountPercent, TaxClass: l.TaxClass}
}

func (v *orderCheck) line(at string, l OrderLine, tasks map[string]OrderTask) {
	v.under(at, l.Line().Validate(v.e))
	if l.TaskKey == "" {
		return
	}
	t, ok := tasks[l.TaskKey]
	switch {
	case !ok:
		v.faults.Add(at+"/task_key", "This option has no such task.")
	case t.PhaseID != l.PhaseID:
		v.faults.Add(at+"/task_key", "That task belongs to another phase.")
	}
}

func (v *orderCheck) hours(at string, h HoursChange) {
	t, ok := v.soldTask(at+"/task_id", h.TaskID)
	if !ok {
		return
	}
	if t.Kind != Work && t.Kind != Hold {
		v.faults.Add(at+"/task_id", "Nobody works on %s, so it has no hours to change.", t.Describe())
		return
	}
	t.Hours = h.Hours
	v.under(at, t.Validate(v.shop))
}

func (v *orderCheck) soldTask(at string, id ID) (Task, bool) {
	t, ok := v.e.Task(id)
	if !ok {
		v.faults.Add(at, "This job has no such task.")
		return Task{}, false
	}
	if t.Scope != Authorised {
		v.faults.Add(at, "%s was not sold; change it in the estimate.", t.Describe())
		return Task{}, false
	}
	return *t, true
}

func (v *orderCheck) soldLine(at string, id ID) {
	i := slices.IndexFunc(v.e.Lines, func(l Line) bool { return l.ID == id })
	switch {
	case i < 0:
		v.faults.Add(at, "This job has no such line.")
	case v.e.Lines[i].Scope != Authorised:
		v.faults.Add(at, "This line was not sold; change it in the estimate.")
	}
}

// Selected reads which option of each item is taken. An item that is not named
// is taken as the shop advises, or with strict refused: a decision says so of
// every item. Pointers are into the list of choices.
func (o ChangeOrder) Selected(choices []Choice, strict bool) ([]Choice, error) {
	var c fault.Collector
	said := map[string]string{}
	for i, choice := range choices {
		item := slices.IndexFunc(o.Items, func(x OrderItem) bool { return x.Key == choice.ItemKey })
		if item < 0 {
			c.Add(fmt.Sprintf("/choices/%d/item_key", i), "This order has no such item.")
			continue
		}
		if _, twice := said[choice.ItemKey]; twice {
			c.Add(fmt.Sprintf("/choices/%d/item_key", i), "This item was chosen from already.")
		}
		said[choice.ItemKey] = choice.OptionKey
		has := func(x OrderOption) bool { return x.Key == choice.OptionKey }
		if choice.OptionKey != "" && !slices.ContainsFunc(o.Items[item].Options, has) {
			c.Add(fmt.Sprintf("/choices/%d/option_key", i), "This item has no such option.")
		}
	}
	out := o.Advised()
	for i, item := range o.Items {
		key, named := said[item.Key]
		if !named && strict {
			c.Add("/choices", "Say what becomes of %q.", item.Title)
		}
		if named {
			out[i].OptionKey = key
		}
	}
	return out, c.Err("choices-invalid")
}

// MustTake refuses to leave an item that cannot be left while others are taken.
func (o ChangeOrder) MustTake(choices []Choice) error {
	var c fault.Collector
	for i, choice := range choices {
		if choice.OptionKey == "" && i < len(o.Items) && !o.Items[i].MayLeave {
			c.Add("/choices", "%q cannot be left out; decline the order as a whole instead.", o.Items[i].Title)
		}
	}
	return c.Err("choices-invalid")
}

// Option returns an option of an item by their keys.
func (o ChangeOrder) Option(choice Choice) (OrderItem, OrderOption, bool) {
	for _, item := range o.Items {
		if item.Key != choice.ItemKey {
			continue
		}
		for _, option := range item.Options {
			if option.Key == choice.OptionKey {
				return item, option, true
			}
		}
	}
	return OrderItem{}, OrderOption{}, false
}

// FindingIDs lists the findings of an order, item by item.
func (o ChangeOrder) FindingIDs() []ID {
	var out []ID
	for _, item := range o.Items {
		out = append(out, item.FindingIDs...)
	}
	return out
}

// Points adds up the judged points that a selection gains.
func (o ChangeOrder) Points(choices []Choice) (originality, condition decimal.Decimal) {
	for _, choice := range choices {
		if _, option, ok := o.Option(choice); ok {
			originality, condition = originality.Add(option.Originality), condition.Add(option.Condition)
		}
	}
	return originality, condition
}

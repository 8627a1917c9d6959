package app

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/points"
)

// judging turns a job's frame, findings and work in force into what a sheet is
// reckoned on, as found and after the work.
type judging struct {
	sheet     points.Sheet
	right     domain.PutRight
	e         domain.Estimate // in force
	page      FramePage
	orders    []domain.ChangeOrder
	zones     []points.Zone // as found
	mended    []points.Zone // after the work in force
	seen      []points.Seen
	left      []points.Seen // seen, without what the work puts right
	putRight  []PutRightBy
	entered   []Entered
	carried   map[domain.ID]bool // findings with a figure of their own
	unmatched []domain.Finding   // for which neither the sheet nor the shop has a figure
}

// PutRightBy says which work puts a zone or a finding right.
type PutRightBy struct {
	Zone    domain.Zone
	Finding int              // its number; 0: the zone itself
	From    domain.Condition // of the zone, as found
	To      domain.Condition // and after the work
	By      string           // the work, in words
	Seen    bool             // somebody has seen it repaired
}

// Entered is a figure that the shop typed in and no item of the sheet answers
// for. Of a finding it is what is lost, of an order or an option what is gained.
type Entered struct {
	Source      string // finding, order, option
	ID          domain.ID
	Number      int
	Name        string
	Item        string // of an option: the key that the sheet does not have
	Originality decimal.Decimal
	Condition   decimal.Decimal
	// AsFound and After say in which of the two sums it counts.
	AsFound, After bool
}

// judge reads the frame and what was found.
func (j *judging) judge() {
	j.carried = map[domain.ID]bool{}
	for _, z := range j.page.Zones {
		j.zone(z)
	}
	// Findings come newest first; a table reads oldest first.
	for _, f := range slices.Backward(j.page.Findings) {
		if f.State != domain.FindingDismissed {
			j.finding(f)
		}
	}
	for _, o := range j.orders {
		if o.State == domain.OrderApproved {
			j.order(o)
		}
	}
}

// zone takes the latest of what was seen before any repair as found. After the
// work it looks as somebody saw it repaired; else, where the work in force puts it
// right, like sound steel; else as found.
func (j *judging) zone(z domain.Zone) {
	found, repaired := domain.Observation{Condition: domain.Hidden, Moment: domain.OnArrival}, domain.Observation{}
	for _, o := range j.page.Observations { // oldest first
		switch {
		case o.ZoneID != z.ID || o.VoidedAt != nil:
		case o.Moment == domain.Repaired:
			repaired = o
		default:
			found = o
		}
	}
	now := points.Zone{Code: z.Code, Kind: string(z.Kind), Condition: points.Condition(found.Condition), VisiblePercent: z.VisiblePercent, AreaM2: z.AreaM2.StringFixed(4)}
	if found.Moment != domain.OnArrival {
		now.VisiblePercent = 100 // the body is off
	}
	then := now
	by := j.right.Zone(j.e, z, found.Condition)
	switch {
	case repaired.ID != "":
		then.Condition, then.VisiblePercent = points.Condition(repaired.Condition), 100
		j.putRight = append(j.putRight, PutRightBy{Zone: z, From: found.Condition, To: repaired.Condition, By: "as seen after repair", Seen: true})
	case by != "":
		then.Condition = points.GradeA
		j.putRight = append(j.putRight, PutRightBy{Zone: z, From: found.Condition, To: domain.GradeA, By: by})
	}
	j.zones, j.mended = append(j.zones, now), append(j.mended, then)
}

// finding counts with the sheet's figures; with the shop's own where it typed them
// in and exactly one item answers for it. What no item answers for is kept as
// entered.
func (j *judging) finding(f domain.Finding) {
	z, _ := j.page.Zone(f.ZoneID)
	items := j.answering(string(f.What), z)
	lost := [2]decimal.Decimal{decimal.Max(f.Originality, decimal.Zero), decimal.Max(f.ConditionPoints, decimal.Zero)}
	typed := !lost[0].IsZero() || !lost[1].IsZero()
	by, right := j.rightBy(f, z)
	j.carried[f.ID] = typed || len(items) > 0
	switch {
	case len(items) == 0 && !typed:
		j.unmatched = append(j.unmatched, f)
		return
	case len(items) == 0:
		j.entered = append(j.entered, Entered{Source: "finding", ID: f.ID, Number: f.Number, Name: whatWord(f.What) + ", " + z.Name,
			Originality: lost[0], Condition: lost[1], AsFound: true, After: !right})
	default:
		s := points.Seen{ID: SeenID(f.Number), What: string(f.What), Zone: z.Code, Count: min(max(1, f.Count), points.MaxCount)}
		if typed && len(items) == 1 {
			s.Item, s.Originality, s.Condition = items[0].Key, atMost(lost[0], items[0].MaxOriginality), atMost(lost[1], items[0].MaxCondition)
		}
		j.seen = append(j.seen, s)
		if !right {
			j.left = append(j.left, s)
		}
	}
	if right {
		j.putRight = append(j.putRight, PutRightBy{Zone: z, Finding: f.Number, By: by})
	}
}

// SeenID is how a finding is named to the engine.
func SeenID(number int) string { return fmt.Sprintf("finding %d", number) }

// rightBy says what puts a finding right: the order that the client approved, or
// a task in force.
func (j *judging) rightBy(f domain.Finding, z domain.Zone) (string, bool) {
	if f.State == domain.FindingApproved {
		for _, o := range j.orders {
			if o.ID == f.OrderID {
				return fmt.Sprintf("change order %d", o.Number), true
			}
		}
		return "an approved change order", true
	}
	by := j.right.Finding(j.e, z, f.What)
	return by, by != ""
}

// answering are the items that deduct for what was found on a zone, as the engine
// matches them.
func (j *judging) answering(what string, z domain.Zone) []points.Item {
	var out []points.Item
	for _, item := range j.sheet.Items {
		lists := slices.ContainsFunc(item.Departures, func(d points.Departure) bool { return d.What == what })
		looks := z.Code == "" || slices.Contains(item.Kinds, string(z.Kind)) || slices.Contains(item.Zones, z.Code)
		if lists && looks {
			out = append(out, item)
		}
	}
	return out
}

// order keeps the figures of what was approved where none of an item's findings
// has one: the rest is counted by putting the finding right.
func (j *judging) order(o domain.ChangeOrder) {
	for _, item := range o.Items {
		for _, option := range item.Options {
			chosen := slices.Contains(o.Effect.Choices, domain.Choice{ItemKey: item.Key, OptionKey: option.Key})
			// An option of the job counts as one, item by item.
			if !chosen || option.TakesOption != "" || option.Originality.IsZero() && option.Condition.IsZero() {
				continue
			}
			own := !slices.ContainsFunc(item.FindingIDs, func(id domain.ID) bool { return j.carried[id] })
			j.entered = append(j.entered, Entered{Source: "order", ID: o.ID, Number: o.Number, Name: item.Title + ": " + option.Name,
				Originality: option.Originality, Condition: option.Condition, After: own})
		}
	}
}

// workOfOptions gives the work that approved orders brought of options to an
// option again: what an option buys is what it says that it buys, so the work puts
// nothing right beside that.
func workOfOptions(e domain.Estimate, orders []domain.ChangeOrder) domain.Estimate {
	of := map[domain.ID]bool{}
	for _, o := range orders {
		if o.State == domain.OrderApproved && o.Decision != nil {
			for _, id := range o.Decision.OptionTasks {
				of[id] = true
			}
		}
	}
	if len(of) == 0 {
		return e
	}
	e.Tasks = slices.Clone(e.Tasks)
	for i, t := range e.Tasks {
		if of[t.ID] {
			e.Tasks[i].OptionID = t.OrderID
		}
	}
	return e
}

// atMost is d as the engine reads it, held to a maximum of the sheet.
func atMost(d decimal.Decimal, maximum string) string {
	limit, err := decimal.NewFromString(maximum)
	if err != nil {
		limit = decimal.Zero
	}
	return decimal.Max(limit.Neg(), decimal.Min(d, limit)).StringFixed(2)
}

// effects are what an option is said to buy, item by item, each held to the
// item's maximum. What names no item of the sheet is kept as entered.
func (j *judging) effects(o domain.Option) []points.Effect {
	var out []points.Effect
	for _, p := range o.Points {
		i := slices.IndexFunc(j.sheet.Items, func(item points.Item) bool { return item.Key == p.ItemKey })
		if i < 0 {
			j.entered = append(j.entered, Entered{Source: "option", ID: o.ID, Name: o.Label(), Item: p.ItemKey,
				Originality: p.Originality, Condition: p.Condition, After: o.Taken})
			continue
		}
		item := j.sheet.Items[i]
		out = append(out, points.Effect{Item: item.Key, Originality: atMost(p.Originality, item.MaxOriginality), Condition: atMost(p.Condition, item.MaxCondition)})
	}
	return out
}

package app

import (
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/measure"
	"bareframe/internal/pricing"
	"bareframe/internal/takeoff"
)

// quantityPlaces are those of a quantity that follows the takeoff.
const quantityPlaces = 3

// asking is what the rules ask of an estimate: hours by task and material by line.
type asking struct {
	m     *measured
	e     domain.Estimate
	book  domain.PriceBook // as of a day
	stock stock
	lines map[domain.ID]wanted       // of lines that a rule makes the material of
	bare  []wanted                   // material that no line has
	needs map[string]decimal.Decimal // of whole packs, by the lines that were billed
}

// wanted is material that rules make, in the unit of the line that it is for, or of
// the rules where no line has it.
type wanted struct {
	task     *domain.Task
	material string
	unit     string
	quantity decimal.Decimal
}

// asks lays what the rules make beside an estimate. The line of a material is the
// one of its task, else one of the task's phase that belongs to no task.
func (m *measured) asks(e domain.Estimate, book domain.PriceBook, s stock) asking {
	a := asking{m: m, e: e, book: book, stock: s, lines: map[domain.ID]wanted{}, needs: map[string]decimal.Decimal{}}
	for i := range m.made.Materials {
		made := &m.made.Materials[i]
		task, has := taskCoded(e, made.Task)
		if !has {
			continue // the vehicle does not need it
		}
		want := wanted{task: task, material: made.Material, unit: made.Unit, quantity: made.Quantity}
		line, has := lineFor(e, *task, made.Material)
		if !has {
			a.bare = append(a.bare, want)
			continue
		}
		inLine, err := measure.Quantity{Value: made.Quantity, Unit: measure.Unit(made.Unit)}.Convert(measure.Unit(line.Unit), quantityPlaces)
		if err != nil {
			continue // counted in something else: the line stays what it is
		}
		want.unit, want.quantity = line.Unit, inLine.Value.Add(a.lines[line.ID].quantity)
		a.lines[line.ID] = want
	}
	return a
}

func taskCoded(e domain.Estimate, code string) (*domain.Task, bool) {
	i := slices.IndexFunc(e.Tasks, func(t domain.Task) bool { return t.Code == code })
	if i < 0 {
		return nil, false
	}
	return &e.Tasks[i], true
}

func lineFor(e domain.Estimate, t domain.Task, material string) (domain.Line, bool) {
	buys := func(l domain.Line) bool { return l.Kind == pricing.Material && l.PriceItem == material }
	if i := slices.IndexFunc(e.Lines, func(l domain.Line) bool { return buys(l) && l.TaskID == t.ID }); i >= 0 {
		return e.Lines[i], true
	}
	if i := slices.IndexFunc(e.Lines, func(l domain.Line) bool {
		return buys(l) && l.TaskID == "" && l.PhaseID == t.PhaseID && (l.OptionID == "" || l.OptionID == t.OptionID)
	}); i >= 0 {
		return e.Lines[i], true
	}
	return domain.Line{}, false
}

// quantityOf is what the rules ask for a line, none where they make nothing. ok is
// false for a line that is not of a material that rules make for its task.
func (a asking) quantityOf(l domain.Line) (q decimal.Decimal, ok bool) {
	if want, has := a.lines[l.ID]; has {
		return want.quantity, true
	}
	if l.Kind != pricing.Material || len(a.m.zones) == 0 {
		return q, false
	}
	for g := range a.m.goods {
		if g.material != l.PriceItem {
			continue
		}
		if t, has := taskCoded(a.e, g.task); has && (t.ID == l.TaskID || l.TaskID == "" && t.PhaseID == l.PhaseID) {
			return decimal.Zero, true
		}
	}
	return q, false
}

// followed is an estimate's tasks and lines that are no longer what they were.
type followed struct {
	tasks        []domain.Task
	lines, added []domain.Line
}

// follow takes over what follows. With grow, material that no line has gets one.
func (a asking) follow(grow func(wanted) bool, newID func() domain.ID) followed {
	var out followed
	for _, t := range a.e.Tasks {
		h, ok := a.m.hoursOf(t.Code)
		if ok && t.Follows && t.Scope == domain.Estimated && !sameHours(h, t.Hours) {
			t.Hours = h
			out.tasks = append(out.tasks, t)
		}
	}
	for _, l := range a.e.Lines {
		if !l.Follows || l.Scope != domain.Estimated {
			continue
		}
		if n, ok := a.followed(l); ok && (!n.Quantity.Equal(l.Quantity) || !n.WastePercent.Equal(l.WastePercent)) {
			out.lines = append(out.lines, n)
		}
	}
	position := domain.NextPosition(a.e.Lines, func(l domain.Line) int { return l.Position })
	for _, want := range a.bare {
		line, ok := a.lineOf(want)
		if !ok || !grow(want) {
			continue
		}
		line.ID, line.Position = newID(), position
		position++
		out.added = append(out.added, line)
	}
	return out
}

func sameHours(a, b domain.ThreePoint) bool {
	return a.Low.Equal(b.Low) && a.Likely.Equal(b.Likely) && a.High.Equal(b.High)
}

// followed is a line with the quantity that the rules ask for.
func (a asking) followed(l domain.Line) (domain.Line, bool) {
	q, ok := a.quantityOf(l)
	if !ok {
		return l, false
	}
	return a.billed(l, q), true
}

// billed is a line with a quantity. What is billed in whole packs is as much as is
// bought, its waste inside; lines of one material share their packs, so a line is
// billed what must be bought for it beyond those before it.
func (a asking) billed(l domain.Line, q decimal.Decimal) domain.Line {
	l.Quantity = q
	m, known := a.book.Material(l.PriceItem)
	if !known || m.Unit != l.Unit || !m.WholePacks {
		return l
	}
	before := a.needs[m.Key]
	a.needs[m.Key] = before.Add(withWaste(q, m.WastePercent))
	l.Quantity, l.WastePercent = a.bought(m, a.needs[m.Key]).Sub(a.bought(m, before)), decimal.Zero
	return l
}

// bought is how much of a material is bought for a need, in whole packs, after
// what comes from other jobs.
func (a asking) bought(m domain.Material, need decimal.Decimal) decimal.Decimal {
	need = a.stock.less(a.m.job.ID, m.Key, need)
	cover, err := packsFor(m, need)
	if err != nil {
		return need // sizes that cannot be reckoned with: as much as is needed
	}
	return need.Add(cover.Left)
}

// lineOf is a new line for a material, priced by the book; ok is false where the
// book has no such row, or counts it in something else.
func (a asking) lineOf(want wanted) (domain.Line, bool) {
	m, known := a.book.Material(want.material)
	if !known {
		return domain.Line{}, false
	}
	q, err := measure.Quantity{Value: want.quantity, Unit: measure.Unit(want.unit)}.Convert(measure.Unit(m.Unit), quantityPlaces)
	if err != nil {
		return domain.Line{}, false
	}
	l := domain.Line{JobID: want.task.JobID, PhaseID: want.task.PhaseID, TaskID: want.task.ID, Kind: pricing.Material, Description: m.Name, Quantity: q.Value, Unit: m.Unit,
		UnitCost: m.UnitCost, MarkupPercent: m.MarkupPercent, WastePercent: m.WasteBilled(), TaxClass: m.TaxClass, Scope: domain.Estimated, OptionID: want.task.OptionID, PriceItem: m.Key, Follows: true}
	return a.billed(l, q.Value), true
}

// withWaste is what must be there for a quantity to be left of it.
func withWaste(q, percent decimal.Decimal) decimal.Decimal {
	return q.Mul(percents.Add(percent)).Shift(-2).Round(quantityPlaces)
}

// packsFor buys a need in the packs of a material; what comes in none is bought as
// it is needed.
func packsFor(m domain.Material, need decimal.Decimal) (takeoff.Cover, error) {
	sizes := make([]takeoff.Size, len(m.Packs))
	for i, p := range m.Packs {
		sizes[i] = takeoff.Size{Size: p.Size.String(), Price: p.Cost.String()}
	}
	if len(sizes) == 0 {
		return takeoff.Cover{Need: need, Buy: []takeoff.Bought{}}, nil
	}
	return takeoff.CheapestCover(need, sizes)
}

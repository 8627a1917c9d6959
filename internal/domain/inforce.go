package domain

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/network"
)

// InForce is the estimate without the tasks and lines of options that are not
// taken: what is priced, scheduled and worked. It shares what it does not change.
//
// Links are bridged over what is left out. A task that is left out is taken as a
// point in time that keeps its links: what it followed links to what followed it,
// from the end that the first link leaves (finish for FS and FF, start for SS and
// SF) to the end that the second reaches (start for FS and SS, finish for FF and
// SF). Lags of one kind add up. A working and an elapsed lag do not, so both
// links are made and the stricter governs. Of two equal bridges the one with the
// longer lag stays. A finish-start bridge without a positive lag is not made where
// kept finish-start links say as much already. A most time is kept over what is left
// out only where both links have one of the same kind: they add up. Where either is
// open, so is the sum, and where the kinds differ no single limit says the same; then
// the limit is dropped, because a limit that nobody set would refuse good plans. So no precedence between two kept
// tasks is lost. O(tasks + links), and for each pair of links round a task that is
// left out once over the links.
func (e Estimate) InForce() Estimate {
	if len(e.Options) == 0 {
		return e
	}
	tasks, lines := e.LeftOut()
	if len(lines) > 0 {
		e.Lines = slices.DeleteFunc(slices.Clone(e.Lines), func(l Line) bool { return lines[l.ID] })
	}
	if len(tasks) == 0 {
		return e
	}
	links := e.Links
	for _, t := range e.Tasks {
		if tasks[t.ID] {
			links = bridged(links, t.ID)
		}
	}
	e.Tasks = slices.DeleteFunc(slices.Clone(e.Tasks), func(t Task) bool { return tasks[t.ID] })
	e.Links = withoutEcho(links)
	return e
}

// bridged takes a task out of links.
func bridged(links []Link, gone ID) []Link {
	var into, outOf []Link
	kept := make([]Link, 0, len(links))
	for _, l := range links {
		switch gone {
		case l.ToID:
			into = append(into, l)
		case l.FromID:
			outOf = append(outOf, l)
		default:
			kept = append(kept, l)
		}
	}
	for _, in := range into {
		for _, out := range outOf {
			for _, b := range bridges(in, out) {
				kept = addBridge(kept, b)
			}
		}
	}
	return kept
}

// bridges joins a link into a task with a link out of it.
func bridges(in, out Link) []Link {
	if in.FromID == out.ToID {
		return nil
	}
	l := Link{JobID: in.JobID, FromID: in.FromID, ToID: out.ToID, Type: joined(in.Type, out.Type), Bridge: true}
	first, second := l, l
	first.LagHours, first.LagKind = in.LagHours, in.LagKind
	if in.LagKind == out.LagKind && in.MaxLagHours != nil && out.MaxLagHours != nil {
		most := in.MaxLagHours.Add(*out.MaxLagHours)
		first.MaxLagHours = &most
	}
	second.LagHours, second.LagKind = out.LagHours, out.LagKind
	switch {
	case in.LagKind == out.LagKind || out.LagHours.IsZero():
		first.LagHours = in.LagHours.Add(out.LagHours)
		return []Link{first}
	case in.LagHours.IsZero():
		return []Link{second}
	}
	return []Link{first, second}
}

func joined(in, out network.LinkType) network.LinkType {
	fromFinish, toStart := in == network.FS || in == network.FF, out == network.FS || out == network.SS
	switch {
	case fromFinish && toStart:
		return network.FS
	case toStart:
		return network.SS
	case fromFinish:
		return network.FF
	}
	return network.SF
}

// addBridge adds a bridge, or lengthens the equal one that is there.
func addBridge(links []Link, b Link) []Link {
	for i, l := range links {
		if l.FromID == b.FromID && l.ToID == b.ToID && l.Type == b.Type && l.LagKind == b.LagKind && (l.Bridge || saysAsMuch(l, b)) {
			if b.LagHours.GreaterThan(l.LagHours) {
				links[i].LagHours = b.LagHours
			}
			links[i].MaxLagHours = stricter(l.MaxLagHours, b.MaxLagHours)
			return links
		}
	}
	b.ID = fmt.Sprintf("bridge:%s>%s:%s:%s", b.FromID, b.ToID, b.Type, b.LagKind)
	return append(links, b)
}

// saysAsMuch reports whether a link asks for all that a bridge between its ends does.
func saysAsMuch(l, b Link) bool {
	return !b.LagHours.GreaterThan(l.LagHours) &&
		(b.MaxLagHours == nil || l.MaxLagHours != nil && !l.MaxLagHours.GreaterThan(*b.MaxLagHours))
}

func stricter(a, b *decimal.Decimal) *decimal.Decimal {
	if a == nil || b != nil && b.LessThan(*a) {
		return b
	}
	return a
}

// withoutEcho drops bridges that only repeat a chain of kept finish-start links.
func withoutEcho(links []Link) []Link {
	next := map[ID][]ID{}
	for _, l := range links {
		if !l.Bridge && l.Type == network.FS && !l.LagHours.IsNegative() {
			next[l.FromID] = append(next[l.FromID], l.ToID)
		}
	}
	return slices.DeleteFunc(links, func(l Link) bool {
		return l.Bridge && l.MaxLagHours == nil && l.Type == network.FS && !l.LagHours.IsPositive() && reaches(next, l.FromID, l.ToID)
	})
}

func reaches(next map[ID][]ID, from, to ID) bool {
	seen, open := map[ID]bool{from: true}, []ID{from}
	for len(open) > 0 {
		at := open[len(open)-1]
		open = open[:len(open)-1]
		for _, id := range next[at] {
			if id == to {
				return true
			}
			if !seen[id] {
				seen[id] = true
				open = append(open, id)
			}
		}
	}
	return false
}

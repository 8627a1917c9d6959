package paper

import (
	"strconv"

	"bareframe/internal/money"
)

// WorkbookOption is one way to do a piece of work, or an extra: what it comes to
// by itself, and what taking it or leaving it changes.
type WorkbookOption struct {
	Group      string // what is chosen; empty for an extra
	Name       string
	Note       string
	Taken      bool   // its lines are among those of the data
	Net        string // of its own lines, before tax
	Difference string // of the total with tax, against the selection that the data show
	Days       int    // working days by which the finish moves
	Lines      []WorkbookOptionLine
}

// WorkbookOptionLine is a line of an option, as it is billed.
type WorkbookOptionLine struct {
	Description string
	Quantity    string
	Unit        string
	Net         string
}

// readOptions makes sure that the sums are amounts of the currency.
func (b *book) readOptions() error {
	for i, o := range b.data.Options {
		sums := []string{o.Net, o.Difference}
		for _, l := range o.Lines {
			sums = append(sums, l.Net)
		}
		for _, text := range sums {
			if _, err := money.Parse(text, b.currency); err != nil {
				return figures("option %d states %q, which is no amount", i+1, text)
			}
		}
	}
	return nil
}

// optionsSheet states every option with its lines. There are no formulas on it:
// what an option changes is worked out with all the rest, tax and rounding too,
// and the differences of several do not add up.
func (b *book) optionsSheet() sheet {
	s := sheet{name: "Options", frozen: 3, widths: []float64{28, 34, 12, 44, 11, 7, 16, 20, 16, 44}}
	s.add(titleCell("Options"))
	s.add(asideCell("Stated in " + b.currency.Code() + ", no formulas. Only what is marked yes is among the lines and in the totals. Each difference is against this selection; several do not add up."))
	s.add(headCells("Choice", "Option", "In the totals", "Line", "Quantity", "Unit", "Net", "Total with tax changes by", "Finish moves by, working days", "Note")...)
	for _, o := range b.data.Options {
		s.add(textCell(o.Group), textCell(o.Name), textCell(yesOrNo(o.Taken)), cell{}, cell{}, cell{}, stated(lookSum, o.Net), stated(lookMoney, o.Difference),
			figureCell("", strconv.Itoa(o.Days)), asideCell(o.Note))
		for _, l := range o.Lines {
			s.add(cell{}, cell{}, cell{}, textCell(l.Description), figureCell("", l.Quantity), textCell(l.Unit), stated(lookMoney, l.Net))
		}
	}
	return s
}

func stated(l look, amount string) cell { return cell{look: l, figure: amount} }

func yesOrNo(is bool) string {
	if is {
		return "yes"
	}
	return "no"
}

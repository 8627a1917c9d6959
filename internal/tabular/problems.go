package tabular

// maxProblems is how many problems are kept one by one.
const maxProblems = 200

// Problem is one thing that is wrong with a table.
type Problem struct {
	Row    int    `json:"row"`    // as a spreadsheet program counts; 0 is the whole table
	Column string `json:"column"` // the column's title, or its letters when it has none; "" is the whole row
	Reason string `json:"reason"`
}

// Problems lists the first 200 problems and counts them all. The zero value is
// ready.
type Problems struct {
	List  []Problem `json:"list"`
	Count int       `json:"count"`
}

// Add notes a problem; callers add what they find themselves, such as a key
// that occurs twice.
func (p *Problems) Add(row int, column, reason string) {
	if p.Count++; len(p.List) < maxProblems {
		p.List = append(p.List, Problem{row, column, reason})
	}
}

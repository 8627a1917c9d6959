package localrules

import "strings"

// Record is what was written down when the client consented. A field that does
// not apply says so in words ("none"), because an empty one counts as missing.
type Record struct {
	Date   string `json:"date,omitempty"`
	Time   string `json:"time,omitempty"`
	Person string `json:"person,omitempty"`
	// How is the way in which the client was reached: portal, in_person,
	// telephone, email, or another word of the shop's.
	How             string `json:"how,omitempty"`
	NumberOrAddress string `json:"number_or_address,omitempty"`
	WhatWasSaid     string `json:"what_was_said,omitempty"`
	AddedParts      string `json:"added_parts,omitempty"`
	AddedLabour     string `json:"added_labour,omitempty"`
	RevisedTotal    string `json:"revised_total,omitempty"`
}

// Ways in which no number is called and no address is written to.
const (
	InPerson = "in_person"
	Portal   = "portal"
)

// Missing lists what the rule wants named and the record does not name, in the
// order of the rule. Blanks are nothing. Whoever stood in the shop or decided in
// the portal was not reached by a number or an address, so that none is missing
// then. Of a complete record it is empty, never nil.
func Missing(rule RuleSet, r Record) []Field {
	missing := []Field{}
	for _, field := range rule.RecordMustName {
		if field == NumberOrAddress && (r.How == InPerson || r.How == Portal) {
			continue
		}
		if strings.TrimSpace(r.value(field)) == "" {
			missing = append(missing, field)
		}
	}
	return missing
}

func (r Record) value(field Field) string {
	return map[Field]string{
		Date: r.Date, Time: r.Time, Person: r.Person, How: r.How, NumberOrAddress: r.NumberOrAddress,
		WhatWasSaid: r.WhatWasSaid, AddedParts: r.AddedParts, AddedLabour: r.AddedLabour, RevisedTotal: r.RevisedTotal,
	}[field]
}

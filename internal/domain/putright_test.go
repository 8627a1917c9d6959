package domain

import "testing"

// Rows from the description of the rule: repairs put right what they name, coating
// the whole frame, and neither what belongs to an option or is not agreed.
func TestWhatWorkPutsRight(t *testing.T) {
	rules := PutRight{Rules: []PutRightRule{
		{Phase: "repair", Kinds: []TaskKind{Work}, Conditions: []Condition{GradeD, Perforated}, Found: []FindingWhat{FoundPerforation}},
		{Phase: "coating", Kinds: []TaskKind{Work}, Everywhere: true, Conditions: []Condition{GradeC, GradeD}}},
		Places: []Place{{Words: "body mounts", Kinds: []ZoneKind{Mount}}, {Words: "both horns", Zones: []string{"left-horn"}}}}
	rail, mount, horn := Zone{Code: "left-rail", Name: "Left rail", Kind: Rail}, Zone{Code: "m-1", Name: "Mount 1", Kind: Mount}, Zone{Code: "left-horn", Name: "Horn, left", Kind: Rail}
	for name, row := range map[string]struct {
		task Task
		zone Zone
		seen Condition
		want string
	}{
		"a repair by the zone's name":           {Task{PhaseID: "r", Name: "Weld", Zone: "Left rail", Kind: Work}, rail, Perforated, `"Weld"`},
		"by its code":                           {Task{PhaseID: "r", Name: "Weld", Zone: "left-rail", Kind: Work}, rail, Perforated, `"Weld"`},
		"by a word for several zones":           {Task{PhaseID: "r", Name: "Weld", Zone: "Body mounts", Kind: Work}, mount, GradeD, `"Weld"`},
		"by a word for zones with codes":        {Task{PhaseID: "r", Name: "Weld", Zone: "both horns", Kind: Work}, horn, GradeD, `"Weld"`},
		"a repair of another zone":              {Task{PhaseID: "r", Name: "Weld", Zone: "Right rail", Kind: Work}, rail, Perforated, ""},
		"a repair that names none":              {Task{PhaseID: "r", Name: "Weld", Kind: Work}, rail, Perforated, ""},
		"the coating of the frame":              {Task{PhaseID: "c", Name: "Prime", Kind: Work}, mount, GradeC, "Coating"},
		"the coating does not fill holes":       {Task{PhaseID: "c", Name: "Prime", Kind: Work}, rail, Perforated, ""},
		"the coating of another zone":           {Task{PhaseID: "c", Name: "Prime", Zone: "Right rail", Kind: Work}, rail, GradeC, ""},
		"waiting for a cure is no coating":      {Task{PhaseID: "c", Name: "Cure", Kind: Cure}, rail, GradeC, ""},
		"hidden steel stays unknown":            {Task{PhaseID: "c", Name: "Prime", Kind: Work}, rail, Hidden, ""},
		"an option's task":                      {Task{PhaseID: "r", Name: "Weld", Zone: "Left rail", Kind: Work, OptionID: "o"}, rail, Perforated, ""},
		"a task outside what was agreed":        {Task{PhaseID: "r", Name: "Weld", Zone: "Left rail", Kind: Work, Scope: Outside}, rail, Perforated, ""},
		"the same work in another phase":        {Task{PhaseID: "s", Name: "Scrape", Zone: "Left rail", Kind: Work}, rail, Perforated, ""},
		"a phase of the shop's own has no rule": {Task{PhaseID: "x", Name: "Weld", Zone: "Left rail", Kind: Work}, rail, Perforated, ""},
	} {
		e := Estimate{Phases: []Phase{{ID: "s", Key: "stripping"}, {ID: "r", Key: "repair"}, {ID: "c", Key: "coating", Name: "Coating"}, {ID: "x"}}, Tasks: []Task{row.task}}
		if row.want == `"Weld"` {
			row.want = row.task.Describe()
		}
		if got := rules.Zone(e, row.zone, row.seen); got != row.want {
			t.Errorf("%s: got %q, want %q", name, got, row.want)
		}
	}
	e := Estimate{Phases: []Phase{{ID: "r", Key: "repair"}}, Tasks: []Task{{PhaseID: "r", Zone: "Left rail", Kind: Work}}}
	if rules.Finding(e, rail, FoundPerforation) == "" || rules.Finding(e, rail, FoundMissingOpening) != "" {
		t.Error("the repair puts the hole right and brings no opening back")
	}
}

package method

// Example returns two stripping rules, abrasive made of blasting hours and two
// zones of a frame. All figures are starting values, to be replaced by a
// shop's own.
func Example() Input {
	const source = "Starting value, common practice."
	byCondition := Factor{By: ByCondition, Table: map[string]string{"a": "1", "b": "1.1", "c": "1.3", "d": "1.6"}, Other: "1.8"}
	return Input{
		List: List{
			Note: "Starting values, to be replaced by the shop's own.",
			Methods: []Method{
				{Stage: Strip, Key: "blast", Name: "Blasting", Source: source},
				{Stage: Strip, Key: "hand", Name: "Scraper, heat and wheel", Source: source},
			},
			Rules: []Rule{
				{Key: "blast-hours", Name: "Blast the outside", Stage: Strip, Makes: Hours, Task: "B45", Unit: "h",
					For: For{Methods: []string{"blast"}}, Fixed: "0.5", Each: "0.05",
					Parts:  []Part{{Factors: []Factor{{Of: "outer_area"}, {Per: "4", Unit: "m2/h"}, byCondition}}},
					Spread: &Spread{Low: "0.7", High: "1.6"}, Note: "Nozzle in hand; setting up is the fixed half hour.", Source: source},
				{Key: "hand-hours", Name: "Strip by hand", Stage: Strip, Makes: Hours, Task: "B45", Unit: "h",
					For: For{Methods: []string{"hand"}}, Each: "0.12",
					Parts:  []Part{{Factors: []Factor{{Of: "outer_area"}, {Per: "0.5", Unit: "m2/h"}, byCondition}}},
					Spread: &Spread{Low: "0.7", High: "1.8"}, Source: source},
				{Key: "blast-media", Name: "Media for the outside", Stage: Strip, Makes: Material, Task: "B45", Material: "media_soft", Unit: "kg",
					For:   For{Methods: []string{"blast"}},
					Parts: []Part{{Factors: []Factor{{OfRule: "blast-hours"}, {Times: "60", Unit: "kg/h"}}}}, Source: source},
			},
		},
		Known: Known{
			Quantities: TakeoffQuantities(),
			Tasks:      []Named{{"B45", "Media strip"}},
			Materials:  []Supplied{{"media_soft", "Blast media, fine", "kg"}},
		},
		Zones: []Zone{
			{ID: "left-side-rail", Code: "left-side-rail", Name: "Left side rail", Kind: Rail, Side: Left, Condition: GradeC, Finish: Driver,
				Methods:    map[Stage]string{Strip: "blast"},
				Quantities: []Quantity{{Name: "outer_area", Value: "0.529", Unit: "m2", Words: "2 x (110 + 120) mm x 1150 mm", Source: "geometry"}}},
			{ID: "rear-crossmember", Code: "rear-crossmember", Name: "Rear crossmember", Kind: Crossmember, Side: Centre, Condition: GradeB, Finish: Driver,
				Methods:    map[Stage]string{Strip: "hand"},
				Quantities: []Quantity{{Name: "outer_area", Value: "0.499", Unit: "m2"}}},
		},
	}
}

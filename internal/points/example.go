package points

// Example is a frame off the car with two bad places, a patch and an opening
// that is gone. All of it is invented; every figure is a starting value, to be
// replaced by a shop's own.
func Example() Input {
	return Input{
		Currency: "USD", Budget: "4200.00", Frontier: true,
		Sheet: Sheet{
			Key: "two-items", Name: "Frame and mounts", Note: "Starting values: common practice, no source.",
			Looks: []Look{
				{GradeA, 0, "0"}, {GradeB, 0, "0.1"}, {GradeC, 0, "0.2"}, {GradeC, 40, "0.5"}, {GradeD, 0, "0.3"}, {GradeD, 40, "1"},
				{Pitted, 0, "0.5"}, {Pitted, 40, "1.5"}, {Patched, 0, "1"}, {Patched, 40, "2.5"}, {Perforated, 0, "1"}, {Perforated, 40, "4"}, {Hidden, 0, "0.3"},
			},
			Items: []Item{
				{Key: "frame", Name: "Frame", MaxOriginality: "10", MaxCondition: "8", Kinds: []string{"rail", "crossmember", "opening"},
					Departures: []Departure{{What: "patch_over_rot", Originality: "2", Condition: "0.5"}, {What: "missing_opening", Originality: "1"}}},
				{Key: "body-mounts", Name: "Body mounts", MaxOriginality: "2", MaxCondition: "2", Kinds: []string{"mount"},
					Departures: []Departure{{What: "broken_bolt", Originality: "0", Condition: "0.25"}}},
			},
		},
		Zones: []Zone{
			{"left-rail", "rail", Patched, 60, "0.90"}, {"right-rail", "rail", GradeD, 60, "0.90"},
			{"crossmember", "crossmember", GradeB, 30, "0.45"}, {"fuel-pipe-opening", "opening", GradeB, 20, ""},
			{"mount-1-left", "mount", Pitted, 50, "0.02"}, {"mount-1-right", "mount", GradeC, 50, "0.02"},
		},
		Seen: []Seen{{ID: "1", What: "patch_over_rot", Zone: "left-rail"}, {ID: "2", What: "missing_opening", Zone: "fuel-pipe-opening"}, {ID: "3", What: "broken_bolt", Zone: "mount-1-left", Count: 2}},
		Options: []Option{
			{ID: "strip", Name: "Strip the frame", Cost: "1450.00", Hours: "16.00", Days: 3},
			{ID: "patch", Name: "Let in a flush patch", Cost: "620.00", Hours: "5.50", Days: 1, Effects: []Effect{{"frame", "0.75", "4"}}, Requires: []string{"strip"}},
			{ID: "section", Name: "Fabricate the rail section to pattern", Cost: "1880.00", Hours: "17.00", Days: 4, Effects: []Effect{{"frame", "1.75", "5"}}, Requires: []string{"strip"}},
			{ID: "opening", Name: "Cut the fuel pipe opening again", Cost: "145.00", Hours: "1.25", Effects: []Effect{{"frame", "1", ""}}, Requires: []string{"strip"}},
			{ID: "dip", Name: "Coat as the maker did", Cost: "980.00", Hours: "8.00", Days: 2, Effects: []Effect{{"frame", "0", "3"}, {"body-mounts", "", "1"}}, Requires: []string{"strip"}},
			{ID: "modern", Name: "Modern two-coat paint", Cost: "760.00", Hours: "7.00", Days: 3, Effects: []Effect{{"frame", "-2", "3"}, {"body-mounts", "-0.5", "1"}}, Requires: []string{"strip"}},
			{ID: "bolts", Name: "Mount bolts and discs to pattern", Cost: "310.00", Hours: "3.00", Effects: []Effect{{"body-mounts", "", "0.75"}}},
		},
		Groups: []Group{{ID: "rail", Choose: AtMostOne, Options: []string{"patch", "section"}}, {ID: "coating", Choose: AtMostOne, Options: []string{"dip", "modern"}}},
	}
}

package takeoff

// Example is two zones of a frame with a starting setup. All figures are starting
// values, to be replaced by a shop's own.
func Example() Input {
	return Input{
		System: System{
			Note: "Starting values, to be replaced by the shop's own.",
			Blasting: Blasting{Nozzle: "1/4 in at 100 psi", FlatRateM2H: "9.2", MediaKGH: "224", MediaUses: "3", FrameFactor: "0.33",
				ConditionFactors: map[Condition]string{GradeC: "1.2", GradeD: "1.5", Pitted: "1.6", Patched: "1.5", Perforated: "1.5", Hidden: "1.3"}},
			Welding: Welding{Joint: Butt, GapMM: "1.5", BuildUpPercent: "50", WireMM: "0.8", WireMKG: "253", FeedMMin: "5",
				EfficiencyPercent: "95", ArcOnPercent: "30", GasLMin: "12", HandlingH: "0.75", MarginMM: "20", PatchLengthMM: "200", PatchWidthMM: "100"},
			Coats: []Coat{
				{Key: "primer", Name: "Epoxy primer", Where: Outside, SolidsPercent: "50", ThinnerPercent: "10", DryFilmUM: "60", LossPercent: "35", OnBlasted: true, ProfileUM: "50"},
				{Key: "topcoat", Name: "Chassis topcoat, two-pack", Where: Outside, SolidsPercent: "52", ThinnerPercent: "10", DryFilmUM: "50", LossPercent: "35"},
			},
			Cavity:         Cavity{Name: "Cavity wax", FilmUM: "100", SolidsPercent: "40", LossPercent: "25"},
			ReplacePercent: map[Condition]string{GradeD: "5", Pitted: "8", Patched: "20", Perforated: "25", Hidden: "5"},
			Pitted:         []Condition{Pitted, Patched, Perforated},
			BrimMM:         "20",
		},
		Zones: []Zone{
			{ID: "left-side-rail", Shape: Box, WidthMM: "70", HeightMM: "115", ThicknessMM: "3", LengthMM: "1301", Condition: GradeC},
			{ID: "gearbox-crossmember", Shape: Channel, WidthMM: "50", HeightMM: "90", ThicknessMM: "3", LengthMM: "730", Condition: Perforated,
				Hole: &Hole{LengthMM: "140", WidthMM: "60"}},
		},
		Packs: []Pack{{Key: "primer", Of: CoatVolume + "primer", Unit: "l", Sizes: []Size{{"1", "38.00"}, {"5", "165.00"}}}},
	}
}

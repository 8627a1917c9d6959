package repair

// Example returns two repairs of a starting list and a riveted patch with rot
// under it. All figures are starting values, to be replaced by a shop's own.
func Example() Input {
	return Input{
		List: List{
			Note: "Starting values, to be replaced by the shop's own.",
			Cautions: map[string]string{
				"hot_work":    "Welding, grinding and flame only when fuel, lines and undercoating are away from the heat; fire watch during the work and for an hour after. Local codes come first.",
				"sharp_steel": "Rusted and fresh-cut steel cuts to the bone: gloves, sleeves, edges broken as soon as a piece is cut.",
			},
			Repairs: []Rule{
				{Code: "let-in-patch", Name: "Let in a patch, butt-welded flush", Work: Patch, Unit: SquareDecimetre,
					Note:       "Measure after the cut: cut back to steel that rings and holds an arc.",
					Conditions: []Condition{GradeD, Pitted, Patched, Perforated}, Skill: "welder", Crew: 1, Station: "frame_stand", TaxClass: "repair_labour",
					Hours:   Hours{Low: Line{"1.00", "0.25"}, Likely: Line{"1.50", "0.50"}, High: Line{"2.50", "1.10"}},
					Factors: map[Condition]string{Patched: "1.4"},
					Materials: []Material{
						{Item: "Steel sheet 2 mm", Unit: "m2", Line: Line{"0.01", "0.012"}, PriceItem: "sheet_2", TaxClass: "material"},
						{Item: "Cutting or flap disc 125 mm", Unit: "pc", Line: Line{"1", "0.5"}, PriceItem: "cutting_disc", TaxClass: "consumable"},
					},
					Cautions: []string{"hot_work", "sharp_steel"}},
				{Code: "bought-section", Name: "Weld in a bought section", Work: BoughtSection, Unit: Metre,
					Conditions: []Condition{Patched, Perforated}, Skill: "welder", Crew: 1, Station: "frame_stand", TaxClass: "repair_labour",
					Hours: Hours{Low: Line{"2.50", "3.00"}, Likely: Line{"3.50", "4.50"}, High: Line{"6.00", "9.00"}},
					Materials: []Material{
						{Item: "Rail section to pattern, starting price", Unit: "m", Line: Line{"0.1", "1"}, UnitPrice: "240.00", TaxClass: "part"},
					},
					Cautions: []string{"hot_work", "sharp_steel"}},
			},
		},
		Finding: Finding{What: "patch_over_rot", Condition: Patched, LengthMM: 140, WidthMM: 60, Count: 1},
	}
}

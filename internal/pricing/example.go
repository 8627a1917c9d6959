package pricing

// Example returns a small body-off quote to try Calculate with: a choose-one
// option, an extra, waste and markup, a reserve carried by change orders only,
// a discount on the whole, a deposit and draws. All of it is invented; rates and
// prices are starting values to be replaced by a shop's own.
func Example() Input {
	return Input{
		Currency: "USD",
		TaxBasis: PerDocument,
		TaxRates: []TaxRate{
			{RepairLabour, "0"}, {FabricationLabour, "7.25"}, {Part, "7.25"}, {MaterialClass, "7.25"},
			{Consumable, "7.25"}, {SubletClass, "7.25"}, {FeeClass, "0"},
		},
		Phases: []Phase{
			{"removal", "Removal"}, {"stripping", "Media stripping"}, {"rust", "Rust repair"},
			{"coating", "Coating"}, {"remount", "Remount"},
		},
		Lines:       exampleLines(),
		Adjustments: []Adjustment{{ID: "winter", Kind: Discount, Reason: "Booked for the winter", Percent: "2"}},
		Deposit:     &Deposit{Percent: "20"},
		Draws: []Draw{
			{ID: "draw-1", Name: "Frame bare and inspected", Percent: "35", PhaseID: "stripping"},
			{ID: "draw-2", Name: "Frame coated", Percent: "40", PhaseID: "coating"},
			{ID: "draw-3", Name: "Hand-over", Percent: "25", PhaseID: "remount"},
		},
	}
}

func exampleLines() []Line {
	weldIn := &Option{Group: "left-rail", Choice: "weld in a bought section", Taken: true}
	fabricate := &Option{Group: "left-rail", Choice: "repair with fabricated steel"}
	return []Line{
		{ID: "L1", PhaseID: "removal", Kind: Labour, Description: "Disconnect, brace and lift the body",
			Quantity: "34.5", Unit: "h", UnitCost: "41.00", UnitPrice: "98.00", TaxClass: RepairLabour},
		{ID: "L2", PhaseID: "stripping", Kind: Labour, Description: "Blast frame inside and out",
			Quantity: "16.25", Unit: "h", UnitCost: "38.00", UnitPrice: "92.00", TaxClass: RepairLabour},
		{ID: "L3", PhaseID: "stripping", Kind: Material, Description: "Abrasive, by the hundredweight",
			Quantity: "850", Unit: "lb", UnitCost: "27.40", PriceBaseQuantity: "100", WastePercent: "10",
			MarkupPercent: "25", TaxClass: Consumable},
		{ID: "L4", PhaseID: "rust", Kind: Labour, Description: "Cut out and fit bought section, left rail",
			Quantity: "22", Unit: "h", UnitCost: "44.00", UnitPrice: "104.00", TaxClass: RepairLabour, Option: weldIn},
		{ID: "L5", PhaseID: "rust", Kind: Material, Description: "Rail section",
			Quantity: "1", Unit: "pc", UnitCost: "412.50", MarkupPercent: "20", TaxClass: Part, Option: weldIn},
		{ID: "L6", PhaseID: "rust", Kind: Labour, Description: "Fabricate and weld in, left rail",
			Quantity: "38", Unit: "h", UnitCost: "44.00", UnitPrice: "104.00", TaxClass: FabricationLabour, Option: fabricate},
		{ID: "L7", PhaseID: "rust", Kind: Allowance, Description: "Broken mount bolts, up to four",
			Quantity: "1", Unit: "lot", UnitPrice: "600.00", TaxClass: RepairLabour},
		{ID: "L8", PhaseID: "rust", Kind: Reserve, Description: "Held against hidden rust; used only by change orders",
			Quantity: "1", Unit: "lot", UnitPrice: "2500.00", TaxClass: RepairLabour,
			Reserve: &ReserveRule{Approval: ByClient}},
		{ID: "L9", PhaseID: "coating", Kind: Sublet, Description: "Zinc-rich primer at the coater",
			Quantity: "1", Unit: "lot", UnitCost: "1180.00", MarkupPercent: "12.5", TaxClass: SubletClass},
		{ID: "L10", PhaseID: "remount", Kind: Labour, Description: "Mounts, shims, lift on, gaps, torque",
			Quantity: "41", Unit: "h", UnitCost: "41.00", UnitPrice: "98.00", TaxClass: RepairLabour},
		{ID: "L11", PhaseID: "remount", Kind: Material, Description: "Mount discs and bolts, stainless",
			Quantity: "1", Unit: "set", UnitCost: "236.00", MarkupPercent: "30", TaxClass: Part,
			Option: &Option{Choice: "stainless mount set"}},
		{ID: "L12", Kind: Fee, Description: "Disposal of spent abrasive", Quantity: "1", UnitCost: "140.00",
			UnitPrice: "165.00", TaxClass: FeeClass},
		{ID: "L13", Kind: Credit, Description: "Core return, old section", Quantity: "1", Unit: "pc",
			UnitPrice: "60.00", TaxClass: Part},
	}
}

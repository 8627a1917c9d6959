package billing

// StopNowExample is a job that stops with the frame bare. All of it is invented;
// rates and prices are starting values.
func StopNowExample() StopNowInput {
	return StopNowInput{
		Currency: "USD", TaxBasis: PerDocument,
		TaxRates: []TaxRate{{"repair_labour", "0"}, {"fabrication_labour", "7.25"}, {"part", "7.25"}, {"material", "7.25"}, {"storage", "0"}, {"fee", "0"}},
		Labour: []Labour{
			{ID: "fitter", Description: "Fitter: removal", Minutes: 1985, Rate: "92.00", TaxClass: "repair_labour"},
			{ID: "welder", Description: "Welder: sections cut and folded", Minutes: 250, Rate: "104.00", TaxClass: "fabrication_labour"},
		},
		Fitted: []Item{{ID: "M10", Description: "Captive nuts with cage", Quantity: "6", Unit: "pc", Net: "60.84", TaxClass: "part"}},
		Orders: []Order{
			{Item: Item{ID: "P20", Description: "Rail section to pattern, left", Quantity: "1", Unit: "pc", Net: "495.00", TaxClass: "part"}},
			{Item: Item{ID: "P30", Description: "Mount disc set", Quantity: "1", Unit: "set", Net: "306.80", TaxClass: "part"}, Returnable: true, RestockingFee: "30.00", FeeTaxClass: "fee"},
		},
		Storage:    &Storage{OnEstimate: true, Days: 19, FreeDays: 14, PerDay: "12.00", TaxClass: "storage"},
		Reassembly: &Charge{OnEstimate: true, Amount: "1380.00", TaxClass: "repair_labour"},
		Payments:   []Payment{{ID: "deposit", Amount: "4000.00"}},
	}
}

// WatchExample is a job some way past its warning.
func WatchExample() WatchInput {
	return WatchInput{Currency: "USD", Authorised: "18450.00", Worked: "11820.50", Fitted: "2104.75", Ordered: "990.00", Invoiced: "9200.00",
		WarnPercent: "80", TolerancePercent: "0"}
}

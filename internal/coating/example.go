package coating

// Example is a primer on a blasted frame. All figures are starting values; the
// product data sheet comes first.
func Example() Input {
	return Input{SolidsPercent: "50", ThinnerPercent: "10", LossPercent: "35", DryFilm: "60", FilmUnit: "um",
		OnBlasted: true, ProfileUM: "50", Area: "7.4", AreaUnit: "m2"}
}

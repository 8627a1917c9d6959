package takeoff

import (
	"fmt"
	"testing"
)

// wholeJob is a frame of 40 zones, four coats and six things bought whole.
func wholeJob() Input {
	in := Example()
	in.System.Coats = append(in.System.Coats,
		Coat{Key: "weldable", Name: "Weld-through primer", Where: OnWelds, BandMM: "50", SolidsPercent: "30", DryFilmUM: "15", LossPercent: "30"},
		Coat{Key: "inside", Name: "Cavity primer", Where: Inside, SolidsPercent: "40", DryFilmUM: "40", LossPercent: "30"})
	in.Zones = nil
	shapes := []Shape{Box, Channel, Hat, Plate, Tube}
	for i := range 40 {
		z := Zone{ID: fmt.Sprint("zone-", i), Shape: shapes[i%5], WidthMM: fmt.Sprint(60 + i), ThicknessMM: "2.5", LengthMM: fmt.Sprint(400 + 37*i), Condition: Conditions()[i%8]}
		if z.Shape == Box || z.Shape == Channel || z.Shape == Hat {
			z.HeightMM = fmt.Sprint(80 + i)
		}
		if i%7 == 0 {
			z.Hole = &Hole{LengthMM: "140", WidthMM: "60"}
		}
		in.Zones = append(in.Zones, z)
	}
	for of, unit := range map[string]string{CoatVolume + "primer": "l", CoatVolume + "topcoat": "l", CavityCoating: "l", MediaWeight: "kg", WireWeight: "kg", PatchArea: "m2"} {
		in.Packs = append(in.Packs, Pack{Key: of, Of: of, Unit: unit, Sizes: []Size{{"0.5", "20"}, {"1", "36"}, {"5", "160"}}})
	}
	return in
}

// BenchmarkWholeJobTakeoff also walks over the same results once, as something to
// hold the figure against.
func BenchmarkWholeJobTakeoff(b *testing.B) {
	in, quantities := wholeJob(), 0
	b.ReportAllocs()
	for b.Loop() {
		out, err := Compute(in)
		if err != nil {
			b.Fatal(err)
		}
		quantities = 0
		for _, z := range out.Zones {
			quantities += len(z.Quantities)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/1e6, "ms/job")
	b.ReportMetric(float64(quantities), "quantities")
}

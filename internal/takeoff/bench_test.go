package takeoff

import (
	"fmt"
	"testing"
	"time"
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

// BenchmarkWholeJobTakeoff takes off a whole job. Beside it stands what writing
// down the results alone costs: as many quantities, each a decimal of its own.
func BenchmarkWholeJobTakeoff(b *testing.B) {
	in := wholeJob()
	out, err := Compute(in)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if out, err = Compute(in); err != nil {
			b.Fatal(err)
		}
	}
	quantities := 0
	for _, z := range out.Zones {
		quantities += len(z.Quantities)
	}
	each := float64(b.Elapsed().Nanoseconds()) / float64(b.N) / 1e6
	start := time.Now()
	for range b.N {
		copied = written(out)
	}
	b.ReportMetric(float64(time.Since(start).Nanoseconds())/float64(b.N)/1e6, "ms-results")
	b.ReportMetric(each, "ms/job")
	b.ReportMetric(float64(quantities), "quantities")
}

var copied []ZoneResult // keeps what is written from being left out

func written(r Result) []ZoneResult {
	out := make([]ZoneResult, len(r.Zones))
	for i, z := range r.Zones {
		out[i] = ZoneResult{ID: z.ID, Quantities: make([]Quantity, 0, len(z.Quantities))}
		for j, q := range z.Quantities {
			out[i].Quantities = append(out[i].Quantities, Quantity{Name: q.Name, Value: asDecimal(int64(j+1), 4), Unit: q.Unit})
		}
	}
	return out
}

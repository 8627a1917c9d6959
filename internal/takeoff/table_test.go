package takeoff

import (
	"testing"

	"github.com/shopspring/decimal"
)

// Source: Manufacturers' Standard Gauge for sheet steel, as tables print it.
func TestGauges(t *testing.T) {
	printed := map[int][3]string{10: {"0.1345", "5.625", "10 ga (3.42 mm)"}, 14: {"0.0747", "3.125", "14 ga (1.90 mm)"},
		16: {"0.0598", "2.500", "16 ga (1.52 mm)"}, 18: {"0.0478", "2.000", "18 ga (1.21 mm)"}, 20: {"0.0359", "1.500", "20 ga (0.91 mm)"}}
	found := 0
	last := Gauges()[0].LbFt2.Add(decimal.NewFromInt(1))
	for _, g := range Gauges() {
		if !g.LbFt2.LessThan(last) {
			t.Errorf("%s is not lighter than the one before", g)
		}
		last = g.LbFt2
		if p, ok := printed[g.Number]; ok {
			found++
			if g.Inches().StringFixed(4) != p[0] || g.LbFt2.StringFixed(3) != p[1] || g.String() != p[2] {
				t.Errorf("%d ga: got %s in, %s lb/ft2, %q; want %v", g.Number, g.Inches(), g.LbFt2, g, p)
			}
		}
	}
	if found != len(printed) {
		t.Errorf("%d of %d gauges found", found, len(printed))
	}
}

func TestNearestGauge(t *testing.T) {
	for _, r := range []struct {
		mm   string
		want int // 0: none
	}{{"1.5", 16}, {"1.52", 16}, {"1.9", 14}, {"2", 0}, {"3", 11}, {"3.2", 0}, {"2.5", 0}, {"0.9", 20}, {"0", 0}, {"50", 0}} {
		g, ok := NearestGauge(decimal.RequireFromString(r.mm))
		if g.Number != r.want || ok != (r.want != 0) {
			t.Errorf("%s mm: got %v, %v; want %d ga", r.mm, g.Number, ok, r.want)
		}
	}
}

// Sources: the published tables that the checks in testdata/takeoff rest on too.
func TestNozzlesAndWires(t *testing.T) {
	nozzles := []Nozzle{{"1/4", 100, 494}, {"5/16", 100, 812}, {"3/8", 100, 1152}}
	for i, n := range Nozzles() {
		if n != nozzles[i] {
			t.Errorf("nozzle %d: got %+v, want %+v", i, n, nozzles[i])
		}
	}
	// A wire's length in a pound follows from its bore and the density of steel; the
	// printed lengths are within 1 percent of that.
	for _, w := range Wires() {
		d := decimal.RequireFromString(w.DiameterIn)
		pound := d.Mul(d).Mul(decimal.RequireFromString("0.785398")).Mul(decimal.RequireFromString("0.2836")) // an inch of it
		if off := pound.Mul(decimal.NewFromInt(int64(w.InLb))).Sub(decimal.NewFromInt(1)).Abs(); off.GreaterThan(decimal.New(1, -2)) {
			t.Errorf("%s in: %d in/lb is off by %s", w.DiameterIn, w.InLb, off)
		}
	}
}

func TestWords(t *testing.T) {
	in := Example()
	in.Zones[1].Hole = nil
	out := solve(t, in)
	for _, r := range []struct{ zone, name, want string }{
		{"left-side-rail", OuterArea, "2 x (70 + 115) mm x 1.301 m = 0.4814 m2"},
		{"left-side-rail", BlastTime, "0.48137 m2 / (9.2 m2/h x 0.33 on a frame) x 1.2 for steel that is grade C = 0.1903 h"},
		{"gearbox-crossmember", PatchArea, "25 percent of 184 mm x 0.73 m of sheet, because it is perforated = 0.0336 m2"},
		{"gearbox-crossmember", EdgeLength, "2 edges x 0.73 m = 1.46 m"},
	} {
		for _, z := range out.Zones {
			if q, _ := z.Of(r.name); z.ID == r.zone && q.Words() != r.want {
				t.Errorf("%s of %s: got %q, want %q", r.name, r.zone, q.Words(), r.want)
			}
		}
	}
	if q, _ := out.Total(OuterArea); q.Words() != "sum of 2 zones = 0.6245 m2" {
		t.Errorf("total: %q", q.Words())
	}
	if want := "Buy 1 x 1 l for 0.2591 l at 38.00; 0.7409 l is left over."; out.Packs[0].Words != want {
		t.Errorf("packs: got %q, want %q", out.Packs[0].Words, want)
	}
}

func TestCautionsStandBesideWhatTheyAreAbout(t *testing.T) {
	keys := func(in Input) (out []string) {
		for _, c := range solve(t, in).Cautions {
			out = append(out, c.Key)
		}
		return out
	}
	in := Example()
	if got := keys(in); len(got) != 3 || got[1] != "weld" || got[2] != "coating" {
		t.Errorf("got %v, want blasting, weld and coating", got)
	}
	in.Packs = nil
	in.Zones = in.Zones[:1]
	if got := keys(in); len(got) != 2 || got[0] != "blasting" || got[1] != "coating" {
		t.Errorf("without a patch: got %v", got)
	}
	in.Zones = nil
	if got := keys(in); len(got) != 0 {
		t.Errorf("of nothing: got %v", got)
	}
}

// What cannot be worked out is said and not guessed.
func TestWhatIsMissingIsSaid(t *testing.T) {
	in := Example()
	in.Zones = []Zone{{ID: "n", Shape: None, AreaM2: "0.1", Hole: &Hole{LengthMM: "50", WidthMM: "50"}}}
	z := solve(t, in).Zones[0]
	if _, ok := z.Of(WireWeight); ok || len(z.Missing) != 2 {
		t.Errorf("a butt weld in steel of unknown thickness: %v", z.Missing)
	}
	in.System.Welding.Joint, in.System.Welding.LegMM = Fillet, "3"
	z = solve(t, in).Zones[0]
	if _, ok := z.Of(WireWeight); !ok || len(z.Missing) != 1 {
		t.Errorf("a fillet does not need it: %v", z.Missing)
	}
}

// A hole cannot need more sheet than the zone has.
func TestAHoleLargerThanTheZone(t *testing.T) {
	in := Example()
	in.Zones[1].Hole = &Hole{LengthMM: "900", WidthMM: "400"}
	if q, _ := solve(t, in).Zones[1].Of(PatchArea); !q.Value.Equal(decimal.RequireFromString("0.1343")) { // 184 mm x 0.73 m = 0.13432
		t.Errorf("got %s m2, want 0.1343", q.Value)
	}
}

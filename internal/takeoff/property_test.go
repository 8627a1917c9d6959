package takeoff

import (
	"fmt"
	"math"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"bareframe/internal/measure"
)

// A generated zone keeps its measures in whole millimetres but the thickness,
// which is in tenths.
type drawn struct{ width, height, tenths, brim, length int }

func drawZone(t *rapid.T, shape Shape) (drawn, Zone) {
	d := drawn{width: rapid.IntRange(20, 300).Draw(t, "width"), height: rapid.IntRange(20, 300).Draw(t, "height"),
		tenths: rapid.IntRange(5, 95).Draw(t, "tenths"), brim: rapid.IntRange(1, 60).Draw(t, "brim"), length: rapid.IntRange(1, 6000).Draw(t, "length")}
	return d, d.zone(shape)
}

func (d drawn) zone(shape Shape) Zone {
	z := Zone{ID: "z", Shape: shape, WidthMM: fmt.Sprint(d.width), ThicknessMM: fmt.Sprintf("%d.%d", d.tenths/10, d.tenths%10), LengthMM: fmt.Sprint(d.length)}
	if shape == Box || shape == Channel || shape == Hat {
		z.HeightMM = fmt.Sprint(d.height)
	}
	if shape == Hat {
		z.BrimMM = fmt.Sprint(d.brim)
	}
	return z
}

func solve(t interface{ Fatalf(string, ...any) }, in Input) Result {
	out, err := Compute(in)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return out
}

func only(t interface{ Fatalf(string, ...any) }, z Zone) ZoneResult {
	return solve(t, Input{System: Example().System, Zones: []Zone{z}}).Zones[0]
}

func value(z ZoneResult, name string) decimal.Decimal {
	q, _ := z.Of(name)
	return q.Value
}

func TestMoreThicknessNeverWeighsLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shape := rapid.SampledFrom([]Shape{Box, Channel, Hat, Tube, Plate}).Draw(t, "shape")
		d, thin := drawZone(t, shape)
		thicker := d
		thicker.tenths = rapid.IntRange(d.tenths, 99).Draw(t, "thicker")
		a, b := only(t, thin), only(t, thicker.zone(shape))
		if value(b, SteelWeight).LessThan(value(a, SteelWeight)) {
			t.Fatalf("%s: %s kg at %s mm and %s kg at %d/10 mm", shape, value(a, SteelWeight), thin.ThicknessMM, value(b, SteelWeight), thicker.tenths)
		}
	})
}

// Open sections drawn as polygons: the shoelace formula gives the steel, the
// outline gives both sides together.
func TestOpenSectionsAgainstTheirOutline(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shape := rapid.SampledFrom([]Shape{Channel, Hat}).Draw(t, "shape")
		d, z := drawZone(t, shape)
		w, h, s, b := float64(d.width), float64(d.height), float64(d.tenths)/10, float64(d.brim)
		outline := [][2]float64{{0, 0}, {w, 0}, {w, s}, {s, s}, {s, h - s}, {w, h - s}, {w, h}, {0, h}}
		if shape == Hat {
			outline = [][2]float64{{-b, 0}, {s, 0}, {s, h - s}, {w - s, h - s}, {w - s, 0}, {w + b, 0}, {w + b, s}, {w, s}, {w, h}, {0, h}, {0, s}, {-b, s}}
		}
		area, round := 0.0, 0.0
		for i, p := range outline {
			q := outline[(i+1)%len(outline)]
			area += (p[0]*q[1] - q[0]*p[1]) / 2
			round += math.Hypot(q[0]-p[0], q[1]-p[1])
		}
		metres, got := float64(d.length)/1000, only(t, z)
		near(t, "weight", value(got, SteelWeight), math.Abs(area)*metres*7850e-6)
		near(t, "both sides", value(got, BlastArea), round*metres/1000)
		sides := value(got, OuterArea).Add(value(got, InnerArea))
		if sides.Sub(value(got, BlastArea)).Abs().GreaterThan(decimal.New(1, -4)) {
			t.Fatalf("sides %s, reached %s", sides, value(got, BlastArea))
		}
	})
}

// Closed sections are an outside less an inside.
func TestClosedSectionsAreOutsideLessInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shape := rapid.SampledFrom([]Shape{Box, Tube}).Draw(t, "shape")
		d, z := drawZone(t, shape)
		w, h, s := float64(d.width), float64(d.height), float64(d.tenths)/10
		full, hollow, out, in := w*h, (w-2*s)*(h-2*s), 2*(w+h), 2*(w+h-4*s)
		if shape == Tube {
			full, hollow, out, in = math.Pi/4*w*w, math.Pi/4*(w-2*s)*(w-2*s), math.Pi*w, math.Pi*(w-2*s)
		}
		metres, got := float64(d.length)/1000, only(t, z)
		near(t, "weight", value(got, SteelWeight), (full-hollow)*metres*7850e-6)
		near(t, "cavity", value(got, CavityVolume), hollow*metres/1000)
		near(t, "outside", value(got, OuterArea), out*metres/1000)
		near(t, "inside", value(got, InnerArea), in*metres/1000)
	})
}

func near(t *rapid.T, what string, got decimal.Decimal, want float64) {
	if f := got.InexactFloat64(); math.Abs(f-want) > 0.000051 {
		t.Fatalf("%s: got %v, want %v", what, f, want)
	}
}

func TestLossesDivide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		loss := rapid.Int64Range(1, 99).Draw(t, "loss")
		_, z := drawZone(t, Box)
		in := Example()
		in.Zones, in.Packs = []Zone{z}, nil
		in.System.Coats[0].LossPercent = fmt.Sprint(loss)
		lossy := value(solve(t, in).Zones[0], CoatVolume+"primer")
		in.System.Coats[0].LossPercent = "0"
		all := value(solve(t, in).Zones[0], CoatVolume+"primer")
		arrives := lossy.Mul(decimal.NewFromInt(100 - loss)).Div(decimal.NewFromInt(100))
		if arrives.Sub(all).Abs().GreaterThan(decimal.New(1, -4)) {
			t.Fatalf("%s l at a loss of %d percent is %s l that arrives, want %s", lossy, loss, arrives, all)
		}
	})
}

func TestTotalsAreTheSumsOfZones(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := Example()
		in.Packs = nil
		in.Zones = nil
		for i := range rapid.IntRange(0, 12).Draw(t, "zones") {
			_, z := drawZone(t, rapid.SampledFrom([]Shape{Box, Channel, Hat, Tube, Plate}).Draw(t, "shape"))
			z.ID, z.Count, z.Condition = fmt.Sprint("z", i), rapid.IntRange(0, 9).Draw(t, "count"), rapid.SampledFrom(Conditions()).Draw(t, "condition")
			in.Zones = append(in.Zones, z)
		}
		out := solve(t, in)
		sums, place := map[string]decimal.Decimal{}, map[string]int{}
		for i, k := range in.System.Kinds() {
			place[k.Name] = i
		}
		for _, z := range out.Zones {
			last := -1
			for _, q := range z.Quantities {
				if place[q.Name] <= last || !q.Value.Equal(q.Value.Round(Places(q.Unit))) || q.Value.Sign() <= 0 {
					t.Fatalf("%s: %s %s out of place, not rounded or not above 0", z.ID, q.Name, q.Value)
				}
				last = place[q.Name]
				sums[q.Name] = sums[q.Name].Add(q.Value)
			}
		}
		for _, k := range in.System.Kinds() {
			total, ok := out.Total(k.Name)
			if ok != (k.Sums && !sums[k.Name].IsZero()) || k.Sums && !total.Value.Equal(sums[k.Name]) {
				t.Fatalf("%s: total %s, sum of zones %s", k.Name, total.Value, sums[k.Name])
			}
		}
	})
}

// Words are the formula: worked out again from them, volumes of paint come out.
func TestPaintFollowsFromItsWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, z := drawZone(t, Box)
		q, ok := only(t, z).Of(CoatVolume + "primer")
		if !ok {
			t.Skip("a sliver that takes no paint")
		}
		var area, dry, dead, solids, loss, litres float64
		var unit string
		if n, err := fmt.Sscanf(q.Words(), "%f m2 x (%f + %f in the profile) um x 10 / (%f percent of solids x (100 - %f percent lost)) = %f %s",
			&area, &dry, &dead, &solids, &loss, &litres, &unit); n != 7 || unit != string(measure.Litre) {
			t.Fatalf("%q: %v", q.Words(), err)
		}
		near(t, q.Words(), q.Value, area*(dry+dead)*10/(solids*(100-loss)))
	})
}

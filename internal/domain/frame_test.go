package domain

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// A finding's life as the description of the work has it: reported, gathered
// into a draft, sent, decided; dismissed only while it waits; what was declined
// may be proposed again.
func TestAFindingGoesTheAllowedStepsOnly(t *testing.T) {
	allowed := map[FindingState]string{
		FindingReported: "gathered dismissed", FindingGathered: "sent reported", FindingSent: "approved declined reported",
		FindingDeclined: "gathered", FindingApproved: "", FindingDismissed: "",
	}
	for from, to := range allowed {
		for other := range allowed {
			f := Finding{Number: 3, Version: 7, State: from}
			err := f.Move(other, "because")
			if want := strings.Contains(" "+to+" ", " "+string(other)+" "); want != (err == nil) {
				t.Errorf("from %s to %s: %v, allowed %v", from, other, err, want)
			}
			switch {
			case err == nil && (f.State != other || f.Version != 8 || f.StateReason != "because"):
				t.Errorf("after %s to %s it is %+v", from, other, f)
			case err != nil && (f.State != from || f.Version != 7 || fault.As(err).Code != "finding-state"):
				t.Errorf("a refused step from %s to %s left %+v, %v", from, other, f, err)
			}
		}
		open := from == FindingReported || from == FindingGathered
		if err := (Finding{State: from}).Editable(); open != (err == nil) {
			t.Errorf("%s: editable %v, want %v", from, err == nil, open)
		}
	}
}

func soundZone() Zone {
	return Zone{ID: "z", Code: "left-rail", Name: "Left rail", Kind: Rail, Side: LeftSide,
		Section:  Section{Shape: "box", WidthMM: 75, HeightMM: 125, ThicknessMM: decimal.RequireFromString("37.499999")}, // two walls nearly fill it
		LengthMM: MaxFrameMM, AreaM2: decimal.NewFromInt(maxAreaM2), VisiblePercent: 100, Plan: ZonePlan{From: PlanPoint{minPlanX, -maxPlanY}, To: PlanPoint{maxPlanX, maxPlanY}, Width: 1}}
}

func TestAZoneNamesEveryNumberThatCannotBe(t *testing.T) {
	if err := soundZone().Validate([]Zone{soundZone()}); err != nil {
		t.Fatalf("a zone at every bound, beside itself: %v", err)
	}
	for pointer, spoil := range map[string]func(z *Zone){
		"/code":                 func(z *Zone) { z.Code = "Left rail" },
		"/name":                 func(z *Zone) { z.Name = "" },
		"/kind":                 func(z *Zone) { z.Kind = "roof" },
		"/side":                 func(z *Zone) { z.Side = "" },
		"/section/shape":        func(z *Zone) { z.Section.Shape = "star" },
		"/section/width_mm":     func(z *Zone) { z.Section.WidthMM = MaxFrameMM + 1 },
		"/section/height_mm":    func(z *Zone) { z.Section.HeightMM = -1 },
		"/section/thickness_mm": func(z *Zone) { z.Section.ThicknessMM = decimal.RequireFromString("37.5") },
		"/length_mm":            func(z *Zone) { z.LengthMM = -1 },
		"/area_m2":              func(z *Zone) { z.AreaM2 = decimal.RequireFromString("100.0001") },
		"/visible_percent":      func(z *Zone) { z.VisiblePercent = 101 },
		"/plan/from/x":          func(z *Zone) { z.Plan.From.X-- },
		"/plan/from/y":          func(z *Zone) { z.Plan.From.Y-- },
		"/plan/to/x":            func(z *Zone) { z.Plan.To.X++ },
		"/plan/to/y":            func(z *Zone) { z.Plan.To.Y++ },
		"/plan/width":           func(z *Zone) { z.Plan.Width = 0 },
		"/plan/to":              func(z *Zone) { z.Kind = Mount },
	} {
		z := soundZone()
		spoil(&z)
		e := fault.As(z.Validate(nil))
		if e == nil || len(e.Fields) != 1 || e.Fields[0].Pointer != pointer {
			t.Errorf("%s: got %v", pointer, e)
		}
	}
	other := soundZone()
	other.ID = "other"
	if e := fault.As(soundZone().Validate([]Zone{other})); e == nil || e.Fields[0].Pointer != "/code" {
		t.Errorf("a code that another zone bears: %v", e)
	}
}

package points

import (
	"reflect"
	"slices"
	"testing"

	"bareframe/internal/fault"
)

func TestBadInputIsNamed(t *testing.T) {
	for pointer, spoil := range map[string]func(*Input){
		"/currency":    func(in *Input) { in.Currency = "EURO" },
		"/budget":      func(in *Input) { in.Budget = "-1.00" },
		"/max_nodes":   func(in *Input) { in.MaxNodes = MaxNodes + 1 },
		"/sheet/key":   func(in *Input) { in.Sheet.Key = "" },
		"/sheet/name":  func(in *Input) { in.Sheet.Name = " " },
		"/sheet/looks": func(in *Input) { in.Sheet.Looks = in.Sheet.Looks[1:] },
		"/sheet/looks/1": func(in *Input) {
			in.Sheet.Looks[1] = in.Sheet.Looks[0]
			in.Sheet.Looks = append(in.Sheet.Looks, Look{GradeB, 0, "0"})
		},
		"/sheet/looks/1/share":                func(in *Input) { in.Sheet.Looks[1].Share = "10.01" },
		"/sheet/looks/3/from_visible_percent": func(in *Input) { in.Sheet.Looks[3].FromVisible = 101 },
		"/sheet/looks/3/condition":            func(in *Input) { in.Sheet.Looks[3].Condition = "rotten" },
		"/sheet/items/1/key": func(in *Input) {
			in.Sheet.Items = append(in.Sheet.Items, in.Sheet.Items[1])
			in.Sheet.Items[1].Key = "frame"
			in.Sheet.Items[2].Key = "body-mounts"
		},
		"/sheet/items/0/max_condition":            func(in *Input) { in.Sheet.Items[0].MaxCondition = "8.125" },
		"/sheet/items/0/max_originality":          func(in *Input) { in.Sheet.Items[0].MaxOriginality = "1e1" },
		"/sheet/items/0/departures/0/originality": func(in *Input) { in.Sheet.Items[0].Departures[0].Originality = "10.01" },
		"/sheet/items/0/departures/1/condition":   func(in *Input) { in.Sheet.Items[0].Departures[1].Condition = "-1" },
		"/sheet/items/0/departures/1/what":        func(in *Input) { in.Sheet.Items[0].Departures[1].What = "patch_over_rot" },
		"/zones/1/code":                           func(in *Input) { in.Zones[1].Code = "left-rail" },
		"/zones/2/condition":                      func(in *Input) { in.Zones[2].Condition = "" },
		"/zones/2/visible_percent":                func(in *Input) { in.Zones[2].VisiblePercent = -1 },
		"/zones/2/area_m2":                        func(in *Input) { in.Zones[2].AreaM2 = "-0.1" },
		"/zones/2/kind":                           func(in *Input) { in.Zones[2].Kind = "" },
		"/seen/1/id":                              func(in *Input) { in.Seen[1].ID = "1" },
		"/seen/0/zone":                            func(in *Input) { in.Seen[0].Zone = "roof" },
		"/seen/0/item":                            func(in *Input) { in.Seen[0].Item = "engine" },
		"/seen/1/item":                            func(in *Input) { in.Seen[1].Originality = "1" },
		"/seen/0/what":                            func(in *Input) { in.Seen[0].Item, in.Seen[0].What = "frame", "crack" },
		"/seen/0/condition":                       func(in *Input) { in.Seen[0].Item, in.Seen[0].Condition = "frame", "8.01" },
		"/seen/2/count":                           func(in *Input) { in.Seen[2].Count = MaxCount + 1 },
		"/options/1/id": func(in *Input) {
			in.Options = append(in.Options, Option{ID: "x", Name: "x", Cost: "1"})
			in.Options[7].ID, in.Options[1].ID = "patch", "strip"
		},
		"/options/0/name":                  func(in *Input) { in.Options[0].Name = "" },
		"/options/0/cost":                  func(in *Input) { in.Options[0].Cost = "-1450.00" },
		"/options/1/cost":                  func(in *Input) { in.Options[1].Cost = "1000000000.00" },
		"/options/2/cost":                  func(in *Input) { in.Options[2].Cost = "1.005" },
		"/options/0/hours":                 func(in *Input) { in.Options[0].Hours = "0.125" },
		"/options/0/days":                  func(in *Input) { in.Options[0].Days = -1 },
		"/options/1/effects/0/item":        func(in *Input) { in.Options[1].Effects[0].Item = "roof" },
		"/options/4/effects/1/item":        func(in *Input) { in.Options[4].Effects[1].Item = "frame" },
		"/options/1/effects/0/condition":   func(in *Input) { in.Options[1].Effects[0].Condition = "8.01" },
		"/options/5/effects/0/originality": func(in *Input) { in.Options[5].Effects[0].Originality = "-10.25" },
		"/options/1/requires/0":            func(in *Input) { in.Options[1].Requires[0] = "nothing" },
		"/options/0/requires/0":            func(in *Input) { in.Options[0].Requires = []string{"strip"} },
		"/options/6/requires/1":            func(in *Input) { in.Options[6].Requires = []string{"strip", "strip"} },
		"/options/6/excludes/0":            func(in *Input) { in.Options[6].Excludes = []string{"nothing"} },
		"/options":                         func(in *Input) { in.Options, in.Groups = make([]Option, MaxOptions+1), nil },
		"/sets/0/1":                        func(in *Input) { in.Sets = [][]string{{"patch", "patch"}} },
		"/sets/1/0":                        func(in *Input) { in.Sets = [][]string{{}, {"nothing"}} },
		"/sets":                            func(in *Input) { in.Sets = make([][]string, MaxSets+1) },
		"/groups/0/id":                     func(in *Input) { in.Groups[0].ID = "" },
		"/groups/1/id":                     func(in *Input) { in.Groups[1].ID = "rail" },
		"/groups/0/choose":                 func(in *Input) { in.Groups[0].Choose = "two" },
		"/groups/0/options":                func(in *Input) { in.Groups[0].Options = nil },
		"/groups/0/options/1":              func(in *Input) { in.Groups[0].Options[1] = "nothing" },
	} {
		in := Example()
		spoil(&in)
		_, err := Calculate(in)
		f := fault.As(err)
		if f == nil || f.Kind != fault.Invalid || f.Code != code || !slices.ContainsFunc(f.Fields, func(x fault.Field) bool { return x.Pointer == pointer }) {
			t.Errorf("%s: %v", pointer, err)
		}
	}
	if _, err := Calculate(Example()); err != nil {
		t.Error(err)
	}
}

// A circle of requirements is refused with the circle and where to break it.
func TestACircleIsShown(t *testing.T) {
	in := Example()
	in.Options[0].Requires = []string{"opening"} // opening requires strip
	_, err := Calculate(in)
	f := fault.As(err)
	if f == nil || f.Code != "points-circle" || !reflect.DeepEqual(f.Evidence, []string{"strip", "opening"}) || len(f.Fields) != 2 ||
		f.Fields[0].Pointer != "/options/0/requires/0" || f.Fields[1].Pointer != "/options/3/requires/0" {
		t.Errorf("%v, %v", err, f)
	}
}

func TestASheetIsParsedStrictly(t *testing.T) {
	for _, text := range []string{"", "{", `{"surprise": 1}`, `{} {}`, `{"key": "k", "name": "n", "items": []}`} {
		if _, err := ParseSheet([]byte(text)); fault.KindOf(err) != fault.Invalid || fault.As(err).Code != sheetCode {
			t.Errorf("%q: %v", text, err)
		}
	}
}

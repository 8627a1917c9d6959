package api

import (
	"maps"
	"slices"

	"bareframe/internal/repair"
)

// repairRead shows a repair of a list as it is reckoned.
func repairRead(r repair.Rule) RepairRead {
	line := func(l repair.Line) RepairLine { return RepairLine{Fixed: l.Fixed, PerUnit: l.PerUnit} }
	out := RepairRead{Code: r.Code, Name: r.Name, Note: r.Note, Unit: string(r.Unit), For: texts(r.For), Skill: r.Skill, Crew: r.Crew, Station: r.Station,
		Conditions: each(r.Conditions, func(c repair.Condition) SteelCondition { return SteelCondition(c) }),
		Materials: each(r.Materials, func(m repair.Material) RepairNeedRead {
			return RepairNeedRead{Item: m.Item, Unit: m.Unit, Fixed: m.Fixed, PerUnit: m.PerUnit}
		})}
	out.Hours.Low, out.Hours.Likely, out.Hours.High = line(r.Hours.Low), line(r.Hours.Likely), line(r.Hours.High)
	out.Factors = each(slices.Sorted(maps.Keys(r.Factors)), func(c repair.Condition) RepairFactor {
		return RepairFactor{Condition: SteelCondition(c), Times: r.Factors[c]}
	})
	return out
}

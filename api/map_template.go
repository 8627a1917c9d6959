package api

import "bareframe/internal/domain"

func templateSummary(t domain.Template) TemplateSummary {
	p := t.Plan
	return TemplateSummary{ID: t.ID, Key: p.Key, Name: p.Name, Description: p.Description, TaskCount: len(p.Tasks),
		VehicleOptions: each(p.VehicleOptions, vehicleOption)}
}

func templateDetail(t domain.Template) TemplateDetail {
	return TemplateDetail{
		Summary: templateSummary(t),
		Phases:  each(t.Plan.Phases, func(p domain.TemplatePhase) TemplatePhase { return TemplatePhase{Key: p.Key, Name: p.Name} }),
		Tasks:   each(t.Plan.Tasks, templateTask),
		Links: each(t.Plan.Links, func(l domain.TemplateLink) TemplateLink {
			return TemplateLink{From: l.From, To: l.To, Type: LinkType(l.Type), LagHours: hoursText(l.LagHours), LagKind: LagKind(l.LagKind)}
		}),
	}
}

func templateTask(t domain.TemplateTask) TemplateTask {
	return TemplateTask{Key: t.Key, Phase: t.Phase, Name: t.Name, Kind: TaskKind(t.Kind), Note: t.Note, Hours: threePointView(t.Hours),
		Skill: t.Skill, Crew: t.Crew, Station: t.Station, Zone: t.Zone, HoldPoint: t.HoldPoint}
}

func vehicleOption(o domain.VehicleOption) VehicleOption {
	return VehicleOption{Key: o.Key, Name: o.Name,
		Choices: each(o.Choices, func(c domain.OptionChoice) OptionChoice { return OptionChoice{Key: c.Key, Name: c.Name} })}
}

func threePointView(h domain.ThreePoint) ThreePoint {
	return ThreePoint{Low: hoursText(h.Low), Likely: hoursText(h.Likely), High: hoursText(h.High)}
}

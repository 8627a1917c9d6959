package api

import (
	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// frameAnswer maps a use case's frame with the version that it bears.
func frameAnswer(p app.FramePage, err error) (Frame, *string, error) {
	if err != nil {
		return Frame{}, nil, err
	}
	return Frame{
		JobID: p.Job.ID, Version: p.Job.Version, LayoutName: p.Job.FrameName, Zones: each(p.Zones, zoneView),
		Observations: each(p.Observations, func(o domain.Observation) Observation { return observationView(o, p.PhotosOf(o.PhotoIDs)) }),
		Findings: each(p.Findings, func(f domain.Finding) FindingMark {
			return FindingMark{ID: f.ID, Number: f.Number, ZoneID: f.ZoneID, What: FindingWhat(f.What), State: FindingState(f.State)}
		}),
	}, etag(p.Job.Version), nil
}

func zoneView(z domain.Zone) Zone {
	return Zone{ID: z.ID, Code: z.Code, Name: z.Name, Kind: ZoneKind(z.Kind), Side: Side(z.Side),
		Section: ZoneSection{Shape: SectionShape(z.Section.Shape), WidthMm: z.Section.WidthMM, HeightMm: z.Section.HeightMM, ThicknessMm: plainText(z.Section.ThicknessMM)},
		AreaM2:  plainText(z.AreaM2), LengthMm: z.LengthMM, VisiblePercent: z.VisiblePercent,
		Plan:   ZonePlan{From: PlanPoint(z.Plan.From), To: PlanPoint(z.Plan.To), Width: z.Plan.Width},
		Finish: finishOrNil(z.Finish), Methods: choiceOrNil(z.Ways)}
}

func zoneFrom(b ZoneDraft) (domain.Zone, error) {
	var r reading
	z := domain.Zone{Code: b.Code, Name: b.Name, Kind: domain.ZoneKind(b.Kind), Side: domain.Side(b.Side), LengthMM: b.LengthMm,
		AreaM2: r.decimal("/area_m2", b.AreaM2), VisiblePercent: b.VisiblePercent,
		Section: domain.Section{Shape: string(b.Section.Shape), WidthMM: b.Section.WidthMm, HeightMM: b.Section.HeightMm, ThicknessMM: r.decimal("/section/thickness_mm", b.Section.ThicknessMm)},
		Plan:    domain.ZonePlan{From: domain.PlanPoint(b.Plan.From), To: domain.PlanPoint(b.Plan.To), Width: b.Plan.Width},
		Finish:  domain.Finish(orZero(b.Finish)), Ways: waysFrom(orZero(b.Methods))}
	return z, r.err()
}

func observationFrom(b ObservationDraft) domain.Observation {
	return domain.Observation{ZoneID: b.ZoneID, Moment: domain.Moment(b.Moment), Condition: domain.Condition(b.Condition),
		LengthMM: orZero(b.LengthMm), WidthMM: orZero(b.WidthMm), Note: b.Note, PhotoIDs: b.PhotoIds}
}

func observationView(o domain.Observation, photos []domain.Photo) Observation {
	return Observation{ID: o.ID, ZoneID: o.ZoneID, Moment: SurveyMoment(o.Moment), Condition: SteelCondition(o.Condition),
		LengthMm: millimetresOrNil(o.LengthMM), WidthMm: millimetresOrNil(o.WidthMM), Note: o.Note, Photos: each(photos, photoView),
		By: o.ByName, At: o.At.UTC(), Void: o.VoidedAt != nil, VoidReason: textOrNil(o.VoidReason)}
}

// millimetresOrNil leaves out what was not measured.
func millimetresOrNil(mm int) *int {
	if mm == 0 {
		return nil
	}
	return &mm
}

func photoView(p domain.Photo) Photo {
	return Photo{ID: p.ID, Width: p.Width, Height: p.Height, Bytes: p.Bytes, By: p.ByName, At: p.At.UTC()}
}

func findingFrom(b FindingDraft) (domain.Finding, error) {
	var r reading
	f := domain.Finding{ZoneID: b.ZoneID, TaskID: orZero(b.TaskID), What: domain.FindingWhat(b.What), Condition: domain.Condition(orZero(b.Condition)),
		LengthMM: orZero(b.LengthMm), WidthMM: orZero(b.WidthMm), Count: 1, Note: b.Note, PhotoIDs: b.PhotoIds, Repairs: b.Repairs,
		Originality:     zeroOr(r.optionalDecimal("/points_originality", b.PointsOriginality)),
		ConditionPoints: zeroOr(r.optionalDecimal("/points_condition", b.PointsCondition))}
	if b.Count != nil {
		f.Count = *b.Count
	}
	return f, r.err()
}

func zeroOr(d *decimal.Decimal) decimal.Decimal {
	if d == nil {
		return decimal.Zero
	}
	return *d
}

func findingView(p app.FoundPage) Finding {
	f := p.Finding
	return Finding{ID: f.ID, Number: f.Number, Version: f.Version, JobID: f.JobID, TaskID: textOrNil(f.TaskID), ZoneID: f.ZoneID, Zone: p.Zone,
		What: FindingWhat(f.What), Condition: conditionOrNil(f.Condition), LengthMm: millimetresOrNil(f.LengthMM), WidthMm: millimetresOrNil(f.WidthMM),
		Count: f.Count, Note: f.Note, Photos: each(p.Photos, photoView), Repairs: texts(f.Repairs), State: FindingState(f.State), StateReason: f.StateReason,
		Order: orderRefView(p.Order), By: f.ByName, At: f.At.UTC(), Waited: WaitedDays{Shop: p.Waited.Shop, Client: p.Waited.Client},
		PointsOriginality: plainText(f.Originality), PointsCondition: plainText(f.ConditionPoints)}
}

func conditionOrNil(c domain.Condition) *SteelCondition {
	if c == "" {
		return nil
	}
	view := SteelCondition(c)
	return &view
}

func orderRefView(o *domain.OrderRef) *OrderRef {
	if o == nil {
		return nil
	}
	return &OrderRef{ID: o.ID, Number: o.Number}
}

package api

import (
	"bareframe/internal/app"
	"bareframe/internal/network"
)

func scheduleHealth(h app.ScheduleHealth) ScheduleHealth {
	out := ScheduleHealth{
		Findings: each(h.Findings, scheduleFinding),
		LookedAt: each(h.LookedAt, func(code string) ScheduleCheck { return ScheduleCheck(code) }),
		Thresholds: ScheduleThresholds{LongLagHours: hoursText(app.HoursOf(h.Limits.LongLag)),
			MuchFloatDays: h.MuchFloatDays, StaleDays: h.StaleDays},
		Overruns: each(h.Page.Plan.LagOverruns, func(o network.LagOverrun) LimitOverrun {
			return LimitOverrun{LinkID: o.Link, FromTaskID: o.From, ToTaskID: o.To, Hours: hoursText(app.HoursOf(o.Minutes))}
		}),
	}
	if c := h.Clash; c != nil {
		out.Clash = &LimitClash{Detail: c.Detail, Lags: each(c.Lags, lagClaim)}
	}
	if m := h.Moved; m != nil {
		out.Moved = &MovedSchedule{Agreed: m.Agreed, Quote: m.Quote, Tasks: each(m.Tasks, movedTask), Same: m.Same, Added: texts(m.Added), Gone: m.Gone}
	}
	return out
}

func scheduleFinding(f app.ScheduleFinding) ScheduleFinding {
	return ScheduleFinding{Code: ScheduleCheck(f.Code), Weight: f.Weight, Do: f.Do, Tasks: texts(f.Tasks), Links: texts(f.Links)}
}

func lagClaim(c network.LagClaim) LagClaim {
	return LagClaim{LinkID: c.Link, FromTaskID: c.From, ToTaskID: c.To, AtMost: c.AtMost, Hours: hoursText(app.HoursOf(c.Minutes)), LagKind: LagKind(c.Kind)}
}

func movedTask(t app.MovedTask) MovedTask {
	return MovedTask{
		TaskID: t.ID, WasStart: t.WasStart.UTC(), WasFinish: t.WasFinish.UTC(), Start: t.EarlyStart.UTC(), Finish: t.EarlyFinish.UTC(),
		WorkingMinutes: int(t.Minutes), Days: t.Days.StringFixed(1), Reason: StartReason(t.Reason), DrivenBy: texts(t.Driving),
	}
}

package app

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/levelling"
)

// Relieved is what one more of a station or a skill would save.
type Relieved struct {
	Station, Skill, Name string
	Minutes              calendar.Minutes // elapsed, over all jobs
	Days                 string           // the same in days
	Words                string
	Places               int // tasks that can be planned with it and not without
	Jobs                 []RelievedJob
}

// RelievedJob is by how many elapsed days a job finishes earlier; negative when later.
type RelievedJob struct {
	JobID  domain.ID
	Number int
	Days   string
}

// Relief says for each station and skill what one more would save, most first.
func (a *App) Relief(ctx context.Context, actor domain.Actor) ([]Relieved, error) {
	b, holds, err := a.floorNow(ctx, actor, "getRelief")
	if err != nil {
		return nil, err
	}
	in := b.input(holds.placements())
	soon, stop := context.WithTimeout(ctx, 2*trialTime)
	defer stop()
	now, err := levelling.Solve(soon, in, a.effort(trialSchedules), nil)
	if err != nil {
		return nil, err
	}
	gains, err := levelling.Relief(soon, in, now, a.effort(reliefPlans))
	if err != nil {
		return nil, err
	}
	out := make([]Relieved, 0, len(gains))
	for _, g := range gains {
		out = append(out, b.relieved(g, now))
	}
	slices.SortStableFunc(out, func(x, y Relieved) int {
		return cmp.Or(cmp.Compare(y.Places, x.Places), cmp.Compare(y.Minutes, x.Minutes))
	})
	return out, nil
}

// unplaced reports whether part of a job cannot be planned.
func (b *floorBase) unplaced(r levelling.Result, job domain.ID) bool {
	return slices.ContainsFunc(r.Unplaced, func(u levelling.Unplaced) bool { return b.jobOf[u.Task].ID == job })
}

func (b *floorBase) relieved(g levelling.Gain, now levelling.Result) Relieved {
	out := Relieved{Station: g.Station, Skill: g.Skill, Name: b.queueName(g.Station, g.Skill), Places: g.Placed, Jobs: []RelievedJob{}}
	for i, m := range g.Jobs {
		if b.unplaced(now, now.Jobs[i].Job) {
			continue // the end of its part that can be planned is no finish
		}
		if days := elapsedDays(m); days != "0.0" {
			out.Jobs = append(out.Jobs, RelievedJob{now.Jobs[i].Job, b.jobWith(now.Jobs[i].Job).Number, days})
		}
		out.Minutes += m
	}
	out.Days, out.Words = elapsedDays(out.Minutes), "It would save nothing."
	if out.Minutes > 0 && out.Days != "0.0" {
		out.Words = fmt.Sprintf("It would save %s days over all jobs.", out.Days)
	}
	if out.Places > 0 {
		out.Words = fmt.Sprintf("It would let %s be planned that cannot be now.", plural(out.Places, "task"))
	}
	return out
}

// elapsedDays writes minutes as days with one place.
func elapsedDays(m calendar.Minutes) string {
	sign := ""
	if m < 0 {
		sign, m = "-", -m
	}
	const day = 24 * 60
	tenths := (10*m + day/2) / day
	if tenths == 0 {
		sign = ""
	}
	return fmt.Sprintf("%s%d.%d", sign, tenths/10, tenths%10)
}

package api

import (
	"cmp"
	"maps"
	"slices"

	"bareframe/internal/app"
	"bareframe/internal/calendar"
	"bareframe/internal/domain"
)

// jobPage maps the owner's page of a job. Clients get clientJob.
func jobPage(p app.JobPage) JobPage {
	driving := drivingOf(p)
	return JobPage{
		Job:     jobHead(p),
		Phases:  each(p.Phases, phaseView),
		Tasks:   each(p.Estimate.Tasks, func(t domain.Task) TaskView { return taskView(p, t, driving) }),
		Links:   each(p.Estimate.Links, func(l domain.Link) LinkView { return linkView(l, driving) }),
		Lines:   each(p.Estimate.Lines, func(l domain.Line) LineView { return lineView(p, l) }),
		Options: each(p.All.Options, optionView), NotTaken: notTaken(p),
		Price: priceView(p), Schedule: scheduleView(p), Progress: progressView(p.Whole),
		Quotes:         each(p.Quotes, func(q domain.Quote) QuoteSummary { return quoteSummary(q, p.AsOf) }),
		Cautions:       cautionsOf(p),
		VehicleOptions: each(p.Job.VehicleOptions, vehicleOption),
		Warnings:       texts(p.Warnings),
	}
}

func jobHead(p app.JobPage) JobHead {
	j := p.Job
	out := JobHead{
		ID: j.ID, Version: j.Version, Number: j.Number, Title: j.Title, State: JobState(j.State), Client: Named{ID: j.ClientID, Name: p.Client.Name},
		Vehicle: vehicleView(j.Vehicle), TemplateName: j.TemplateName, NotBefore: dayOrNil(j.NotBefore), Promise: dayOrNil(j.Promise), Weight: pointer(cmp.Or(j.Weight, domain.OrdinaryWeight)),
		CreatedAt: j.CreatedAt.UTC(), Currency: j.Currency, AuthorisedAmount: moneyText(j.AuthorisedAmount, j.Currency),
		Moves: each(j.Moves(), func(s domain.JobState) JobTarget { return JobTarget(s) }),
	}
	if !j.RateOn.IsZero() { // in the shop's own currency there is no rate
		out.ExchangeRate, out.RateOn = pointer(plainText(j.Rate())), dayOrNil(j.RateOn)
	}
	return out
}

func vehicleView(v domain.Vehicle) Vehicle {
	options := Options{}
	maps.Copy(options, v.Options)
	return Vehicle{Make: v.Make, Model: v.Model, Year: v.Year, Serial: v.Serial, Options: options}
}

func jobSummary(p app.JobPage) JobSummary {
	j := p.Job
	s := JobSummary{
		ID: j.ID, Number: j.Number, Title: j.Title, State: JobState(j.State), Client: Named{ID: j.ClientID, Name: p.Client.Name},
		Vehicle: j.Vehicle.Label(), Currency: j.Currency, EstimateTotal: p.Price.Totals.GrandTotal.String(),
		AuthorisedAmount: moneyText(j.AuthorisedAmount, j.Currency), PercentDone: p.Whole.Percent, PhaseNow: textOrNil(p.PhaseNow()),
		Promise: dayOrNil(j.Promise), LateDays: p.Ahead.LateDays,
	}
	if len(p.Estimate.Tasks) > 0 {
		s.Finish = dayIn(p.Shop.Zone(), &p.Ahead.Finish)
	}
	return s
}

func phaseView(ph app.PhaseStanding) PhaseView {
	return PhaseView{
		ID: ph.Phase.ID, Key: ph.Phase.Key, Name: ph.Phase.Name, Position: ph.Phase.Position,
		Net: ph.Net.String(), Cost: ph.Cost.String(), Margin: ph.Margin.String(),
		Start: instantOrNil(ph.Start), Finish: instantOrNil(ph.Finish),
		BaselineStart: instantOrNil(ph.WasStart), BaselineFinish: instantOrNil(ph.WasEnd),
		Progress: progressView(ph.Standing),
	}
}

func progressView(s app.Standing) Progress {
	return Progress{SoldHours: hoursText(s.Sold), WorkedHours: hoursText(s.Worked), ToGoHours: hoursText(s.ToGo),
		ForecastHours: hoursText(s.Forecast()), WaitingHours: hoursText(s.Waiting), PercentDone: s.Percent}
}

func scheduleView(p app.JobPage) ScheduleView {
	return ScheduleView{
		Confidence: ConfidenceNotComputed, DataDate: p.Plan.DataDate.UTC(), Start: p.Plan.Start.UTC(), Finish: p.Plan.Finish.UTC(),
		Promise: dayOrNil(p.Job.Promise), LateDays: p.LateDays, DrivingChain: texts(p.Plan.DrivingChain),
		Closed:   each(p.Closed, func(s calendar.Span) Span { return Span{From: s.From.UTC(), To: s.To.UTC()} }),
		Why:      p.Why,
		Forecast: JobForecast{Finish: Day(domain.DayOf(p.Ahead.Finish, p.Shop.Zone())), LateDays: p.Ahead.LateDays, AllCars: p.Ahead.Floor != nil},
	}
}

// cautionsOf lists the cautions that a task of the job names, by key.
func cautionsOf(p app.JobPage) []Caution {
	named := map[string]bool{}
	for _, t := range p.All.Tasks {
		for _, key := range t.Cautions {
			named[key] = true
		}
	}
	return cautionViews(p.Job, slices.Sorted(maps.Keys(named)))
}

// cautionViews gives keys their texts; one that the job does not know stands
// for itself, so that no caution is lost.
func cautionViews(j domain.Job, keys []string) []Caution {
	return each(keys, func(key string) Caution {
		if text, known := j.Cautions[key]; known {
			return Caution{Key: key, Text: text}
		}
		return Caution{Key: key, Text: key}
	})
}

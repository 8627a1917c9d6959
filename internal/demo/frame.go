package demo

import (
	"bytes"
	"context"
	"fmt"
	"hash/fnv"
	"runtime"
	"sync"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/photo"
	"bareframe/internal/pricing"
)

// frameSeed is seeds/demo-frames.json: what was seen and found on the frames of
// the demo's jobs.
type frameSeed struct {
	Note string      `json:"note"`
	Jobs []frameStep `json:"jobs"`
}

// frameStep is the frame's part of one job of the story.
type frameStep struct {
	Key      string        `json:"key"`
	Surveys  []surveySeed  `json:"surveys"`
	Findings []findingSeed `json:"findings"`
	Orders   []orderSeed   `json:"orders"`
}

// surveySeed is one walk round a frame. A day counts from today, a work day the
// shop's working days; the day is used where no work day is given.
type surveySeed struct {
	Moment  domain.Moment `json:"moment"`
	Person  string        `json:"person"`
	Day     int           `json:"day"`
	WorkDay int           `json:"work_day"`
	At      string        `json:"at"`
	Seen    []struct {
		Zone      string           `json:"zone"`
		Condition domain.Condition `json:"condition"`
		Length    int              `json:"length_mm"`
		Width     int              `json:"width_mm"`
		Note      string           `json:"note"`
		Photos    int              `json:"photos"`
	} `json:"seen"`
}

type findingSeed struct {
	Person    string             `json:"person"`
	WorkDay   int                `json:"work_day"`
	At        string             `json:"at"`
	Zone      string             `json:"zone"`
	Task      string             `json:"task"`
	What      domain.FindingWhat `json:"what"`
	Condition domain.Condition   `json:"condition"`
	Length    int                `json:"length_mm"`
	Width     int                `json:"width_mm"`
	Count     int                `json:"count"`
	Note      string             `json:"note"`
	Repairs   []string           `json:"repairs"`
	Photos    int                `json:"photos"`
	Dismissed string             `json:"dismissed"` // why, by the owner, at the end of that day
}

// orderSeed is an order that was drafted and sent on one working day and decided
// by the client in the portal on another. Findings are named by their numbers.
type orderSeed struct {
	Title   string `json:"title"`
	Reason  string `json:"reason"`
	Note    string `json:"note"`
	WorkDay int    `json:"work_day"`
	Decided int    `json:"decided_work_day"`
	Items   []struct {
		Title    string          `json:"title"`
		Why      string          `json:"why"`
		IfNot    string          `json:"if_not"`
		Findings []int           `json:"findings"`
		Option   string          `json:"option"`
		Phase    string          `json:"phase"`
		Material string          `json:"material"`
		Quantity decimal.Decimal `json:"quantity"`
		Unit     string          `json:"unit"`
		UnitCost decimal.Decimal `json:"unit_cost"`
		Taken    bool            `json:"taken"`
	} `json:"items"`
}

// pictures draws the story's photographs beside the story, on all processors,
// so that the demo need not wait for one after the other.
type pictures struct {
	mu      sync.Mutex
	waiting map[string]chan []byte
	views   map[string]int // that were wanted of a place
	todo    []drawing
}

type drawing struct {
	key   string
	motif photo.Motif
}

// Size of a drawn photograph, small enough for a quick first start.
const (
	drawnWidth  = 480
	drawnHeight = 360
)

// want notes that a photograph will be needed of a place, painted or bare; each
// is another view of it.
func (p *pictures) want(key, place string, condition domain.Condition, bare bool) {
	side := fmt.Sprint(place, bare)
	m := photo.Motif{Width: drawnWidth, Height: drawnHeight, Bare: bare, View: p.views[side]}
	p.views[side]++
	h := fnv.New64a()
	h.Write([]byte(place))
	m.Seed = h.Sum64()
	switch condition {
	case domain.GradeA:
	case domain.GradeB:
		m.Rust = 0.2
	case domain.GradeC:
		m.Rust, m.Pits = 0.55, 0.2
	case domain.GradeD:
		m.Rust, m.Pits = 0.8, 0.6
	case domain.Pitted:
		m.Rust, m.Pits = 0.6, 0.9
	case domain.Patched:
		m.Rust, m.Patch = 0.5, true
	case domain.Perforated:
		m.Rust, m.Pits, m.Holes = 0.85, 0.7, 2
	default:
		m.Rust = 0.4
	}
	p.waiting[key] = make(chan []byte, 1)
	p.todo = append(p.todo, drawing{key, m})
}

// begin draws what is wanted, in the order in which it was wanted.
func (p *pictures) begin() {
	for range runtime.GOMAXPROCS(0) {
		go func() {
			for {
				p.mu.Lock()
				if len(p.todo) == 0 {
					p.mu.Unlock()
					return
				}
				d := p.todo[0]
				p.todo = p.todo[1:]
				p.mu.Unlock()
				p.waiting[d.key] <- photo.Drawn(d.motif)
			}
		}()
	}
}

// planFrames plans surveys, findings and orders of the frames beside the jobs.
func (s *story) planFrames(seed frameSeed, jobs map[string]*told) error {
	for _, f := range seed.Jobs {
		t, ok := jobs[f.Key]
		if !ok {
			return fmt.Errorf("demo: there is no job %q to have a frame", f.Key)
		}
		for i, survey := range f.Surveys {
			s.planSurvey(t, fmt.Sprintf("%s-survey-%d", t.Key, i), survey)
		}
		for i, found := range f.Findings {
			s.planFinding(t, fmt.Sprintf("%s-finding-%d", t.Key, i), found)
		}
		for i, order := range f.Orders {
			s.planOrder(t, fmt.Sprintf("%s-order-%d", t.Key, i), order)
		}
	}
	return nil
}

func (s *story) planSurvey(t *told, key string, seed surveySeed) {
	day := s.day(seed.Day)
	if seed.WorkDay != 0 {
		day = s.workDay(seed.WorkDay)
	}
	who := s.owner
	if seed.Person != "" {
		who = s.people[seed.Person]
	}
	for i, seen := range seed.Seen {
		s.wantPhotos(fmt.Sprintf("%s-%d", key, i), t.Key+seen.Zone, seen.Photos, seen.Condition, seed.Moment != domain.OnArrival)
	}
	s.then(at(day, seed.At), key, func(ctx context.Context) error {
		zones, err := s.zonesOf(ctx, t)
		if err != nil {
			return err
		}
		all := make([]domain.Observation, len(seed.Seen))
		for i, seen := range seed.Seen {
			photos, err := s.take(ctx, t, who, fmt.Sprintf("%s-%d", key, i), seen.Photos)
			if err != nil {
				return err
			}
			all[i] = domain.Observation{ZoneID: zones[seen.Zone], Moment: seed.Moment, Condition: seen.Condition, LengthMM: seen.Length,
				WidthMM: seen.Width, Note: seen.Note, PhotoIDs: photos}
		}
		_, err = s.app.Survey(ctx, who, t.id, "demo-"+key, all)
		return err
	})
}

func (s *story) planFinding(t *told, key string, seed findingSeed) {
	s.wantPhotos(key, t.Key+seed.Zone, seed.Photos, seed.Condition, true)
	who := s.people[seed.Person]
	var id domain.ID
	s.then(at(s.workDay(seed.WorkDay), seed.At), key, func(ctx context.Context) error {
		zones, err := s.zonesOf(ctx, t)
		if err != nil {
			return err
		}
		photos, err := s.take(ctx, t, who, key, seed.Photos)
		if err != nil {
			return err
		}
		found, err := s.app.ReportFinding(ctx, who, t.id, "demo-"+key, domain.Finding{ZoneID: zones[seed.Zone], TaskID: t.tasks[seed.Task], What: seed.What,
			Condition: seed.Condition, LengthMM: seed.Length, WidthMM: seed.Width, Count: max(1, seed.Count), Note: seed.Note, PhotoIDs: photos, Repairs: seed.Repairs})
		id = found.Finding.ID
		return err
	})
	if seed.Dismissed != "" {
		s.then(at(s.workDay(seed.WorkDay), "18:00"), key+" dismissed", func(ctx context.Context) error {
			_, err := s.app.DismissFinding(ctx, s.owner, id, "demo-dismiss-"+key, seed.Dismissed)
			return err
		})
	}
}

func (s *story) zonesOf(ctx context.Context, t *told) (map[string]domain.ID, error) {
	page, err := s.app.Frame(ctx, s.owner, t.id)
	out := map[string]domain.ID{}
	for _, z := range page.Zones {
		out[z.Code] = z.ID
	}
	return out, err
}

func (s *story) wantPhotos(key, place string, n int, condition domain.Condition, bare bool) {
	for i := range n {
		s.drawn.want(fmt.Sprintf("%s-%d", key, i), place, condition, bare)
	}
}

// take uploads the drawn photographs of a step, all at once as a phone would.
func (s *story) take(ctx context.Context, t *told, who domain.Actor, key string, n int) ([]domain.ID, error) {
	if !s.photographs {
		return []domain.ID{}, nil
	}
	ids, errs := make([]domain.ID, n), make([]error, n)
	var all sync.WaitGroup
	for i := range n {
		name := fmt.Sprintf("%s-%d", key, i)
		all.Go(func() {
			var kept domain.Photo
			kept, errs[i] = s.app.AddPhoto(ctx, who, t.id, "demo-photo-"+name, bytes.NewReader(<-s.drawn.waiting[name]))
			ids[i] = kept.ID
		})
	}
	all.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return ids, nil
}

func (s *story) planOrder(t *told, key string, seed orderSeed) {
	var sent app.OrderPage
	s.then(at(s.workDay(seed.WorkDay), "17:00"), key+" sent", func(ctx context.Context) error {
		found, err := s.app.Findings(ctx, s.owner, t.id)
		if err != nil {
			return err
		}
		page, err := s.app.JobPage(ctx, s.owner, t.id)
		if err != nil {
			return err
		}
		d := app.OrderDraft{Kind: domain.FromFinding, Title: seed.Title, Reason: seed.Reason, Note: seed.Note}
		for i, item := range seed.Items {
			o := domain.OrderItem{Key: fmt.Sprintf("i%d", i+1), Title: item.Title, Why: item.Why, IfNot: item.IfNot, MayLeave: true,
				Options: []domain.OrderOption{{Key: "o1", Name: item.Option, Advised: true, Lines: []domain.OrderLine{{Kind: pricing.Material, Description: item.Material,
					Quantity: item.Quantity, Unit: item.Unit, UnitCost: item.UnitCost, MarkupPercent: decimal.NewFromInt(15), TaxClass: pricing.Part}}}}}
			for _, f := range found {
				for _, n := range item.Findings {
					if f.Finding.Number == n {
						o.FindingIDs = append(o.FindingIDs, f.Finding.ID)
					}
				}
			}
			for _, p := range page.Estimate.Phases {
				if p.Key == item.Phase {
					o.Options[0].Lines[0].PhaseID = p.ID
				}
			}
			d.Items = append(d.Items, o)
		}
		draft, err := s.app.AddOrder(ctx, s.owner, t.id, "demo-"+key, d)
		if err != nil {
			return err
		}
		sent, err = s.app.SendOrder(ctx, s.owner, draft.Order.ID, app.Precondition{Given: true, Version: draft.Order.Version}, "demo-send-"+key, 14)
		return err
	})
	s.then(at(s.workDay(seed.Decided), "19:05"), key+" decided", func(ctx context.Context) error {
		client := s.people[t.Client]
		p := app.PortalOrderDecision{Approved: true, Name: client.Name, Signature: client.Name, DocumentHash: sent.Order.DocumentHash}
		for i, item := range seed.Items {
			choice := domain.Choice{ItemKey: fmt.Sprintf("i%d", i+1)}
			if item.Taken {
				choice.OptionKey = "o1"
			}
			p.Choices = append(p.Choices, choice)
		}
		effect, err := s.app.PreviewClientOrder(ctx, client, sent.Order.ID, p.Choices)
		if err != nil {
			return err
		}
		p.Amount, p.PromiseAfter = effect.Amount, effect.Dates.PromiseAfter
		_, err = s.app.DecideOrder(ctx, client, sent.Order.ID, "demo-decide-"+key, p)
		return err
	})
}

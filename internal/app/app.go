package app

import (
	"context"
	"encoding/json"
	"runtime"
	"strings"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/method"
	"bareframe/internal/points"
	"bareframe/internal/policy"
	"bareframe/internal/pricing/localrules"
	"bareframe/internal/repair"
	"bareframe/internal/takeoff"
)

// Passwords makes and checks password hashes and judges passwords.
type Passwords interface {
	Hash(ctx context.Context, password string) (string, error)
	// Matches compares in constant time; an empty hash costs the same and never matches.
	Matches(ctx context.Context, password, hash string) (bool, error)
	// Weakness says in a sentence why a password is too easy to guess, or "".
	Weakness(password string, personal ...string) string
}

// Event tells open screens that something changed. It carries no figures.
type Event struct {
	ShopID   domain.ID
	JobID    domain.ID // empty: the shop itself
	ClientID domain.ID // whose job it is, so that a client hears only of their own
	What     string    // estimate, quote, hours, job, people, shop, frame, finding, order, money, letter, floor
}

// Options is what an App is made of.
type Options struct {
	Store     Store
	Passwords Passwords
	Now       func() time.Time     // UTC
	NewID     func() domain.ID     // sortable by time
	Secret    func() string        // 256 random bits, URL-safe text
	Announce  func(events []Event) // after commit; may be nil
	Rules     []localrules.RuleSet // on consent, from which shops choose
	Mail      bool                 // a mail server is configured
	BaseURL   string               // where clients reach the portal, for mail; may be empty
	Frames    []domain.FrameLayout // frames to start from
	Repairs   repair.List          // for jobs whose template has none of its own
	Photos    PhotoStore           // nil: photos are refused
	Sheet     points.Sheet         // the judging sheet that a shop begins with
	PutRight  domain.PutRight      // what work counts as having put right on a sheet
	Takeoff   *takeoff.System      // for jobs whose template has none of its own; nil: nothing is taken off
	Methods   method.List          // as Repairs
	Brought   []method.List        // of templates that the program brings with rules of their own
	Thrift    Thrift               // while floors are planned; may be empty
}

// App holds the use cases. It is safe for concurrent use.
type App struct {
	store     Store
	passwords Passwords
	now       func() time.Time
	newID     func() domain.ID
	secret    func() string
	announce  func([]Event)
	frames    []domain.FrameLayout
	repairs   repair.List
	photos    PhotoStore
	sheet     points.Sheet
	putRight  domain.PutRight
	takeoff   *takeoff.System
	methods   method.List
	// brought are the lists of templates that the program brings with rules of their own.
	brought []method.List

	calendars *cache[calendarKey, *calendar.Calendar]
	gates     *cache[versionKey, gate]
	inside    *cache[versionKey, map[domain.ID]bool] // tasks that only an allowance opens
	estimates *cache[versionKey, bothEstimates]
	baselines *cache[versionKey, map[domain.ID]domain.Baseline] // by task
	prices    *cache[priceKey, priced]
	crafts    *cache[domain.ID, *craft] // by template
	takeoffs  *cache[measureKey, *measured]
	held      *cache[domain.ID, *heldPlan]
	// orderEnds is what an order does to the floor, by a sum over both.
	orderEnds *cache[string, floorEnds]
	attempts  *throttle
	setup     *setupToken
	rules     []localrules.RuleSet // by code
	watches   *watches
	stirs     *stirred
	thrift    Thrift
	mail      bool
	baseURL   string
	drawing   chan struct{} // holds one for each PDF that is being drawn
}

// New wires the use cases.
func New(o Options) *App {
	if o.Announce == nil {
		o.Announce = func([]Event) {}
	}
	stirs := &stirred{}
	announce := func(events []Event) {
		for _, e := range events {
			if e.What != floorChanged {
				stirs.note(e.ShopID, o.Now())
			}
		}
		o.Announce(events)
	}
	if o.Thrift.Begin == nil {
		o.Thrift = Thrift{Begin: func() func() { return func() {} }, Between: func() {}}
	}
	return &App{
		stirs: stirs, thrift: o.Thrift,
		store: o.Store, passwords: o.Passwords, now: o.Now, newID: o.NewID, secret: o.Secret, announce: announce,
		frames: o.Frames, repairs: o.Repairs, photos: o.Photos, takeoff: o.Takeoff, methods: o.Methods, brought: o.Brought, sheet: o.Sheet, putRight: o.PutRight,
		calendars: newCache[calendarKey, *calendar.Calendar](256),
		gates:     newCache[versionKey, gate](1024),
		inside:    newCache[versionKey, map[domain.ID]bool](1024),
		estimates: newCache[versionKey, bothEstimates](mostEstimates),
		baselines: newCache[versionKey, map[domain.ID]domain.Baseline](mostBaselines),
		prices:    newCache[priceKey, priced](mostPrices),
		crafts:    newCache[domain.ID, *craft](mostCrafts),
		takeoffs:  newCache[measureKey, *measured](mostMeasured),
		held:      newCache[domain.ID, *heldPlan](mostHeldPlans),
		orderEnds: newCache[string, floorEnds](256),
		attempts:  newThrottle(),
		setup:     &setupToken{},
		rules:     byCode(o.Rules),
		watches:   newWatches(),
		mail:      o.Mail,
		baseURL:   strings.TrimRight(o.BaseURL, "/"),
		drawing:   make(chan struct{}, runtime.GOMAXPROCS(0)),
	}
}

// work is one use case inside its transaction: the store, who acts, and when.
type work struct {
	Tx
	app    *App
	actor  domain.Actor
	action policy.Action
	now    time.Time
	events []Event
}

// together are the short use cases that a whole shop floor does at once, at the
// end of a shift. They add entries and move no version of a job, by which gates
// are kept; see Store.UpdateTogether.
var together = map[policy.Action]bool{"startClock": true, "stopClock": true, "switchClock": true, "logHours": true, "correctHours": true}

// change runs a use case that writes: policy by role, then fn in one
// transaction, then the announcements.
func (a *App) change(ctx context.Context, actor domain.Actor, action policy.Action, fn func(w *work) error) error {
	if err := policy.Allow(actor, action); err != nil {
		return err
	}
	var events []Event
	update := a.store.Update
	if together[action] {
		update = a.store.UpdateTogether
	}
	err := update(ctx, actor.ShopID, func(tx Tx) error {
		w := &work{Tx: tx, app: a, actor: actor, action: action, now: a.now()}
		if err := fn(w); err != nil {
			return err
		}
		events = w.events
		return nil
	})
	if err != nil {
		return err
	}
	if len(events) > 0 {
		a.announce(events)
	}
	return nil
}

// view runs a use case that reads.
func (a *App) view(ctx context.Context, actor domain.Actor, action policy.Action, fn func(r Reader) error) error {
	if err := policy.Allow(actor, action); err != nil {
		return err
	}
	return a.store.View(ctx, actor.ShopID, fn)
}

// trail writes what changed into the audit trail, in the same transaction.
func (w *work) trail(subject string, jobID domain.ID, before, after any) error {
	b, err := asJSON(before)
	if err != nil {
		return err
	}
	x, err := asJSON(after)
	if err != nil {
		return err
	}
	return w.AppendTrail(domain.TrailEntry{
		At: w.now, ActorID: w.actor.PersonID, ActorName: w.actor.Name, From: w.actor.From,
		Action: string(w.action), Subject: subject, JobID: jobID, Before: b, After: x,
	})
}

func asJSON(v any) (json.RawMessage, error) {
	if v == nil {
		return nil, nil
	}
	return json.Marshal(v)
}

// tell queues an announcement about a job.
func (w *work) tell(job domain.Job, what string) {
	w.events = append(w.events, Event{ShopID: w.actor.ShopID, JobID: job.ID, ClientID: job.ClientID, What: what})
}

// Precondition is the version an edit was made on, from If-Match.
type Precondition struct {
	Given   bool
	Version int
}

// check refuses an edit of another version than the stored one. current is
// what the caller gets to compare with.
func (p Precondition) check(stored int, current any) error {
	if !p.Given {
		return fault.New(fault.PreconditionMissing, "if-match-missing", "Send If-Match with the version this edit was made on.")
	}
	if p.Version != stored {
		return fault.New(fault.Stale, "stale-edit", "This was changed meanwhile: you edited version %d, it is now version %d.", p.Version, stored).With(current)
	}
	return nil
}

// Now is the instant that the use cases go by, in UTC.
func (a *App) Now() time.Time { return a.now() }

// Ready fails with Unavailable while the store does not answer.
func (a *App) Ready(ctx context.Context) error { return a.store.Ping(ctx) }

// Prune forgets expired sessions, and answers to retries after a month.
func (a *App) Prune(ctx context.Context) error {
	now := a.now()
	return a.store.Prune(ctx, now, now.AddDate(0, -1, 0))
}

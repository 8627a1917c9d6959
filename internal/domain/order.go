package domain

import (
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
)

// OrderKind says where a change order comes from.
type OrderKind string

// The kinds of change order.
const (
	FromFinding    OrderKind = "finding"
	FromClientWish OrderKind = "client_wish"
	FromPrice      OrderKind = "price_change"
	FromCorrection OrderKind = "correction"
	FromInspection OrderKind = "inspection" // the strip gate's report
)

// OrderState is where a change order stands. Expiry is derived: a sent order
// past its expiry reads as expired.
type OrderState string

// The states of a change order.
const (
	OrderDraft     OrderState = "draft"
	OrderSent      OrderState = "sent"
	OrderApproved  OrderState = "approved"
	OrderDeclined  OrderState = "declined"
	OrderWithdrawn OrderState = "withdrawn"
	OrderExpired   OrderState = "expired"
)

// ChangeOrder is a numbered proposal that changes scope, price, date or points.
// Nothing in it is done until the client decides. What was sent is immutable.
type ChangeOrder struct {
	ID           ID
	JobID        ID
	Number       int // counts up within the job
	Version      int
	Kind         OrderKind
	Title        string
	Reason       string
	Note         string // to the client
	Items        []OrderItem
	State        OrderState
	Revision     int // how often it was sent
	CreatedAt    time.Time
	CreatedBy    string
	SentAt       *time.Time
	SentBy       string
	ExpiresAt    *time.Time
	DocumentHash string      // as sent
	Opening      string      // the shop's text, filled in when it was sent
	Effect       OrderEffect // as sent, then as decided; of a draft it is computed at every read
	Decision     *OrderDecision
	DecidedAt    *time.Time // when it ended: decided on, or withdrawn
	Withdrawn    string     // the reason
}

// StateAt returns the state as it reads at an instant.
func (o ChangeOrder) StateAt(now time.Time) OrderState {
	if o.State == OrderSent && o.ExpiresAt != nil && !now.Before(*o.ExpiresAt) {
		return OrderExpired
	}
	return o.State
}

// OrderItem is one piece of a change with its options: several options mean
// choose one, MayLeave that the client may take none.
type OrderItem struct {
	Key        string        `json:"key"`
	Title      string        `json:"title"`
	Why        string        `json:"why"`
	IfNot      string        `json:"if_not"`
	MayLeave   bool          `json:"may_leave"`
	FindingIDs []ID          `json:"finding_ids"`
	Options    []OrderOption `json:"options"`
}

// OrderOption is one way to do an item.
type OrderOption struct {
	Key          string          `json:"key"`
	Name         string          `json:"name"`
	Note         string          `json:"note"`
	Advised      bool            `json:"advised"`
	Tasks        []OrderTask     `json:"tasks"`
	HoursChanges []HoursChange   `json:"hours_changes"`
	RemovesTasks []ID            `json:"removes_tasks"`
	Lines        []OrderLine     `json:"lines"`
	RemovesLines []ID            `json:"removes_lines"`
	Originality  decimal.Decimal `json:"points_originality"` // judged points gained
	Condition    decimal.Decimal `json:"points_condition"`
	Links        []OrderLink     `json:"links,omitempty"`        // beside After and Before of its tasks
	TakesOption  ID              `json:"takes_option,omitempty"` // the job's option, not taken with the quote, that it brings in
}

// OrderLink is a link that After and Before cannot say: of another type, with a lag
// or a limit. One end at least is a task of the option by key, the other may be one of
// the job by ID.
type OrderLink struct {
	From     string           `json:"from"`
	To       string           `json:"to"`
	Type     network.LinkType `json:"type"`
	LagHours decimal.Decimal  `json:"lag_hours"`
	LagKind  calendar.Kind    `json:"lag_kind"`
	// MaxLagHours is as of Link.
	MaxLagHours *decimal.Decimal `json:"max_lag_hours,omitempty"`
}

// OrderTask is a task that an option adds. After and Before name tasks of the
// job by ID or of the same option by key, all finish-start.
type OrderTask struct {
	Key          string           `json:"key"`
	PhaseID      ID               `json:"phase_id"`
	Name         string           `json:"name"`
	Note         string           `json:"note"`
	Kind         TaskKind         `json:"kind"`
	Hours        ThreePoint       `json:"hours"`
	ElapsedHours decimal.Decimal  `json:"elapsed_hours"`
	LeadDays     int              `json:"lead_days"`
	Skill        string           `json:"skill"`
	Crew         int              `json:"crew"`
	Station      string           `json:"station"`
	ZoneID       ID               `json:"zone_id,omitempty"`
	Cautions     []string         `json:"cautions"`
	HoldPoint    string           `json:"hold_point"`
	TaxClass     pricing.TaxClass `json:"tax_class"`
	Floor        Floor            `json:"floor,omitzero"`
	After        []string         `json:"after"`
	Before       []string         `json:"before"`
}

// HoursChange gives a sold task new hours.
type HoursChange struct {
	TaskID ID         `json:"task_id"`
	Hours  ThreePoint `json:"hours"`
}

// OrderLine is a priced line that an option adds.
type OrderLine struct {
	PhaseID         ID               `json:"phase_id"`
	TaskKey         string           `json:"task_key"`
	Kind            pricing.Kind     `json:"kind"`
	Description     string           `json:"description"`
	Quantity        decimal.Decimal  `json:"quantity"`
	Unit            string           `json:"unit"`
	UnitCost        decimal.Decimal  `json:"unit_cost"`
	MarkupPercent   decimal.Decimal  `json:"markup_percent"`
	WastePercent    decimal.Decimal  `json:"waste_percent"`
	DiscountPercent decimal.Decimal  `json:"discount_percent"`
	TaxClass        pricing.TaxClass `json:"tax_class"`
}

// Choice says which option of an item is taken; an empty option leaves it.
type Choice struct {
	ItemKey   string `json:"item_key"`
	OptionKey string `json:"option_key"`
}

// OrderEffect is what a selection of options does, as computed at a moment.
type OrderEffect struct {
	Currency         string          `json:"currency"`
	Choices          []Choice        `json:"choices"`
	Net              decimal.Decimal `json:"net"`
	Tax              decimal.Decimal `json:"tax"`
	Taxes            []OfferTax      `json:"taxes"`
	Amount           decimal.Decimal `json:"amount"` // with tax; what authorised moves by
	Cost             decimal.Decimal `json:"cost"`
	AuthorisedBefore decimal.Decimal `json:"authorised_before"`
	Hours            decimal.Decimal `json:"hours"`
	Lines            []EffectLine    `json:"lines"`
	Options          []OptionEffect  `json:"options"`
	Dates            DateEffect      `json:"dates"`
	Phases           []PhaseMove     `json:"phases"`
	Floor            *OrderFloor     `json:"floor,omitempty"` // where the dates come from it
	Others           OtherOrders     `json:"others"`
	Originality      decimal.Decimal `json:"points_originality"`
	Condition        decimal.Decimal `json:"points_condition"`
	ConsentDue       bool            `json:"consent_due"`
	ConsentWhy       string          `json:"consent_why"`
	Contradiction    *Contradiction  `json:"contradiction,omitempty"`
}

// EffectLine is a priced line of an order, as the client reads it.
type EffectLine struct {
	ItemKey     string       `json:"item_key"`
	OptionKey   string       `json:"option_key"`
	PhaseID     ID           `json:"phase_id"`
	Description string       `json:"description"`
	Kind        pricing.Kind `json:"kind"`
	Quantity    string       `json:"quantity"`
	Unit        string       `json:"unit"`
	Net         string       `json:"net"`
}

// OptionEffect is what one option does by itself.
type OptionEffect struct {
	ItemKey     string          `json:"item_key"`
	OptionKey   string          `json:"option_key"`
	Net         decimal.Decimal `json:"net"`
	Amount      decimal.Decimal `json:"amount"`
	Hours       decimal.Decimal `json:"hours"`
	Days        int             `json:"days"`
	Originality decimal.Decimal `json:"points_originality"`
	Condition   decimal.Decimal `json:"points_condition"`
}

// DateEffect is how finish and promise move, in working days of the shop.
type DateEffect struct {
	FinishBefore  Day    `json:"finish_before"`
	FinishAfter   Day    `json:"finish_after"`
	Days          int    `json:"days"`
	PromiseBefore Day    `json:"promise_before"`
	PromiseAfter  Day    `json:"promise_after"`
	Why           string `json:"why"`
	// Source says what the dates were worked out from, Words in a sentence that the
	// client may read. Both are empty in orders older than either.
	Source DateSource `json:"source,omitempty"`
	Words  string     `json:"words,omitempty"`
}

// DateSource is what dates were worked out from.
type DateSource string

// The sources of dates.
const (
	FromOwnSchedule DateSource = "own_schedule" // the car by itself
	FromFloor       DateSource = "floor"        // all cars of the shop, their people and stations
)

// OrderFloor is the plan of the floor that an order's dates come from, and what the
// order does to the other cars in it. It is the owner's own.
type OrderFloor struct {
	PlanID   ID        `json:"plan_id"`
	Revision int       `json:"revision"`
	MadeAt   time.Time `json:"made_at"`
	// OwnDays is by how many working days the car's own schedule moves its finish.
	OwnDays int       `json:"own_days"`
	Cars    []CarMove `json:"cars"` // that finish on another day
}

// CarMove is what an order of one car does to another.
type CarMove struct {
	JobID   ID     `json:"job_id"`
	Number  int    `json:"number"`
	Car     string `json:"car"`
	Promise Day    `json:"promise"`
	Before  Day    `json:"before"`
	After   Day    `json:"after"`
	Days    int    `json:"days"`
	Late    bool   `json:"late"`   // after its promise, with the order
	Breaks  bool   `json:"breaks"` // and not without it
}

// PhaseMove is how the end of one phase moves.
type PhaseMove struct {
	Phase  string `json:"phase"`
	Before Day    `json:"before"`
	After  Day    `json:"after"`
	Days   int    `json:"days"`
}

// OtherOrders is the effect together with every other order that is with the
// client, each at what the shop advises.
type OtherOrders struct {
	Orders []OrderRef      `json:"orders"`
	Amount decimal.Decimal `json:"amount"` // of this and the others
	Dates  DateEffect      `json:"dates"`
}

// OrderRef names an order.
type OrderRef struct {
	ID     ID  `json:"id"`
	Number int `json:"number"`
}

// Contradiction is why the work cannot be scheduled.
type Contradiction struct {
	Detail string   `json:"detail"`
	Tasks  []string `json:"tasks"`
}

// OrderDecision is what the client said to an order, and how it is known.
type OrderDecision struct {
	Approved     bool            `json:"approved"`
	How          DecisionHow     `json:"how"`
	Name         string          `json:"name"`
	Signature    string          `json:"signature"`
	Contact      string          `json:"contact"`
	Said         string          `json:"said"`
	Reason       string          `json:"reason"`
	DecidedAt    time.Time       `json:"decided_at"`
	RecordedAt   time.Time       `json:"recorded_at"`
	RecordedBy   string          `json:"recorded_by"`
	From         string          `json:"from"`
	Amount       decimal.Decimal `json:"amount"`
	RevisedTotal decimal.Decimal `json:"revised_total"`
	AddedParts   string          `json:"added_parts"`
	AddedLabour  string          `json:"added_labour"`
	Choices      []Choice        `json:"choices"`
	DocumentHash string          `json:"document_hash"`          // of the document as decided
	OptionTasks  []ID            `json:"option_tasks,omitempty"` // of the tasks it brought, those of options of the job
}

// OrderMessage is a question of the client or an answer of the shop.
type OrderMessage struct {
	ID      ID
	OrderID ID
	By      string
	Role    Role
	At      time.Time
	Text    string
}

package policy

import (
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// Action is an operation of the contract.
type Action string

// Condition is what must hold between the actor and the thing at hand.
type Condition string

// The conditions.
const (
	Always   Condition = "always"
	OwnJob   Condition = "own job"   // the client's own, and the one their link is for
	OwnEntry Condition = "own entry" // a technician's own hours
	Self     Condition = "self"      // sessions, password and calendar of the actor
)

// Grant is one row of the table: what a role may do and under which condition.
type Grant struct {
	Role      domain.Role
	Condition Condition
}

// Nobody is the role of a request without a session.
const Nobody domain.Role = ""

func open() []Grant {
	return []Grant{{Nobody, Always}, {domain.Owner, Always}, {domain.Technician, Always}, {domain.Client, Always}}
}

func everybody(c Condition) []Grant {
	return []Grant{{domain.Owner, c}, {domain.Technician, c}, {domain.Client, c}}
}

func owner() []Grant { return []Grant{{domain.Owner, Always}} }

// bench lets an owner work too, and correct anybody's entry.
func bench(technician Condition) []Grant {
	return []Grant{{domain.Owner, Always}, {domain.Technician, technician}}
}

func client() []Grant { return []Grant{{domain.Client, OwnJob}} }

var table = map[Action][]Grant{
	// system and access
	"getHealth":        open(),
	"getReadiness":     open(),
	"getSetup":         open(),
	"setUpShop":        open(),
	"signIn":           open(),
	"acceptInvitation": open(),
	"openClientLink":   open(),
	"getCalendarFeed":  open(), // the address itself is the secret
	"headCalendarFeed": open(),
	"signOut":          everybody(Self),
	"listSessions":     everybody(Self),
	"endSession":       everybody(Self),
	"getMe":            everybody(Self),
	"changePassword":   everybody(Self),
	"streamEvents":     everybody(Self),

	// people
	"listPeople":       owner(),
	"addPerson":        owner(),
	"getPerson":        owner(),
	"changePerson":     owner(),
	"invitePerson":     owner(),
	"listClientLinks":  owner(),
	"makeClientLink":   owner(),
	"revokeClientLink": owner(),

	// shop
	"getShop":               owner(),
	"changeShop":            owner(),
	"listTexts":             owner(),
	"previewText":           owner(),
	"getCalendar":           owner(),
	"changeCalendar":        owner(),
	"getPriceBook":          owner(),
	"listPrices":            owner(),
	"setPrices":             owner(),
	"previewPrices":         owner(),
	"importPrices":          owner(),
	"exportPrices":          owner(),
	"getMovedPrices":        owner(),
	"takeTodaysPrices":      owner(),
	"listTemplates":         owner(),
	"getTemplate":           owner(),
	"addTemplate":           owner(),
	"saveTemplate":          owner(),
	"restoreTemplate":       owner(),
	"retireTemplate":        owner(),
	"listTemplateRevisions": owner(),
	"previewTemplate":       owner(),

	// jobs
	"listJobs":          owner(),
	"createJob":         owner(),
	"getJob":            owner(),
	"changeJob":         owner(),
	"moveJob":           owner(),
	"addPhase":          owner(),
	"changePhase":       owner(),
	"removePhase":       owner(),
	"addTask":           owner(),
	"changeTask":        owner(),
	"removeTask":        owner(),
	"releaseHold":       owner(),
	"openTask":          owner(),
	"addLink":           owner(),
	"changeLink":        owner(),
	"removeLink":        owner(),
	"addLine":           owner(),
	"changeLine":        owner(),
	"removeLine":        owner(),
	"compareOptions":    owner(),
	"addOption":         owner(),
	"changeOption":      owner(),
	"removeOption":      owner(),
	"explainPrice":      owner(),
	"listJobHours":      owner(),
	"listTrail":         owner(),
	"getScheduleHealth": owner(),

	// the floor
	"getFloor":       bench(Always),
	"planFloor":      owner(),
	"cancelPlanning": owner(),
	"decidePlan":     owner(),
	"tryFloor":       owner(),
	"listTrials":     owner(),
	"keepTrial":      owner(),
	"adoptTrial":     owner(),
	"dropTrial":      owner(),
	"unpinTask":      owner(),
	"getRelief":      owner(),
	"getQueue":       owner(),

	// calendars that follow the floor
	"listCalendarLinks": bench(Self),
	"makeCalendarLink":  bench(Self),
	"stopCalendarLink":  bench(Self),

	// files
	"getEstimateWorkbook": owner(),
	"exportJob":           owner(),
	"previewJobFile":      owner(),
	"importJob":           owner(),

	// quotes
	"issueQuote":       owner(),
	"getQuote":         owner(),
	"getQuoteDocument": owner(),
	"getQuoteWorkbook": owner(),
	"previewSelection": owner(),
	"withdrawQuote":    owner(),
	"recordDecision":   owner(),

	// bench
	"getToday":       bench(Always),
	"listBenchTasks": bench(Always),
	"startClock":     bench(Always),
	"switchClock":    bench(Always),
	"stopClock":      bench(Always),
	"listMyHours":    bench(Always),
	"logHours":       bench(Always),
	"correctHours":   bench(OwnEntry),

	// client
	"listClientJobs":         client(),
	"getClientJob":           client(),
	"getClientQuote":         client(),
	"getClientQuoteDocument": client(),
	"getClientQuoteWorkbook": client(),
	"previewQuote":           client(),
	"decideQuote":            client(),

	// frame and findings
	"listFrameLayouts":    owner(),
	"getFrame":            bench(Always),
	"getInspectionReport": owner(),
	"getJobCard":          bench(Always),
	"layFrame":            owner(),
	"addZone":             owner(),
	"changeZone":          owner(),
	"removeZone":          owner(),
	"observe":             bench(Always),
	"voidObservation":     owner(),
	"addPhoto":            bench(Always),
	"getPhoto":            {{domain.Owner, Always}, {domain.Technician, Always}, {domain.Client, OwnJob}},
	"listFindings":        bench(Always),
	"reportFinding":       bench(Always),
	"changeFinding":       owner(),
	"dismissFinding":      owner(),
	"suggestRepairs":      bench(Always),

	// takeoff
	"getTakeoff":       owner(),
	"listTakeoffMoves": owner(),
	"changeMethods":    owner(),
	"followTakeoff":    owner(),
	"listRemainders":   owner(),
	"useRemainder":     owner(),
	"voidRemainder":    owner(),

	// change orders and consent
	"listOrders":          owner(),
	"addOrder":            owner(),
	"gatherFindings":      owner(),
	"orderOption":         owner(),
	"getOrder":            owner(),
	"changeOrder":         owner(),
	"previewOrder":        owner(),
	"sendOrder":           owner(),
	"withdrawOrder":       owner(),
	"recordOrderDecision": owner(),
	"answerAboutOrder":    owner(),
	"getOrderDocument":    owner(),
	"listRuleSets":        owner(),
	"getShopRules":        owner(),
	"changeShopRules":     owner(),
	"nameAuthoriser":      owner(),
	"listAuthorisers":     owner(),
	"endAuthoriser":       owner(),

	// money so far, letters
	"getJobMoney":        owner(),
	"overrideWatch":      owner(),
	"addPayment":         owner(),
	"voidPayment":        owner(),
	"noteSupply":         owner(),
	"getStopNowDocument": owner(),
	"listLetters":        owner(),
	"sendLetter":         owner(),
	"listMail":           owner(),
	"retryMail":          owner(),

	// judged points
	"listSheets":   owner(),
	"addSheet":     owner(),
	"getSheet":     owner(),
	"changeSheet":  owner(),
	"retireSheet":  owner(),
	"setJobSheet":  owner(),
	"getJobPoints": owner(),

	// what the client sees of it
	"getClientFrame":            client(),
	"getClientInspectionReport": client(),
	"listClientOrders":          client(),
	"getClientOrder":            client(),
	"previewClientOrder":        client(),
	"decideOrder":               client(),
	"askAboutOrder":             client(),
	"getClientOrderDocument":    client(),
	"getClientMoney":            client(),
	"getClientPoints":           client(),
	"listClientLetters":         client(),

	// calculations
	"listCalculations": bench(Always),
	"calculate":        bench(Always),
}

// Actions lists every action of the table, in no order.
func Actions() []Action {
	out := make([]Action, 0, len(table))
	for a := range table {
		out = append(out, a)
	}
	return out
}

// Public reports whether an action needs no session.
func Public(action Action) bool { return May(Nobody, action) }

// May reports whether a role is granted an action under any condition.
func May(role domain.Role, action Action) bool {
	_, ok := grant(role, action)
	return ok
}

func grant(role domain.Role, action Action) (Grant, bool) {
	for _, g := range table[action] {
		if g.Role == role {
			return g, true
		}
	}
	return Grant{}, false
}

// Allow fails with Unauthenticated when nobody is signed in, and with
// Forbidden when the actor's role has no grant.
func Allow(actor domain.Actor, action Action) error {
	if May(actor.Role, action) {
		return nil
	}
	if actor.Role == Nobody {
		return fault.New(fault.Unauthenticated, "sign-in-first", "Sign in first.")
	}
	return fault.New(fault.Forbidden, "not-for-this-role", "This is not for a %s.", actor.Role)
}

// Subject is what the condition looks at: whose job and whose entry it is.
type Subject struct {
	JobID    domain.ID
	ClientID domain.ID
	PersonID domain.ID
}

// AllowOn is Allow with the condition. A client who reaches for another's job
// gets NotFound, so that nothing is given away; a technician who reaches for
// another's entry gets Forbidden.
func AllowOn(actor domain.Actor, action Action, on Subject) error {
	if err := Allow(actor, action); err != nil {
		return err
	}
	g, _ := grant(actor.Role, action)
	switch g.Condition {
	case OwnJob:
		if on.ClientID != actor.PersonID || actor.OnlyJob != "" && actor.OnlyJob != on.JobID {
			return fault.New(fault.NotFound, "not-found", "There is no such thing here.")
		}
	case OwnEntry, Self:
		if on.PersonID != actor.PersonID {
			return fault.New(fault.Forbidden, "not-your-own", "This belongs to somebody else.")
		}
	}
	return nil
}

package command

import (
	"context"
	"encoding/json"
	"log/slog"

	"bareframe/api"
	"bareframe/internal/app"
	"bareframe/internal/store"
)

// relay hands events to the screens of this instance at once and to other
// instances through the store, in the background: a screen that hears late
// reads late, nothing more.
type relay struct {
	self  string // tells this instance's own notices from others'
	hub   *api.Hub
	queue chan []app.Event
	log   *slog.Logger
}

// relayed is one notice between instances.
type relayed struct {
	From   string      `json:"from"`
	Events []app.Event `json:"events"`
}

// mostQueued is how many batches may wait for the store; more are dropped and
// said so.
const mostQueued = 1024

func newRelay(hub *api.Hub, log *slog.Logger) *relay {
	return &relay{self: secret()[:16], hub: hub, queue: make(chan []app.Event, mostQueued), log: log}
}

// announce is what the use cases call after a commit.
func (r *relay) announce(events []app.Event) {
	r.hub.Publish(events)
	select {
	case r.queue <- events:
	default:
		r.log.Warn("too many events wait for other instances; some were dropped")
	}
}

// run sends and receives until ctx ends. With a store that has one instance
// only it empties the queue.
func (r *relay) run(ctx context.Context, st *store.Store) {
	go st.Listen(ctx, r.heard, r.hub.Reconnect)
	for {
		select {
		case <-ctx.Done():
			return
		case events := <-r.queue:
			if !st.Shared() {
				continue
			}
			body, err := json.Marshal(relayed{r.self, events})
			if err != nil || len(body) > store.MostNotice {
				r.log.Warn("events could not be sent to other instances", "error", err, "bytes", len(body))
				continue
			}
			if err := st.Broadcast(ctx, string(body)); err != nil {
				r.log.Warn("events could not be sent to other instances", "error", err)
			}
		}
	}
}

func (r *relay) heard(notice string) {
	var n relayed
	if err := json.Unmarshal([]byte(notice), &n); err != nil || n.From == r.self {
		return
	}
	r.hub.Publish(n.Events)
}

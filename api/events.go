package api

import (
	"encoding/json"
	"fmt"
	"net/http"
	"sync"
	"time"

	"github.com/gin-gonic/gin"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// Hub hands events to the open screens of a shop. A listener that does not
// keep up loses events and is told to read everything again.
type Hub struct {
	mu        sync.Mutex
	listeners map[*listener]struct{}
	taps      map[*func(app.Event)]struct{}
	closed    bool
}

type listener struct {
	actor  domain.Actor
	events chan app.Event
}

// listenerBuffer is how many events may wait for one screen.
const listenerBuffer = 64

// NewHub returns a hub without listeners.
func NewHub() *Hub {
	return &Hub{listeners: map[*listener]struct{}{}, taps: map[*func(app.Event)]struct{}{}}
}

// Publish hands events to everybody who may hear of them. It never blocks.
func (h *Hub) Publish(events []app.Event) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for tap := range h.taps {
		for _, e := range events {
			(*tap)(e)
		}
	}
	for l := range h.listeners {
		for _, e := range events {
			if !hears(l.actor, e) {
				continue
			}
			select {
			case l.events <- e:
			default: // full: drop the screen, it will connect and read again
				delete(h.listeners, l)
				close(l.events)
			}
			if _, still := h.listeners[l]; !still {
				break
			}
		}
	}
}

// Tap calls fn with every event until the returned function is called. fn must
// not block or call the hub.
func (h *Hub) Tap(fn func(app.Event)) (stop func()) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.taps[&fn] = struct{}{}
	return func() {
		h.mu.Lock()
		defer h.mu.Unlock()
		delete(h.taps, &fn)
	}
}

// hears says whether an event concerns an actor: a client hears of their own
// jobs only, nobody of another shop.
func hears(actor domain.Actor, e app.Event) bool {
	if actor.ShopID != e.ShopID {
		return false
	}
	if actor.Role != domain.Client {
		return true
	}
	return e.JobID != "" && e.ClientID == actor.PersonID && (actor.OnlyJob == "" || actor.OnlyJob == e.JobID)
}

// Reconnect ends every stream so that each screen connects and reads again: for
// when events may have been lost.
func (h *Hub) Reconnect() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.dropAll()
}

func (h *Hub) dropAll() {
	for l := range h.listeners {
		delete(h.listeners, l)
		close(l.events)
	}
}

// Close ends every stream, so that a graceful stop need not wait for them.
func (h *Hub) Close() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.closed = true
	h.dropAll()
}

func (h *Hub) listen(actor domain.Actor) *listener {
	l := &listener{actor: actor, events: make(chan app.Event, listenerBuffer)}
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.closed {
		close(l.events)
		return l
	}
	h.listeners[l] = struct{}{}
	return l
}

func (h *Hub) leave(l *listener) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if _, ok := h.listeners[l]; ok {
		delete(h.listeners, l)
		close(l.events)
	}
}

// heartbeat keeps proxies from closing a quiet stream, and ends the stream of
// a session that is over.
const heartbeat = 20 * time.Second

// streamEvents answers GET /api/events. It is registered by hand because the
// generated handlers do not flush.
func (w *web) streamEvents(c *gin.Context) {
	control := http.NewResponseController(c.Writer)
	_ = control.SetWriteDeadline(time.Time{}) // a stream has no end; not every writer knows deadlines
	c.Header("Content-Type", "text/event-stream")
	c.Header("Cache-Control", "no-store")
	c.Header("X-Accel-Buffering", "no")
	c.Status(http.StatusOK)
	l := w.server.hub.listen(actorOf(c))
	defer w.server.hub.leave(l)
	fmt.Fprint(c.Writer, "retry: 2000\nevent: ready\ndata: {}\n\n")
	c.Writer.Flush()
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	for {
		select {
		case <-c.Request.Context().Done():
			return
		case e, open := <-l.events:
			if !open {
				return
			}
			data, err := json.Marshal(map[string]string{"job": e.JobID, "what": e.What})
			if err != nil {
				return
			}
			fmt.Fprintf(c.Writer, "event: changed\ndata: %s\n\n", data)
		case <-beat.C:
			if !w.signedIn(c) {
				return
			}
			fmt.Fprint(c.Writer, ": still here\n\n")
		}
		c.Writer.Flush()
	}
}

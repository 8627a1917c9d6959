package api

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"io/fs"
	"log/slog"
	"net/http"
	"runtime/debug"
	"strings"
	"time"

	"github.com/gin-gonic/gin"
	"github.com/google/uuid"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/paper"
	"bareframe/internal/policy"
)

// Wiring is what the HTTP side is made of.
type Wiring struct {
	App            *app.App
	Hub            *Hub
	Contract       []byte // openapi.yaml
	Frontend       fs.FS
	Starting       Starting
	Version        string
	SecureCookies  bool
	TrustedProxies []string
	Press          bool // join and compress the frontend as well as can be, in the background; seconds of work
	Plain          bool // serve the frontend as it is written, so that an error's place can be found in it
	Log            *slog.Logger
}

// web is the engine with what its middleware needs.
type web struct {
	server   *Server
	contract *contract
	log      *slog.Logger
	origin   *http.CrossOriginProtection
	document string // security policy of a document
}

// Limits of a request body in bytes.
const (
	mostBody       = 1 << 20
	mostCalculated = 8 << 20
	mostUploaded   = 13 << 20 // above what a photo may have, so that it is refused as a photo
)

// joinsAfter is how long after the start the frontend is joined, which takes half a
// second of both cores: the first answers come before it.
const joinsAfter = time.Second / 2

// New returns the handler of everything: the contract's operations, the event
// stream and the static frontend.
func New(o Wiring) (http.Handler, error) {
	gin.SetMode(gin.ReleaseMode)
	k, err := readContract(o.Contract)
	if err != nil {
		return nil, err
	}
	w := &web{
		server:   &Server{app: o.App, version: o.Version, secure: o.SecureCookies, starting: o.Starting, hub: o.Hub},
		contract: k, log: o.Log, origin: http.NewCrossOriginProtection(),
		document: documentPolicy(),
	}
	engine := gin.New()
	engine.ContextWithFallback = true
	engine.HandleMethodNotAllowed = true
	if err := engine.SetTrustedProxies(o.TrustedProxies); err != nil {
		return nil, fmt.Errorf("trusted proxies: %w", err)
	}
	engine.Use(w.place, w.recover, w.logged, w.headers, w.sameOrigin, w.admitted, w.valid)
	engine.NoMethod(func(c *gin.Context) {
		writeProblemBody(c, http.StatusMethodNotAllowed, Problem{Type: problemBase + "method-not-allowed", Title: "Not this way", Detail: c.Request.Method + " is not possible here."})
	})
	static := newStatic(o.Frontend, o.Contract)
	static.plain = o.Plain
	if o.Press && !o.Plain {
		static.joining = make(chan struct{})
		go func() {
			time.Sleep(joinsAfter)
			static.joinAll(o.Log)
			debug.FreeOSMemory() // what joining took is not needed again
			static.press()
			debug.FreeOSMemory()
		}()
	}
	engine.NoRoute(func(c *gin.Context) {
		if strings.HasPrefix(c.Request.URL.Path, "/api/") || strings.HasPrefix(c.Request.URL.Path, calendarPath) {
			writeProblem(c, o.Log, fault.New(fault.NotFound, "not-found", "There is no such address."))
			return
		}
		static.serve(c)
	})
	handler := NewStrictHandlerWithOptions(w.server, nil, StrictGinServerOptions{
		RequestErrorHandlerFunc: func(c *gin.Context, err error) {
			writeProblem(c, o.Log, fault.New(fault.Invalid, "request-invalid", "The request body cannot be read as JSON.").Because(err))
		},
		HandlerErrorFunc: func(c *gin.Context, err error) { writeProblem(c, o.Log, err) },
		ResponseErrorHandlerFunc: func(c *gin.Context, err error) {
			if c.Request.Context().Err() == nil {
				writeProblem(c, o.Log, err)
			}
		},
	})
	RegisterHandlersWithOptions(engine, handler, GinServerOptions{ErrorHandler: func(c *gin.Context, err error, _ int) {
		writeProblem(c, o.Log, fault.New(fault.Invalid, "request-invalid", "A parameter of the request cannot be read.").Because(err))
	}})
	engine.GET("/api/events", w.streamEvents)
	return engine, nil
}

// place notes where a request comes from and gives it an identity.
func (w *web) place(c *gin.Context) {
	id := uuid.NewString()
	device := c.Request.UserAgent()
	if len(device) > 200 {
		device = device[:200]
	}
	place := app.Place{Address: c.ClientIP(), Device: strings.ToValidUTF8(device, ""), RequestID: id}
	c.Request = c.Request.WithContext(context.WithValue(c.Request.Context(), placeKey, place))
	c.Header("X-Request-Id", id)
}

// recover turns a panic into the bare answer of a failure.
func (w *web) recover(c *gin.Context) {
	defer func() {
		if r := recover(); r != nil {
			writeProblem(c, w.log, fmt.Errorf("panic: %v", r))
		}
	}()
	c.Next()
}

// logged writes one line a request: the route, never the address with its IDs.
func (w *web) logged(c *gin.Context) {
	start := time.Now()
	c.Next()
	actor := actorOf(c)
	w.log.LogAttrs(c.Request.Context(), slog.LevelDebug, "request", slog.String("method", c.Request.Method), slog.String("route", c.FullPath()),
		slog.Int("status", c.Writer.Status()), slog.Duration("took", time.Since(start)), slog.String("shop", actor.ShopID),
		slog.String("person", actor.PersonID), slog.String("request_id", placeOf(c).RequestID))
}

// pagePolicy is the security policy of everything but documents.
const pagePolicy = "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'; form-action 'self'"

// pdfPolicy lets a browser show a PDF with its own viewer and nothing else.
const pdfPolicy = "default-src 'none'; object-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'self'"

// documentPolicy allows the style sheets of documents by their hashes and the
// pictures inside them.
func documentPolicy() string {
	sum := sha256.Sum256([]byte(paper.StyleSheet()))
	styles := "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	for _, former := range paper.FormerStyles() {
		styles += " 'sha256-" + former + "'"
	}
	return "default-src 'none'; style-src " + styles + "; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'self'"
}

// isDocument reports whether a route answers with a document.
func isDocument(route string) bool {
	return strings.HasSuffix(route, "/document") || strings.HasSuffix(route, "/stop-now") || strings.HasSuffix(route, "/inspection-report") || strings.HasSuffix(route, "/job-card")
}

func (w *web) headers(c *gin.Context) {
	h := c.Writer.Header()
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Permissions-Policy", "geolocation=(), microphone=(), camera=(self)")
	policy := pagePolicy
	if isDocument(c.FullPath()) {
		policy = w.document
		if c.Query("as") == string(DocumentFormPdf) {
			policy = pdfPolicy
		}
	}
	h.Set("Content-Security-Policy", policy)
	if strings.HasPrefix(c.Request.URL.Path, "/api/") || strings.HasPrefix(c.Request.URL.Path, calendarPath) {
		h.Set("Cache-Control", "no-store")
	}
	if w.server.secure {
		h.Set("Strict-Transport-Security", "max-age=31536000")
	}
}

// sameOrigin refuses writes that another site's page sends.
func (w *web) sameOrigin(c *gin.Context) {
	if err := w.origin.Check(c.Request); err != nil {
		writeProblem(c, w.log, fault.New(fault.Forbidden, "cross-origin", "This request comes from another site's page.").Because(err))
	}
}

// admitted finds out who asks and refuses roles that the policy table does not
// grant the operation, before anything of the request is read.
func (w *web) admitted(c *gin.Context) {
	route := w.contract.operation(c)
	if route == nil {
		return
	}
	actor, err := w.authenticate(c)
	action := policy.Action(route.Operation.OperationID)
	if err != nil && !policy.Public(action) {
		writeProblem(c, w.log, err)
		return
	}
	if err := policy.Allow(actor, action); err != nil {
		writeProblem(c, w.log, err)
		return
	}
	c.Request = c.Request.WithContext(context.WithValue(c.Request.Context(), actorKey, actor))
}

// authenticate returns the actor of the session cookie, or nobody when there
// is none.
func (w *web) authenticate(c *gin.Context) (domain.Actor, error) {
	cookie, err := c.Request.Cookie(sessionCookie)
	if err != nil || cookie.Value == "" {
		return domain.Actor{}, nil
	}
	return w.server.app.Authenticate(c.Request.Context(), cookie.Value, placeOf(c))
}

// signedIn reports whether the session behind a long request still stands.
func (w *web) signedIn(c *gin.Context) bool {
	actor, err := w.authenticate(c)
	return err == nil && actor.Role != policy.Nobody
}

// valid bounds the body and holds the request against the contract.
func (w *web) valid(c *gin.Context) {
	route := w.contract.operation(c)
	if route == nil {
		return
	}
	limit := int64(mostBody)
	if route.Operation.OperationID == "calculate" {
		limit = mostCalculated
	}
	if streams(route) {
		limit = mostUploaded
		slowly(c)
	}
	if c.Request.ContentLength > limit {
		writeProblem(c, w.log, fault.New(fault.TooLarge, "body-too-large", "A request body here is at most %d bytes.", limit))
		return
	}
	c.Request.Body = http.MaxBytesReader(c.Writer, c.Request.Body, limit)
	if err := w.contract.validate(c, route); err != nil {
		writeProblem(c, w.log, err)
	}
}

// uploadTime is how long a photo may take to come over a bad network.
const uploadTime = 5 * time.Minute

// slowly gives an upload more time than the server's usual deadlines.
func slowly(c *gin.Context) {
	control := http.NewResponseController(c.Writer)
	_ = control.SetReadDeadline(time.Now().Add(uploadTime)) // not every writer knows deadlines
	_ = control.SetWriteDeadline(time.Now().Add(uploadTime + time.Minute))
}

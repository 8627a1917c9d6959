package api

import (
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"net/http"

	"github.com/gin-gonic/gin"

	"bareframe/internal/fault"
)

// problemBase is the stable prefix of every problem's type.
const problemBase = "urn:bareframe:problem:"

// answerOf says how a kind of refusal looks over HTTP. Only this table knows
// status codes.
var answerOf = map[fault.Kind]struct {
	status int
	title  string
}{
	fault.Invalid:             {http.StatusUnprocessableEntity, "The request cannot stand as it is"},
	fault.Unauthenticated:     {http.StatusUnauthorized, "Sign in first"},
	fault.Forbidden:           {http.StatusForbidden, "Not allowed"},
	fault.NotFound:            {http.StatusNotFound, "Not found"},
	fault.Conflict:            {http.StatusConflict, "Not possible as things stand"},
	fault.Stale:               {http.StatusPreconditionFailed, "Changed meanwhile"},
	fault.PreconditionMissing: {http.StatusPreconditionRequired, "Version missing"},
	fault.TooLarge:            {http.StatusRequestEntityTooLarge, "Too large"},
	fault.Throttled:           {http.StatusTooManyRequests, "Too many attempts"},
	fault.Unavailable:         {http.StatusServiceUnavailable, "Not available at the moment"},
}

// writeProblem answers with the problem document of an error and aborts. An
// error that is not a refusal is answered with a bare text; its cause goes to
// the log.
func writeProblem(c *gin.Context, log *slog.Logger, err error) {
	e := fault.As(err)
	if e == nil {
		if errors.Is(err, context.Canceled) {
			c.AbortWithStatus(http.StatusServiceUnavailable)
			return
		}
		log.ErrorContext(c.Request.Context(), "request failed", "error", err, "request_id", placeOf(c).RequestID, "route", c.FullPath())
		writeProblemBody(c, http.StatusInternalServerError, Problem{Type: problemBase + "internal", Title: "Something went wrong here",
			Detail: "Something went wrong on our side. Nothing was half done; try again, and tell the shop the number below if it stays so."})
		return
	}
	answer, known := answerOf[e.Kind]
	if !known {
		answer = answerOf[fault.Invalid]
	}
	if e.Kind == fault.Throttled || e.Kind == fault.Unavailable {
		c.Header("Retry-After", "20")
		log.WarnContext(c.Request.Context(), "refused", "code", e.Code, "error", err, "request_id", placeOf(c).RequestID)
	}
	p := Problem{Type: problemBase + e.Code, Title: answer.title, Detail: e.Detail, Evidence: evidenceView(e.Evidence)}
	if len(e.Fields) > 0 {
		fields := make([]FieldProblem, len(e.Fields))
		for i, f := range e.Fields {
			fields[i] = FieldProblem{Pointer: f.Pointer, Detail: f.Detail}
		}
		p.Errors = &fields
	}
	writeProblemBody(c, answer.status, p)
}

func writeProblemBody(c *gin.Context, status int, p Problem) {
	p.Status = status
	if id := placeOf(c).RequestID; id != "" {
		p.Instance = &id
	}
	body, err := json.Marshal(p)
	if err != nil { // evidence that cannot be shown must not hide the refusal
		p.Evidence = nil
		body, _ = json.Marshal(p)
	}
	c.Abort()
	if c.Writer.Written() {
		return
	}
	c.Data(status, "application/problem+json", body)
}

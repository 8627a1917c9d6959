package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"regexp"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/gin-gonic/gin"

	"bareframe/internal/fault"
)

// contract is openapi.yaml, read once, with its operations by method and route.
type contract struct {
	doc    *openapi3.T
	routes map[string]*routers.Route // by method and gin route
}

// readContract parses openapi.yaml.
func readContract(source []byte) (*contract, error) {
	doc, err := openapi3.NewLoader().LoadFromData(source)
	if err != nil {
		return nil, fmt.Errorf("reading openapi.yaml: %w", err)
	}
	c := &contract{doc: doc, routes: map[string]*routers.Route{}}
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			c.routes[method+" "+ginPath(path)] = &routers.Route{Spec: doc, Path: path, PathItem: item, Method: method, Operation: op}
		}
	}
	return c, nil
}

var pathParameter = regexp.MustCompile(`\{([^}]+)\}`)

// ginPath writes a path of the contract the way gin routes it.
func ginPath(path string) string { return pathParameter.ReplaceAllString(path, ":$1") }

// headOptions are filterOptions without the body.
var headOptions = &openapi3filter.Options{
	MultiError:         true,
	ExcludeRequestBody: true,
	AuthenticationFunc: openapi3filter.NoopAuthenticationFunc,
}

// operation returns the contract's operation of a request, or nil.
func (k *contract) operation(c *gin.Context) *routers.Route {
	return k.routes[c.Request.Method+" "+c.FullPath()]
}

var filterOptions = &openapi3filter.Options{
	MultiError:         true,
	AuthenticationFunc: openapi3filter.NoopAuthenticationFunc,
}

// streams reports whether an operation takes its body as it comes, not as JSON.
func streams(route *routers.Route) bool {
	body := route.Operation.RequestBody
	return body != nil && body.Value.Content.Get("application/json") == nil
}

// validate holds a request against the contract and names every value at fault.
// A body that is no JSON is left unread: it may be large, and who takes it
// judges it by its content.
func (k *contract) validate(c *gin.Context, route *routers.Route) error {
	options := filterOptions
	if streams(route) {
		options = headOptions
		if got, _, err := mime.ParseMediaType(c.GetHeader("Content-Type")); err != nil || route.Operation.RequestBody.Value.Content[got] == nil {
			return fault.InvalidField("request-invalid", "", "The body must be the file itself with the header Content-Type: application/octet-stream.")
		}
	}
	params := make(map[string]string, len(c.Params))
	for _, p := range c.Params {
		params[p.Key] = p.Value
	}
	err := openapi3filter.ValidateRequest(c.Request.Context(), &openapi3filter.RequestValidationInput{
		Request: c.Request, PathParams: params, Route: route, Options: options})
	if err == nil && streams(route) {
		return nil
	}
	if err == nil {
		return oneValue(c.Request)
	}
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		return fault.New(fault.TooLarge, "body-too-large", "A request body here is at most %d bytes.", tooLarge.Limit)
	}
	var found faults
	found.collect("", err)
	return found.refusal()
}

// oneValue refuses a body with text after its JSON value: the validator and the
// handlers read the first value only, and what nobody reads must not pass.
func oneValue(r *http.Request) error {
	if r.Body == nil || r.Body == http.NoBody {
		return nil
	}
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return err
	}
	r.Body = io.NopCloser(bytes.NewReader(body))
	if len(body) > 0 && !json.Valid(body) {
		return fault.InvalidField("request-invalid", "", "There is text after the JSON value.")
	}
	return nil
}

// faults gathers the values at fault from the validator's nested errors.
type faults struct {
	fields []fault.Field
	path   bool // a path parameter was at fault: there is no such thing
}

func (f *faults) refusal() error {
	if f.path {
		return fault.New(fault.NotFound, "not-found", "There is no such thing here.")
	}
	if len(f.fields) == 0 {
		return fault.New(fault.Invalid, "request-invalid", "The request does not fit the contract.")
	}
	return &fault.Error{Kind: fault.Invalid, Code: "request-invalid", Detail: f.fields[0].Detail, Fields: f.fields}
}

const mostFields = 50

func (f *faults) add(pointer, detail string) {
	if len(f.fields) < mostFields {
		f.fields = append(f.fields, fault.Field{Pointer: pointer, Detail: detail})
	}
}

// collect walks the validator's nested errors by their own types; at is where
// in the request the walk stands.
func (f *faults) collect(at string, err error) {
	switch e := err.(type) { //nolint:errorlint // each layer of the nesting is looked at by itself
	case openapi3.MultiError:
		for _, inner := range e {
			f.collect(at, inner)
		}
	case *openapi3filter.RequestError:
		f.request(e)
	case *openapi3.SchemaError:
		f.schema(at, e)
	default:
		f.unreadable(at, err)
	}
}

func (f *faults) request(e *openapi3filter.RequestError) {
	switch {
	case e.Parameter != nil && e.Parameter.In == openapi3.ParameterInPath:
		f.path = true
	case e.Parameter != nil:
		at := "/" + e.Parameter.In + "/" + e.Parameter.Name
		if e.Err == nil || errors.Is(e.Err, openapi3filter.ErrInvalidRequired) {
			f.add(at, e.Parameter.Name+" is missing.")
			return
		}
		f.collect(at, e.Err)
	case e.Err == nil:
		f.add("", "The body must be JSON with the header Content-Type: application/json.")
	default:
		f.collect("", e.Err)
	}
}

func (f *faults) schema(at string, e *openapi3.SchemaError) {
	if inner, ok := e.Origin.(openapi3.MultiError); ok { //nolint:errorlint // one layer at a time
		f.collect(at, inner)
		return
	}
	pointer := at
	for _, step := range e.JSONPointer() {
		pointer += "/" + strings.NewReplacer("~", "~0", "/", "~1").Replace(step)
	}
	f.add(pointer, inWords(e))
}

// inWords says what the schema wants. It quotes nothing of the value.
func inWords(e *openapi3.SchemaError) string {
	switch e.SchemaField {
	case "pattern":
		if e.Schema.Description != "" {
			return "Not in the form asked for: " + strings.TrimSuffix(e.Schema.Description, ".") + "."
		}
		return "Not in the form asked for; it must fit " + e.Schema.Pattern
	case "required":
		return "This is missing."
	case "properties":
		return "This field is not known here."
	case "enum":
		var choices []string
		for _, v := range e.Schema.Enum {
			choices = append(choices, fmt.Sprint(v))
		}
		return "One of: " + strings.Join(choices, ", ") + "."
	case "type":
		return "This must be a JSON " + strings.Join(e.Schema.Type.Slice(), " or ") + "."
	}
	reason := e.Reason
	if len(reason) > 200 {
		reason = reason[:200]
	}
	return strings.ToUpper(reason[:min(1, len(reason))]) + reason[min(1, len(reason)):] + "."
}

func (f *faults) unreadable(at string, err error) {
	var parse *openapi3filter.ParseError
	if errors.As(err, &parse) && parse.Reason != "" {
		f.add(at, "This cannot be read: "+parse.Reason+".")
		return
	}
	f.add(at, "This cannot be read as JSON.")
}

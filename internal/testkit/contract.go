package testkit

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"sort"
	"strings"
	"sync"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
)

// Contract is openapi.yaml as the tests hold answers against it. It is read
// apart from the program's own reading, and is stricter: an object bears no
// field that its schema does not name.
type Contract struct {
	Source     []byte
	Doc        *openapi3.T
	Operations []*Operation // by path, then method
}

// Operation is one operation of the contract.
type Operation struct {
	ID     string
	Method string
	Path   string // as in the contract, with {names}
	Spec   *openapi3.Operation
	Item   *openapi3.PathItem
	route  *routers.Route
	fits   *regexp.Regexp
	names  []string
}

var (
	contractOnce sync.Once
	contractKept *Contract
	contractErr  error
)

// ReadContract reads openapi.yaml once a test binary.
func ReadContract(t testing.TB) *Contract {
	t.Helper()
	root := Root(t)
	contractOnce.Do(func() { contractKept, contractErr = readContract(filepath.Join(root, "openapi.yaml")) })
	if contractErr != nil {
		t.Fatalf("reading the contract: %v", contractErr)
	}
	return contractKept
}

func readContract(file string) (*Contract, error) {
	openapi3filter.RegisterBodyDecoder("text/html", openapi3filter.PlainBodyDecoder)
	openapi3filter.RegisterBodyDecoder("text/calendar", openapi3filter.PlainBodyDecoder)
	openapi3filter.RegisterBodyDecoder("text/event-stream", openapi3filter.PlainBodyDecoder)
	openapi3filter.RegisterBodyDecoder("image/jpeg", openapi3filter.FileBodyDecoder)
	source, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	doc, err := openapi3.NewLoader().LoadFromData(source)
	if err != nil {
		return nil, err
	}
	seen := map[*openapi3.Schema]bool{}
	for _, s := range doc.Components.Schemas {
		closeObjects(s, seen)
	}
	k := &Contract{Source: source, Doc: doc}
	for path, item := range doc.Paths.Map() {
		for method, spec := range item.Operations() {
			k.Operations = append(k.Operations, newOperation(doc, path, method, item, spec))
		}
	}
	sort.Slice(k.Operations, func(i, j int) bool {
		a, b := k.Operations[i], k.Operations[j]
		return a.Path < b.Path || a.Path == b.Path && a.Method < b.Method
	})
	return k, nil
}

// closeObjects forbids fields that a schema does not name, all the way down.
func closeObjects(ref *openapi3.SchemaRef, seen map[*openapi3.Schema]bool) {
	if ref == nil || ref.Value == nil || seen[ref.Value] {
		return
	}
	s := ref.Value
	seen[s] = true
	if len(s.Properties) > 0 && s.AdditionalProperties.Has == nil && s.AdditionalProperties.Schema == nil {
		no := false
		s.AdditionalProperties.Has = &no
	}
	for _, p := range s.Properties {
		closeObjects(p, seen)
	}
	closeObjects(s.Items, seen)
	closeObjects(s.AdditionalProperties.Schema, seen)
}

var pathName = regexp.MustCompile(`\{([^}]+)\}`)

func newOperation(doc *openapi3.T, path, method string, item *openapi3.PathItem, spec *openapi3.Operation) *Operation {
	op := &Operation{ID: spec.OperationID, Method: method, Path: path, Spec: spec, Item: item,
		route: &routers.Route{Spec: doc, Path: path, PathItem: item, Method: method, Operation: spec}}
	for _, m := range pathName.FindAllStringSubmatch(path, -1) {
		op.names = append(op.names, m[1])
	}
	op.fits = regexp.MustCompile("^" + pathName.ReplaceAllString(path, `([^/]+)`) + "$")
	return op
}

// Operation returns the operation with an ID, or nil.
func (k *Contract) Operation(id string) *Operation {
	for _, op := range k.Operations {
		if op.ID == id {
			return op
		}
	}
	return nil
}

// Match returns the operation that a request is for and its path parameters,
// or nil. A path without parameters goes first.
func (k *Contract) Match(method, path string) (*Operation, map[string]string) {
	var best *Operation
	for _, op := range k.Operations {
		if op.Method == method && op.fits.MatchString(path) && (best == nil || len(op.names) < len(best.names)) {
			best = op
		}
	}
	if best == nil {
		return nil, nil
	}
	params := map[string]string{}
	for i, value := range best.fits.FindStringSubmatch(path)[1:] {
		params[best.names[i]] = value
	}
	return best, params
}

// Parameters lists the parameters of an operation, those of its path included.
func (op *Operation) Parameters() []*openapi3.Parameter {
	var out []*openapi3.Parameter
	for _, refs := range []openapi3.Parameters{op.Item.Parameters, op.Spec.Parameters} {
		for _, r := range refs {
			out = append(out, r.Value)
		}
	}
	return out
}

// Takes reports whether the operation has a header parameter of a name.
func (op *Operation) Takes(header string) bool {
	for _, p := range op.Parameters() {
		if p.In == openapi3.ParameterInHeader && strings.EqualFold(p.Name, header) {
			return true
		}
	}
	return false
}

// Example returns the example of the request body; ok is false when the
// operation takes none, has none.
func (op *Operation) Example() (value any, ok bool) {
	if op.Spec.RequestBody == nil {
		return nil, false
	}
	media := op.Spec.RequestBody.Value.Content.Get("application/json")
	if media == nil || media.Example == nil {
		return nil, false
	}
	return media.Example, true
}

// TakesFile reports whether the operation's body is a file and not JSON.
func (op *Operation) TakesFile() bool {
	return op.Spec.RequestBody != nil && op.Spec.RequestBody.Value.Content["application/json"] == nil
}

// answered holds an answer against the contract.
func (k *Contract) answered(op *Operation, params map[string]string, req *http.Request, res *http.Response, body []byte) error {
	if res.StatusCode < 300 && op.Spec.Responses.Status(res.StatusCode) == nil {
		return fmt.Errorf("%s does not name the status %d", op.ID, res.StatusCode)
	}
	if documented := op.Spec.Responses.Status(res.StatusCode); documented != nil && documented.Value != nil {
		for name := range documented.Value.Headers {
			if res.Header.Get(name) == "" {
				return fmt.Errorf("%s promises the header %s with %d; it is missing", op.ID, name, res.StatusCode)
			}
		}
		if len(documented.Value.Content) == 0 && len(body) > 0 {
			return fmt.Errorf("%s promises an empty body with %d", op.ID, res.StatusCode)
		}
	}
	return openapi3filter.ValidateResponse(context.Background(), &openapi3filter.ResponseValidationInput{
		RequestValidationInput: &openapi3filter.RequestValidationInput{Request: req, PathParams: params, Route: op.route},
		Status:                 res.StatusCode, Header: res.Header, Body: io.NopCloser(bytes.NewReader(body)),
		Options: &openapi3filter.Options{IncludeResponseStatus: true, MultiError: true},
	})
}

// asked holds a request that was answered well against the contract.
func (k *Contract) asked(op *Operation, params map[string]string, req *http.Request, body []byte) error {
	again := req.Clone(context.Background())
	again.Body = io.NopCloser(bytes.NewReader(body))
	err := openapi3filter.ValidateRequest(context.Background(), &openapi3filter.RequestValidationInput{
		Request: again, PathParams: params, Route: op.route,
		Options: &openapi3filter.Options{MultiError: true, AuthenticationFunc: openapi3filter.NoopAuthenticationFunc}})
	if err != nil {
		return errors.New("a request outside the contract was answered well: " + err.Error())
	}
	return nil
}

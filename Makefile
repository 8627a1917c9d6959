# Two commands matter: `make run` and `make test`. The rest serves them.
GO      ?= go
TAGS    := nomsgpack
VERSION := $(shell git describe --always --dirty 2>/dev/null || echo dev)
LDFLAGS := -X main.version=$(VERSION)
ADDR    ?= 127.0.0.1:8080

.PHONY: run build test bench generate format clean

## run: build, and serve the demo shop on an embedded SQLite file in ./data
run: build
	./bin/bareframe serve --demo --addr $(ADDR)

## build: one static binary, with Go alone
build:
	CGO_ENABLED=0 $(GO) build -tags $(TAGS) -ldflags '$(LDFLAGS)' -o bin/bareframe .

## test: set up and run everything; BAREFRAME_NO_SKIP=1 makes a skip a failure
test:
	@tools/test.sh

## bench: the budgets, each beside something measured in the same run
bench:
	@tools/bench.sh

## generate: server types and frontend types from openapi.yaml
generate:
	tools/generate.sh
	npm run --silent generate

format:
	gofmt -w main.go api internal seeds
	npm run --silent format

clean:
	rm -rf bin data node_modules

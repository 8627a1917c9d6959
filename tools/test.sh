#!/usr/bin/env bash
# Runs every check there is and says at the end what ran. What this machine
# cannot provide is skipped with a line that says what and how to get it; with
# BAREFRAME_NO_SKIP=1 a skip is a failure.
set -u
cd "$(dirname "$0")/.." || exit 1

tags=nomsgpack
passed=0 failed=0 skipped=0
report=""

step() { # name, command...
  local name=$1
  shift
  printf '\n== %s\n' "$name"
  local start=$SECONDS
  if "$@"; then
    passed=$((passed + 1))
    report+="  passed   $name ($((SECONDS - start)) s)"$'\n'
  else
    failed=$((failed + 1))
    report+="  FAILED   $name"$'\n'
  fi
}

skip() { # name, what is missing, how to get it
  if [ "${BAREFRAME_NO_SKIP:-}" = 1 ]; then
    printf '\n== %s\nFAILED: %s; skipping is forbidden here. %s\n' "$1" "$2" "$3"
    failed=$((failed + 1))
    report+="  FAILED   $1 (could not run: $2)"$'\n'
    return
  fi
  printf '\n== %s\n########## SKIPPED: %s. %s ##########\n' "$1" "$2" "$3"
  skipped=$((skipped + 1))
  report+="  SKIPPED  $1 ($2)"$'\n'
}

have() { command -v "$1" >/dev/null 2>&1; }

formatted() {
  local out
  out=$(gofmt -l main.go api internal seeds) || return 1
  [ -z "$out" ] || { printf 'gofmt would change:\n%s\n' "$out"; return 1; }
}

generated_server() {
  local kept
  kept=$(mktemp) || return 1
  cp api/openapi.gen.go "$kept" || return 1
  tools/generate.sh || return 1
  cmp -s api/openapi.gen.go "$kept" || { cp "$kept" api/openapi.gen.go; echo "api/openapi.gen.go does not follow openapi.yaml; run make generate"; return 1; }
}

generated_types() {
  local kept
  kept=$(mktemp) || return 1
  cp frontend/lib/api.d.ts "$kept" || return 1
  npm run --silent generate || return 1
  cmp -s frontend/lib/api.d.ts "$kept" || { cp "$kept" frontend/lib/api.d.ts; echo "frontend/lib/api.d.ts does not follow openapi.yaml; run make generate"; return 1; }
}

no_c_build() { CGO_ENABLED=0 go build -tags "$tags" -o bin/bareframe . && bin/bareframe version; }

# The fuzzers' seeds run with the tests; here each fuzzer searches a little.
fuzz_a_little() {
  local pkg name
  for pkg in $(go list ./...); do
    for name in $(env CGO_ENABLED=0 go test -tags "$tags" -list '^Fuzz' "$pkg" 2>/dev/null | grep '^Fuzz'); do
      echo "-- $name in $pkg"
      if ! env CGO_ENABLED=0 go test -tags "$tags" -run '^$' -fuzz "^$name\$" -fuzztime "${FUZZTIME:-5s}" "$pkg" >/tmp/bareframe-fuzz.$$ 2>&1; then
        # Go's fuzzer reports its own deadline as a failure when an input is under way at the end;
        # a true failure writes the input down.
        if grep -q 'Failing input' /tmp/bareframe-fuzz.$$ || ! grep -q 'context deadline exceeded' /tmp/bareframe-fuzz.$$; then
          cat /tmp/bareframe-fuzz.$$
          return 1
        fi
      fi
      tail -n 1 /tmp/bareframe-fuzz.$$
    done
  done
  rm -f /tmp/bareframe-fuzz.$$
}

chromium_path() {
  local c
  for c in "${CHROMIUM:-}" chromium chromium-browser google-chrome; do
    [ -n "$c" ] && have "$c" && { command -v "$c"; return; }
  done
  return 1
}

step "formatted" formatted
step "vet" env CGO_ENABLED=0 go vet -tags "$tags" ./...
step "builds without a C compiler" no_c_build
step "server types follow the contract" generated_server
if have cc || have gcc; then
  step "tests with the race detector, on SQLite" env CGO_ENABLED=1 BAREFRAME_TEST_POSTGRES= BAREFRAME_NO_SKIP= go test -tags "$tags" -race -timeout 40m ./...
else
  skip "race detector" "there is no C compiler" "Install gcc."
  step "tests, on SQLite" env CGO_ENABLED=0 BAREFRAME_NO_SKIP= go test -tags "$tags" -timeout 40m ./...
fi
if ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || have initdb; then
  step "store, use cases, API and two instances, on PostgreSQL" tools/postgres.sh env CGO_ENABLED=0 go test -tags "$tags" -count=1 -timeout 30m ./internal/store/... ./internal/app/... ./api/... ./internal/command/... ./internal/crash/...
else
  skip "PostgreSQL" "there is no PostgreSQL server" "On Debian: apt-get install postgresql."
fi
if have soffice; then
  step "tables and workbooks in LibreOffice" env CGO_ENABLED=0 go test -tags "$tags" -count=1 -run LibreOffice -timeout 10m ./internal/tabular ./internal/paper
else
  skip "tables and workbooks in LibreOffice" "there is no soffice" "On Debian: apt-get install libreoffice-calc-nogui."
fi
if have glpsol; then
  step "best sets of points and plans of a shop against GLPK" env CGO_ENABLED=0 go test -tags "$tags" -count=1 -run IntegerProgram -timeout 10m ./internal/points ./internal/levelling
else
  skip "best sets of points and plans of a shop against GLPK" "there is no glpsol" "On Debian: apt-get install glpk-utils."
fi
# Published data that is not ours to hand on: where it is, it is read; where it is not, that is said and no more.
published=${BAREFRAME_PSPLIB:-../shared/psplib}
if [ -d "$published" ]; then
  published=$(cd "$published" && pwd)
  step "published scheduling problems" env CGO_ENABLED=0 BAREFRAME_PSPLIB="$published" go test -tags "$tags" -count=1 -timeout 10m ./internal/psplib
else
  printf '\n== published scheduling problems\n########## NOT CHECKED: there is no %s. Put the instances of PSPLIB and ProGen/max into a folder and name it in BAREFRAME_PSPLIB. ##########\n' "$published"
  report+="  unread   published scheduling problems (no $published)"$'\n'
fi
step "fuzzers, a little" fuzz_a_little

if have node && have npm; then
  step "frontend packages" npm ci --no-audit --no-fund --silent
  step "frontend types follow the contract" generated_types
  step "contract is sound" npm run --silent contract
  step "frontend type check" npm run --silent check
  step "frontend lint" npm run --silent lint
  step "frontend unit tests" npm run --silent test
  if chromium=$(chromium_path); then
    step "whole story in a browser, axe on every screen" env CHROMIUM="$chromium" npm run --silent story
  else
    skip "browser tests" "there is no Chromium" "On Debian: apt-get install chromium."
  fi
else
  skip "frontend checks and browser tests" "there is no Node.js" "Install Node.js 20 or later with npm, for development only."
fi

printf '\nWhat ran:\n%s\nsteps: %d passed, %d failed, %d skipped\n' "$report" "$passed" "$failed" "$skipped"
[ "$failed" -eq 0 ]

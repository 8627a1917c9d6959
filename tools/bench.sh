#!/usr/bin/env bash
# Measures every budget beside something measured in the same run and prints one
# table; figures are medians of several runs. The load goes to 127.0.0.1 only.
#
#   tools/bench.sh            about five minutes
#   npm run opens             the screens with the demo's photographs alone, in a browser
#   BENCH_RUNS=1 tools/bench.sh   a quick look
#
# Measure on a machine that does nothing else: the server, the load and whatever
# else runs share its cores.
set -eu
cd "$(dirname "$0")/.."

runs=${BENCH_RUNS:-3}
tags=nomsgpack
dir=$(mktemp -d)
trap 'rm -rf "$dir"' EXIT

echo "building" >&2
CGO_ENABLED=0 go build -tags "$tags" -o "$dir/bareframe" .

bench() { # package, pattern, more arguments...
  local package=$1 pattern=$2
  shift 2
  echo "measuring $pattern in $package" >&2
  BAREFRAME_BINARY="$dir/bareframe" go test -tags "$tags" -run '^$' -bench "$pattern" -timeout 30m "$@" "$package" >>"$dir/out" || {
    cat "$dir/out" >&2
    exit 1
  }
}

state() { echo "$(date -u '+%Y-%m-%d %H:%M UTC'), $(nproc 2>/dev/null || getconf _NPROCESSORS_ONLN) cores, load average $(cut -d' ' -f1-3 /proc/loadavg 2>/dev/null || uptime | sed 's/.*averages*: //')"; }

before=$(state)
bench ./internal/network '^(BenchmarkCPM100k|BenchmarkMemoryWalk)$' -benchmem -count "$runs"
bench ./internal/pricing '^BenchmarkPrice500Lines$' -count "$runs"
bench ./internal/paper '^(BenchmarkQuotePDF200|BenchmarkQuoteHTML200)$' -count "$runs"
bench ./internal/takeoff '^BenchmarkWholeJobTakeoff$' -count "$runs"
bench ./seeds '^(BenchmarkTakenOff|BenchmarkTakenOffAndRuled)$' -count "$runs"
bench ./api '^(BenchmarkOrderEffect|BenchmarkOrderEffectOnFloor|BenchmarkJobPageHandler|BenchmarkTakeoffHandler|BenchmarkPointsHandler|BenchmarkTodayHandler)$' -count "$runs"
bench ./internal/levelling/project '^BenchmarkSchedules5000$' -count "$runs"
bench ./internal/levelling '^Benchmark(Shop|BusyShop|WhatIf|Explain|Follow)$' -benchtime 3x -benchmem
bench ./internal/load '^BenchmarkStatements$' -benchtime 1x
bench ./internal/load '^BenchmarkJobPage$' -benchtime 1x -count "$runs"
bench ./internal/load '^BenchmarkHoursEntry$' -benchtime 1x -count "$runs"
bench ./internal/load '^BenchmarkWriterHeld$' -benchtime 20x
bench ./internal/load '^BenchmarkColdStart$' -benchtime 1x
bench ./internal/load '^BenchmarkMemory$' -benchtime 1x

echo
echo "before: $before"
echo "after:  $(state)"
echo "medians of $runs runs; cold start: median of 10; memory: one run"
echo
go run -tags "$tags" ./internal/load/table <"$dir/out"

echo
echo "the floor of 30 jobs, 12 people and 8 stations by number of tasks and schedules: time, bytes, weighted days late"
grep -E '^Benchmark(Shop|BusyShop|WhatIf|Explain|Follow)/' "$dir/out"

published=${BAREFRAME_PSPLIB:-../shared/psplib}
if [ -d "$published" ]; then
  for set in j30 j120; do
    for schedules in ${BENCH_SCHEDULES:-1000 5000}; do
      echo
      echo "published projects $set, $schedules schedules each"
      "$dir/bareframe" psplib "$published/$set.sm.tar.gz" --schedules "$schedules" --best "$published/$set.best.csv" | grep '^#'
    done
  done
  for set in j10 j20 ubo10 ubo20 ubo50; do
    echo
    echo "published projects with maximum lags, $set, 5,000 schedules each"
    mkdir -p "$dir/lags"
    tar -xzf "$published/rcpspmax.sch.tar.gz" -C "$dir/lags"
    "$dir/bareframe" psplib "$(find "$dir/lags" -type d -name "$set" | head -n 1)" --schedules 5000 --best "$published/rcpspmax.best.csv" | grep '^#'
  done
else
  echo "not measured: published scheduling problems; put them into a folder and name it in BAREFRAME_PSPLIB"
fi

if command -v node >/dev/null && [ -d node_modules/playwright-core ] && [ -x "${CHROMIUM:-/usr/bin/chromium}" ]; then
  echo
  BAREFRAME_BIN="$dir/bareframe" RUNS=5 node frontend/tests/browser/opens.mjs
else
  echo "not measured: how long screens with photographs take to open; it wants Node.js, npm ci and Chromium"
fi

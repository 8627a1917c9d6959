#!/usr/bin/env bash
# Throws bytes at the request body of every operation of the contract, each for
# its own time: FUZZTIME=60s tools/fuzz.sh [operationId...]. Stops at the first
# answer that is a failure of ours.
set -euo pipefail
cd "$(dirname "$0")/.."
export CGO_ENABLED=0 # the C driver that the ORM can use would be compiled for nothing
operations=("$@")
if [ ${#operations[@]} -eq 0 ]; then
  mapfile -t operations < <(awk '$1 == "operationId:" { op = $2 } $1 == "requestBody:" { print op }' openapi.yaml)
fi
echo "${#operations[@]} operations, ${FUZZTIME:-60s} each"
for op in "${operations[@]}"; do
  printf '%-20s ' "$op"
  out=$(BAREFRAME_FUZZ_OPERATION=$op go test -tags nomsgpack -run '^$' -fuzz '^FuzzBodies$' -fuzztime "${FUZZTIME:-60s}" ./api 2>&1) || { echo FAILED; echo "$out"; exit 1; }
  echo "$out" | grep -oE 'execs: [0-9]+' | tail -n 1
done
echo "no operation failed"

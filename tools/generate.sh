#!/usr/bin/env bash
# Generates the server's types and handlers from openapi.yaml.
#
# The generator hands *gin.Context to the handlers as their context. gin takes
# that object back when the request ends and uses it for another, while
# database/sql and the SQLite driver may still ask the old one whether it is
# done: a data race that the race detector shows. So the handlers get the
# request's own context instead.
set -euo pipefail
cd "$(dirname "$0")/.."
go tool oapi-codegen -config api/oapi-codegen.yaml openapi.yaml
sed -i -E 's/(return sh\.ssi\.[A-Za-z]+)\(ctx, /\1(ctx.Request.Context(), /' api/openapi.gen.go
if grep -nE 'sh\.ssi\.[A-Za-z]+\(ctx,' api/openapi.gen.go; then
  echo "a handler still gets the pooled context" >&2
  exit 1
fi
# Answers are written into a buffer that the next one uses again (api/answer.go).
sed -i -E -e 's/^\tvar buf bytes\.Buffer$/\tbuf := takeAnswer()\n\tdefer buf.done()/' -e 's/json\.NewEncoder\(&buf\)/json.NewEncoder(buf)/' \
  -e '/^\t"bytes"$/d' api/openapi.gen.go
if grep -nE '\bbytes\.Buffer\b' api/openapi.gen.go; then
  echo "an answer still gets a buffer of its own" >&2
  exit 1
fi

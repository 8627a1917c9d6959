#!/bin/sh
# Runs a command beside a throw-away PostgreSQL server.
#
#   tools/postgres.sh go test ./internal/store/...
#
# The command finds the server's URL in BAREFRAME_TEST_POSTGRES. Server and data
# are gone afterwards; the exit code is the command's. Exit code 3: no
# PostgreSQL is installed. Needs the Debian package postgresql, and nothing of
# it running: the server listens on a socket in a temporary folder only. It does
# not wait for the disk, so it is fit for tests, not for measuring.
set -eu

if [ $# -eq 0 ]; then
    echo "usage: tools/postgres.sh COMMAND [ARGUMENT...]" >&2
    exit 2
fi

bin=""
for candidate in $(ls -d /usr/lib/postgresql/*/bin 2>/dev/null | sort -t/ -k5 -n -r) \
    "$(dirname "$(command -v initdb 2>/dev/null || echo /none/initdb)")"; do
    if [ -x "$candidate/initdb" ] && [ -x "$candidate/pg_ctl" ]; then
        bin=$candidate
        break
    fi
done
if [ -z "$bin" ]; then
    echo "tools/postgres.sh: no PostgreSQL server is installed; apt-get install postgresql" >&2
    exit 3
fi

dir=$(mktemp -d /tmp/bareframe-pg.XXXXXX) # a short path, as the name of a socket must be
chmod 755 "$dir"
mkdir "$dir/data" "$dir/run"

# The server refuses to run as root, so root hands it to a system user.
user=$(id -un)
as() { "$@"; }
if [ "$(id -u)" -eq 0 ]; then
    user=postgres
    id -u "$user" >/dev/null 2>&1 || user=nobody
    chown "$user" "$dir/data" "$dir/run"
    as() { setpriv --reuid "$user" --regid "$(id -g "$user")" --clear-groups "$@"; }
fi

stop() {
    as "$bin/pg_ctl" -D "$dir/data" -m immediate -w stop >/dev/null 2>&1 || true
    rm -rf "$dir"
}
trap stop EXIT
trap 'exit 129' HUP
trap 'exit 130' INT
trap 'exit 143' TERM

cd "$dir" # a folder that the server's user may enter
fail() {
    echo "tools/postgres.sh: $1" >&2
    cat "$dir/run/log" >&2 2>/dev/null || true
    exit 1
}
as "$bin/initdb" -D "$dir/data" -U bareframe -A trust -E UTF8 --locale=C.UTF-8 --no-sync >"$dir/init.log" 2>&1 || {
    cat "$dir/init.log" >&2
    fail "initdb failed"
}
as "$bin/pg_ctl" -D "$dir/data" -l "$dir/run/log" -w -t 60 \
    -o "-c listen_addresses='' -c unix_socket_directories='$dir/run' -c max_connections=200 -c fsync=off -c full_page_writes=off" start >/dev/null ||
    fail "the server did not start"
cd "$OLDPWD"

BAREFRAME_TEST_POSTGRES="postgres://bareframe@/postgres?host=$dir/run&sslmode=disable"
export BAREFRAME_TEST_POSTGRES
code=0
"$@" || code=$?
exit "$code"

-- Shops, people, and how they get in.
-- Text that is ordered is ordered byte by byte, as in Go.

-- +goose Up
CREATE TABLE shops (
    shop_id            TEXT COLLATE "C" PRIMARY KEY NOT NULL,
    version            INTEGER NOT NULL,
    created_at         TIMESTAMPTZ NOT NULL,
    demo               BOOLEAN NOT NULL,
    settings           TEXT NOT NULL,
    calendar_version   INTEGER NOT NULL,
    calendar           TEXT NOT NULL,
    price_book_version INTEGER NOT NULL,
    price_book         TEXT NOT NULL,
    last_job_number    INTEGER NOT NULL
);

CREATE TABLE people (
    shop_id       TEXT COLLATE "C" NOT NULL REFERENCES shops (shop_id),
    id            TEXT COLLATE "C" NOT NULL,
    version       INTEGER NOT NULL,
    name          TEXT NOT NULL,
    sort_name     TEXT COLLATE "C" NOT NULL,
    email         TEXT NOT NULL,
    phone         TEXT NOT NULL,
    role          TEXT NOT NULL CONSTRAINT people_role CHECK (role IN ('owner', 'technician', 'client')),
    skills        TEXT NOT NULL,
    cost_rate     NUMERIC(24, 6) NOT NULL,
    active        BOOLEAN NOT NULL,
    password_hash TEXT NOT NULL,
    sign_in_email TEXT,
    created_at    TIMESTAMPTZ NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT people_sign_in CHECK ((password_hash = '') = (sign_in_email IS NULL))
);
CREATE INDEX people_by_name ON people (shop_id, sort_name, id);
CREATE INDEX people_by_role ON people (shop_id, role, sort_name, id);
-- Before anybody is signed in no shop is known.
CREATE UNIQUE INDEX people_sign_in_email ON people (sign_in_email) WHERE sign_in_email IS NOT NULL;

CREATE TABLE templates (
    shop_id TEXT COLLATE "C" NOT NULL REFERENCES shops (shop_id),
    id      TEXT COLLATE "C" NOT NULL,
    version INTEGER NOT NULL,
    key     TEXT NOT NULL,
    sort_name TEXT COLLATE "C" NOT NULL,
    plan    TEXT NOT NULL,
    PRIMARY KEY (shop_id, id)
);

-- Tables that are append-only refuse through this; its argument says why.
-- +goose StatementBegin
CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'append-only: %', TG_ARGV[0];
END;
$$;
-- +goose StatementEnd

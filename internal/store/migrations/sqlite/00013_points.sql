-- A shop's own judging sheets, each version kept, and the version that a job is
-- judged by.

-- +goose Up
CREATE TABLE sheets (
    shop_id    TEXT NOT NULL REFERENCES shops (shop_id),
    id         TEXT NOT NULL,
    version    INTEGER NOT NULL,
    sort_name  TEXT NOT NULL,
    retired_at TIMESTAMP,
    PRIMARY KEY (shop_id, id)
);

CREATE TABLE sheet_versions (
    shop_id  TEXT NOT NULL,
    sheet_id TEXT NOT NULL,
    version  INTEGER NOT NULL,
    plan     TEXT NOT NULL,
    made_at  TIMESTAMP NOT NULL,
    made_by  TEXT NOT NULL,
    PRIMARY KEY (shop_id, sheet_id, version),
    CONSTRAINT sheet_versions_sheet FOREIGN KEY (shop_id, sheet_id) REFERENCES sheets (shop_id, id)
);

ALTER TABLE jobs ADD COLUMN sheet_id TEXT;
ALTER TABLE jobs ADD COLUMN sheet_version INTEGER NOT NULL DEFAULT 0;
CREATE INDEX jobs_of_sheet ON jobs (shop_id, sheet_id, sheet_version);

-- +goose StatementBegin
CREATE TRIGGER sheet_versions_fixed BEFORE UPDATE ON sheet_versions
BEGIN
    SELECT RAISE(ABORT, 'append-only: a version of a sheet is not changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER sheet_versions_kept BEFORE DELETE ON sheet_versions
BEGIN
    SELECT RAISE(ABORT, 'append-only: a version of a sheet is not deleted');
END;
-- +goose StatementEnd

-- A shop's own judging sheets, each version kept, and the version that a job is
-- judged by.

-- +goose Up
CREATE TABLE sheets (
    shop_id    TEXT COLLATE "C" NOT NULL REFERENCES shops (shop_id),
    id         TEXT COLLATE "C" NOT NULL,
    version    INTEGER NOT NULL,
    sort_name  TEXT COLLATE "C" NOT NULL,
    retired_at TIMESTAMPTZ,
    PRIMARY KEY (shop_id, id)
);

CREATE TABLE sheet_versions (
    shop_id  TEXT COLLATE "C" NOT NULL,
    sheet_id TEXT COLLATE "C" NOT NULL,
    version  INTEGER NOT NULL,
    plan     TEXT NOT NULL,
    made_at  TIMESTAMPTZ NOT NULL,
    made_by  TEXT NOT NULL,
    PRIMARY KEY (shop_id, sheet_id, version),
    CONSTRAINT sheet_versions_sheet FOREIGN KEY (shop_id, sheet_id) REFERENCES sheets (shop_id, id)
);

ALTER TABLE jobs ADD COLUMN sheet_id TEXT COLLATE "C";
ALTER TABLE jobs ADD COLUMN sheet_version INTEGER NOT NULL DEFAULT 0;
CREATE INDEX jobs_of_sheet ON jobs (shop_id, sheet_id, sheet_version);

CREATE TRIGGER sheet_versions_fixed BEFORE UPDATE ON sheet_versions
FOR EACH ROW EXECUTE FUNCTION refuse_change('a version of a sheet is not changed');
CREATE TRIGGER sheet_versions_kept BEFORE DELETE ON sheet_versions
FOR EACH ROW EXECUTE FUNCTION refuse_change('a version of a sheet is not deleted');
CREATE TRIGGER sheet_versions_not_emptied BEFORE TRUNCATE ON sheet_versions
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a version of a sheet is not deleted');

-- Private links by which a calendar reads what the agreed plan holds for a person, a
-- station or a job. Only the hash of a link's secret is stored. Each has one at a time.

-- +goose Up
CREATE TABLE calendar_links (
    shop_id      TEXT COLLATE "C" NOT NULL,
    id           TEXT COLLATE "C" NOT NULL,
    kind         TEXT NOT NULL,
    person_id    TEXT COLLATE "C",
    station      TEXT,
    job_id       TEXT COLLATE "C",
    token_hash   TEXT NOT NULL,
    created_at   TIMESTAMPTZ NOT NULL,
    created_by   TEXT NOT NULL,
    revoked_at   TIMESTAMPTZ,
    last_read_at TIMESTAMPTZ,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT calendar_links_of CHECK (
        kind = 'person' AND person_id IS NOT NULL AND station IS NULL AND job_id IS NULL
        OR kind = 'station' AND person_id IS NULL AND station IS NOT NULL AND job_id IS NULL
        OR kind = 'job' AND person_id IS NULL AND station IS NULL AND job_id IS NOT NULL),
    CONSTRAINT calendar_links_person FOREIGN KEY (shop_id, person_id) REFERENCES people (shop_id, id),
    CONSTRAINT calendar_links_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE UNIQUE INDEX calendar_links_live_person ON calendar_links (shop_id, person_id) WHERE revoked_at IS NULL;
CREATE UNIQUE INDEX calendar_links_live_station ON calendar_links (shop_id, station) WHERE revoked_at IS NULL;
CREATE UNIQUE INDEX calendar_links_live_job ON calendar_links (shop_id, job_id) WHERE revoked_at IS NULL;
CREATE INDEX calendar_links_in_order ON calendar_links (shop_id, created_at);
-- A calendar knows no shop.
CREATE UNIQUE INDEX calendar_links_token ON calendar_links (token_hash);

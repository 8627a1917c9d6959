-- Private links and sessions. Only hashes of their secrets are stored.

-- +goose Up
CREATE TABLE private_links (
    shop_id      TEXT NOT NULL,
    id           TEXT NOT NULL,
    person_id    TEXT NOT NULL,
    purpose      TEXT NOT NULL CONSTRAINT private_links_purpose CHECK (purpose IN ('invitation', 'client')),
    only_job     TEXT,
    token_hash   TEXT NOT NULL,
    created_at   TIMESTAMP NOT NULL,
    expires_at   TIMESTAMP NOT NULL,
    revoked_at   TIMESTAMP,
    last_used_at TIMESTAMP,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT private_links_person FOREIGN KEY (shop_id, person_id) REFERENCES people (shop_id, id),
    CONSTRAINT private_links_job FOREIGN KEY (shop_id, only_job) REFERENCES jobs (shop_id, id)
);
CREATE INDEX private_links_of_person ON private_links (shop_id, person_id, created_at);
-- Before anybody is signed in no shop is known.
CREATE UNIQUE INDEX private_links_token ON private_links (token_hash);

CREATE TABLE sessions (
    shop_id      TEXT NOT NULL,
    id           TEXT NOT NULL,
    person_id    TEXT NOT NULL,
    link_id      TEXT,
    only_job     TEXT,
    token_hash   TEXT NOT NULL,
    device       TEXT NOT NULL,
    created_at   TIMESTAMP NOT NULL,
    last_seen_at TIMESTAMP NOT NULL,
    expires_at   TIMESTAMP NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT sessions_person FOREIGN KEY (shop_id, person_id) REFERENCES people (shop_id, id),
    CONSTRAINT sessions_link FOREIGN KEY (shop_id, link_id) REFERENCES private_links (shop_id, id),
    CONSTRAINT sessions_job FOREIGN KEY (shop_id, only_job) REFERENCES jobs (shop_id, id)
);
CREATE INDEX sessions_of_person ON sessions (shop_id, person_id, created_at);
-- Before anybody is signed in no shop is known.
CREATE UNIQUE INDEX sessions_token ON sessions (token_hash);
CREATE UNIQUE INDEX sessions_id ON sessions (id);

-- What a retried write is answered with. The actor may be the console.
CREATE TABLE answers (
    shop_id      TEXT NOT NULL REFERENCES shops (shop_id),
    actor_id     TEXT NOT NULL,
    key          TEXT NOT NULL,
    operation    TEXT NOT NULL,
    request_hash TEXT NOT NULL,
    body         BLOB NOT NULL,
    answered_at  TIMESTAMP NOT NULL,
    PRIMARY KEY (shop_id, actor_id, key)
);

-- The price book row by row, each with the days it holds, and the row that a
-- line was made from.

-- +goose Up
CREATE TABLE prices (
    shop_id    TEXT NOT NULL REFERENCES shops (shop_id),
    kind       TEXT NOT NULL CONSTRAINT prices_kind CHECK (kind IN ('labour', 'material', 'vendor')),
    key        TEXT NOT NULL,
    valid_from TEXT NOT NULL,
    position   INTEGER NOT NULL,
    body       TEXT NOT NULL,
    PRIMARY KEY (shop_id, kind, key, valid_from)
);

INSERT INTO prices (shop_id, kind, key, valid_from, position, body)
SELECT s.shop_id, 'labour', r.value ->> '$.skill', '', r.key, r.value
FROM shops s, json_each(s.price_book, '$.labour') r;

INSERT INTO prices (shop_id, kind, key, valid_from, position, body)
SELECT s.shop_id, 'material', r.value ->> '$.key', '', r.key, r.value
FROM shops s, json_each(s.price_book, '$.materials') r;

ALTER TABLE shops DROP COLUMN price_book;
ALTER TABLE lines ADD COLUMN price_item TEXT NOT NULL DEFAULT '';

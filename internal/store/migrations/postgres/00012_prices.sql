-- The price book row by row, each with the days it holds, and the row that a
-- line was made from.

-- +goose Up
CREATE TABLE prices (
    shop_id    TEXT COLLATE "C" NOT NULL REFERENCES shops (shop_id),
    kind       TEXT COLLATE "C" NOT NULL CONSTRAINT prices_kind CHECK (kind IN ('labour', 'material', 'vendor')),
    key        TEXT COLLATE "C" NOT NULL,
    valid_from TEXT COLLATE "C" NOT NULL,
    position   INTEGER NOT NULL,
    body       TEXT NOT NULL,
    PRIMARY KEY (shop_id, kind, key, valid_from)
);

INSERT INTO prices (shop_id, kind, key, valid_from, position, body)
SELECT s.shop_id, 'labour', r.value ->> 'skill', '', r.place - 1, r.value::text
FROM shops s, json_array_elements(s.price_book::json -> 'labour') WITH ORDINALITY AS r (value, place);

INSERT INTO prices (shop_id, kind, key, valid_from, position, body)
SELECT s.shop_id, 'material', r.value ->> 'key', '', r.place - 1, r.value::text
FROM shops s, json_array_elements(s.price_book::json -> 'materials') WITH ORDINALITY AS r (value, place);

ALTER TABLE shops DROP COLUMN price_book;
ALTER TABLE lines ADD COLUMN price_item TEXT NOT NULL DEFAULT '';

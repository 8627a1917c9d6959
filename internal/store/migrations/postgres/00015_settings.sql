-- The rate of exchange that a job was made at, with its day, and the shop's opening
-- of an order as it was sent. Texts, currencies and the gates of draws are part of
-- the shop's settings.

-- +goose Up
ALTER TABLE jobs ADD COLUMN exchange_rate NUMERIC(24, 6) NOT NULL DEFAULT 1;
ALTER TABLE jobs ADD COLUMN rate_on TEXT NOT NULL DEFAULT '';
ALTER TABLE change_orders ADD COLUMN opening TEXT NOT NULL DEFAULT '';

CREATE TRIGGER change_orders_opening BEFORE UPDATE OF opening ON change_orders
FOR EACH ROW WHEN (OLD.state <> 'draft' AND NEW.opening IS DISTINCT FROM OLD.opening)
EXECUTE FUNCTION refuse_change('an order that was sent is not changed');
CREATE TRIGGER jobs_rate BEFORE UPDATE OF currency, exchange_rate, rate_on ON jobs
FOR EACH ROW WHEN (NEW.currency IS DISTINCT FROM OLD.currency OR NEW.exchange_rate IS DISTINCT FROM OLD.exchange_rate OR NEW.rate_on IS DISTINCT FROM OLD.rate_on)
EXECUTE FUNCTION refuse_change('a job stays in its currency');

-- A plan of a large shop takes most of a megabyte and one is made after every few
-- entries. What a plan said in full may be let go once it does not hold any more; that it
-- was made, from what, and who decided on it stays.

-- +goose Up
DROP TRIGGER shop_plans_made ON shop_plans;
CREATE TRIGGER shop_plans_made BEFORE UPDATE OF shop_id, id, revision, made_at, made_by, cause, facts, seed, schedules, status, late, bound ON shop_plans
FOR EACH ROW
EXECUTE FUNCTION refuse_change('a plan is not changed');
CREATE TRIGGER shop_plans_said BEFORE UPDATE OF body ON shop_plans
FOR EACH ROW WHEN (NEW.body <> '' OR OLD.state = 'proposed')
EXECUTE FUNCTION refuse_change('what a plan said is not changed');

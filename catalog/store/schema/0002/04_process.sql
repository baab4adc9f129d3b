-- What an item went through is read from this index alone.
DROP INDEX step_item_item;
CREATE INDEX step_item_item ON step_item(item, step, joined, left_at);

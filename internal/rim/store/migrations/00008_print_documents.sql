-- What a print was made from, so that the next one can show what has changed since. Empty for prints of before.

-- +goose Up
ALTER TABLE prints ADD COLUMN document TEXT NOT NULL DEFAULT '';

-- +goose Down
ALTER TABLE prints DROP COLUMN document;

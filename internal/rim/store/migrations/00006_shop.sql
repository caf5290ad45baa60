-- The shop's own lists with their history, and what the week reads of each job without planning it.

-- +goose Up
CREATE TABLE shop (
    id         TEXT PRIMARY KEY,
    document   TEXT NOT NULL,
    revision   BIGINT NOT NULL,
    changed    BIGINT NOT NULL
);

CREATE TABLE shop_history (
    shop      TEXT NOT NULL REFERENCES shop (id) ON DELETE CASCADE,
    revision  BIGINT NOT NULL,
    place     BIGINT NOT NULL,
    change    TEXT NOT NULL,
    field     TEXT NOT NULL,
    was       TEXT NOT NULL,
    now       TEXT NOT NULL,
    step      TEXT NOT NULL,
    said_by   TEXT NOT NULL,
    received  BIGINT NOT NULL,
    PRIMARY KEY (shop, revision, place)
);

ALTER TABLE jobs ADD COLUMN crew TEXT NOT NULL DEFAULT '';
ALTER TABLE jobs ADD COLUMN quoted_on TEXT NOT NULL DEFAULT '';
ALTER TABLE jobs ADD COLUMN accepted_on TEXT NOT NULL DEFAULT '';
ALTER TABLE jobs ADD COLUMN declined_on TEXT NOT NULL DEFAULT '';
ALTER TABLE jobs ADD COLUMN ready_on TEXT NOT NULL DEFAULT '';
ALTER TABLE jobs ADD COLUMN summary TEXT NOT NULL DEFAULT '';
CREATE INDEX jobs_by_ready ON jobs (ready_on);
CREATE INDEX jobs_by_quote ON jobs (quoted_on);
CREATE INDEX changes_by_time ON changes (received);
CREATE INDEX jobs_by_creation ON jobs (created);

-- +goose Down
DROP INDEX jobs_by_creation;
DROP INDEX changes_by_time;
DROP INDEX jobs_by_quote;
DROP INDEX jobs_by_ready;
ALTER TABLE jobs DROP COLUMN summary;
ALTER TABLE jobs DROP COLUMN ready_on;
ALTER TABLE jobs DROP COLUMN declined_on;
ALTER TABLE jobs DROP COLUMN accepted_on;
ALTER TABLE jobs DROP COLUMN quoted_on;
ALTER TABLE jobs DROP COLUMN crew;
DROP TABLE shop_history;
DROP TABLE shop;

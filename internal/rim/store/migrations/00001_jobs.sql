-- Types in the subset that SQLite and PostgreSQL share: times are microseconds since 1970, documents are JSON as text.

-- +goose Up
CREATE TABLE jobs (
    id           TEXT PRIMARY KEY,
    document     TEXT NOT NULL,
    revision     BIGINT NOT NULL,
    base         BIGINT NOT NULL,
    title        TEXT NOT NULL,
    number       TEXT NOT NULL,
    address      TEXT NOT NULL,
    pour_date    TEXT NOT NULL,
    created      BIGINT NOT NULL,
    changed      BIGINT NOT NULL,
    changed_by   TEXT NOT NULL,
    binned       BIGINT,
    yards        TEXT NOT NULL,
    verdict      TEXT NOT NULL,
    trust        TEXT NOT NULL,
    summary_of   BIGINT NOT NULL
);
CREATE INDEX jobs_by_change ON jobs (changed, id);

CREATE TABLE changes (
    job       TEXT NOT NULL REFERENCES jobs (id) ON DELETE CASCADE,
    id        TEXT NOT NULL,
    revision  BIGINT NOT NULL,
    said_at   TEXT NOT NULL,
    said_by   TEXT NOT NULL,
    device    TEXT NOT NULL,
    step      TEXT NOT NULL,
    undoes    TEXT NOT NULL,
    sets      TEXT NOT NULL,
    answer    TEXT NOT NULL,
    received  BIGINT NOT NULL,
    PRIMARY KEY (job, id)
);
CREATE UNIQUE INDEX changes_by_revision ON changes (job, revision);

CREATE TABLE heads (
    job      TEXT NOT NULL REFERENCES jobs (id) ON DELETE CASCADE,
    field    TEXT NOT NULL,
    place    BIGINT NOT NULL,
    pointer  TEXT NOT NULL,
    device   TEXT NOT NULL,
    value    TEXT NOT NULL,
    origin   TEXT NOT NULL,
    revision BIGINT NOT NULL,
    ordinal  BIGINT NOT NULL,
    stands   BIGINT NOT NULL,
    PRIMARY KEY (job, field, place)
);

CREATE TABLE attachments (
    job     TEXT NOT NULL REFERENCES jobs (id) ON DELETE CASCADE,
    name    TEXT NOT NULL,
    media   TEXT NOT NULL,
    bytes   BYTEA NOT NULL,
    version TEXT NOT NULL,
    changed BIGINT NOT NULL,
    PRIMARY KEY (job, name)
);

CREATE TABLE prints (
    job       TEXT NOT NULL REFERENCES jobs (id) ON DELETE CASCADE,
    number    BIGINT NOT NULL,
    revision  BIGINT NOT NULL,
    version   TEXT NOT NULL,
    printed   BIGINT NOT NULL,
    PRIMARY KEY (job, number)
);

-- +goose Down
DROP TABLE prints;
DROP TABLE attachments;
DROP TABLE heads;
DROP TABLE changes;
DROP TABLE jobs;

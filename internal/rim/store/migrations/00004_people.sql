-- Who may see what on a shared server. Secrets are kept as hashes only; times are microseconds since 1970.

-- +goose Up
CREATE TABLE people (
    id        TEXT PRIMARY KEY,
    name      TEXT NOT NULL,
    sign_in   TEXT NOT NULL UNIQUE,
    role      TEXT NOT NULL,
    hash      TEXT NOT NULL,
    disabled  BIGINT NOT NULL,
    made      BIGINT NOT NULL
);

CREATE TABLE crew_links (
    id       TEXT PRIMARY KEY,
    number   TEXT NOT NULL UNIQUE,
    name     TEXT NOT NULL,
    job      TEXT NOT NULL,
    crew     TEXT NOT NULL,
    token    TEXT NOT NULL UNIQUE,
    pin      TEXT NOT NULL,
    made     BIGINT NOT NULL,
    made_by  TEXT NOT NULL,
    ends     BIGINT NOT NULL,
    revoked  BIGINT
);

CREATE TABLE one_time_links (
    token    TEXT PRIMARY KEY,
    person   TEXT NOT NULL,
    made     BIGINT NOT NULL,
    ends     BIGINT NOT NULL,
    used     BIGINT
);

CREATE TABLE sessions (
    token    TEXT PRIMARY KEY,
    person   TEXT NOT NULL,
    link     TEXT NOT NULL,
    data     BYTEA NOT NULL,
    made     BIGINT NOT NULL,
    seen     BIGINT NOT NULL,
    ends     BIGINT NOT NULL,
    address  TEXT NOT NULL,
    agent    TEXT NOT NULL
);
CREATE INDEX sessions_by_person ON sessions (person);
CREATE INDEX sessions_by_link ON sessions (link);

CREATE TABLE attempts (
    about    TEXT PRIMARY KEY,
    failed   BIGINT NOT NULL,
    latest   BIGINT NOT NULL,
    until    BIGINT NOT NULL
);

CREATE TABLE audit (
    id       TEXT PRIMARY KEY,
    happened BIGINT NOT NULL,
    who      TEXT NOT NULL,
    person   TEXT NOT NULL,
    address  TEXT NOT NULL,
    what     TEXT NOT NULL,
    about    TEXT NOT NULL
);
CREATE INDEX audit_by_time ON audit (happened, id);

-- +goose Down
DROP TABLE audit;
DROP TABLE attempts;
DROP TABLE sessions;
DROP TABLE one_time_links;
DROP TABLE crew_links;
DROP TABLE people;

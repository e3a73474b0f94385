-- People who may sign in where the shop is served to more than its own machine. Secrets are kept as Argon2 makes them, of
-- tokens only a hash is kept. Times in seconds since 1970-01-01 UTC.
CREATE TABLE person (
    name     TEXT PRIMARY KEY CHECK (name <> ''),
    role     TEXT NOT NULL CHECK (role IN ('owner', 'adviser', 'reader')),
    secret   TEXT NOT NULL,
    made_at  INTEGER NOT NULL
) STRICT;

-- A link that lets somebody choose a password, once.
CREATE TABLE invitation (
    token      TEXT PRIMARY KEY,
    name       TEXT NOT NULL CHECK (name <> ''),
    role       TEXT NOT NULL CHECK (role IN ('owner', 'adviser', 'reader')),
    expires_at INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE session (
    token      TEXT PRIMARY KEY,
    person     TEXT NOT NULL REFERENCES person (name) ON DELETE CASCADE,
    expires_at INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- Who changed what, and who tried to sign in.
CREATE TABLE audit (
    id     INTEGER PRIMARY KEY,
    at     INTEGER NOT NULL,
    person TEXT NOT NULL,
    what   TEXT NOT NULL
) STRICT;

-- The hash of what an answer follows from: the same question is not kept twice. Ids do not follow from it.
ALTER TABLE desk ADD COLUMN identity TEXT;
CREATE UNIQUE INDEX desk_identity ON desk (identity) WHERE identity IS NOT NULL;

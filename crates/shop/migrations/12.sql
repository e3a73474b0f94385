-- Lessons that the shop has written itself, by name.
CREATE TABLE lesson (
    name    TEXT PRIMARY KEY,
    text    TEXT NOT NULL,
    kept_at INTEGER NOT NULL
) STRICT;

-- The desk's pages are as quick with a hundred thousand entries as with ten.
DROP INDEX entry_newest;
CREATE INDEX entry_newest ON entry (deleted, made_at DESC, number DESC);
CREATE INDEX entry_status ON entry (deleted, status, made_at DESC, number DESC);
CREATE INDEX entry_star ON entry (deleted, made_at DESC, number DESC) WHERE star = 1;

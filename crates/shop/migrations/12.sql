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
DROP INDEX entry_due;
CREATE INDEX entry_due ON entry (deleted, follow_up) WHERE follow_up IS NOT NULL;
CREATE INDEX entry_unmet ON entry (deleted, made_at DESC, number DESC) WHERE missed IS NOT NULL;

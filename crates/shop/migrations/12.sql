-- Lessons that the shop has written itself, by name.
CREATE TABLE lesson (
    name    TEXT PRIMARY KEY,
    text    TEXT NOT NULL,
    kept_at INTEGER NOT NULL
) STRICT;

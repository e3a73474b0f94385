-- Papers that were sent as a link, each as it stood: its page and its words, packed, and what it was made of, JSON. Times in seconds
-- since 1970-01-01 UTC.
CREATE TABLE sent_paper (
    id       TEXT PRIMARY KEY,
    -- The hash of what it was made of and of its words: the same is not kept twice.
    identity TEXT NOT NULL UNIQUE,
    title    TEXT NOT NULL,
    made_at  INTEGER NOT NULL,
    revision INTEGER NOT NULL,
    request  TEXT NOT NULL CHECK (json_valid(request)),
    words    BLOB NOT NULL,
    page     BLOB NOT NULL
) STRICT;

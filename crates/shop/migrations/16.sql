-- Pots, hooks, strips and the like, for which nothing is computed: the whole line as JSON.
CREATE TABLE goods (
    code  TEXT PRIMARY KEY CHECK (code <> ''),
    body  TEXT NOT NULL CHECK (json_valid(body)),
    -- Lower-case words that a search looks through.
    words TEXT NOT NULL
) STRICT;

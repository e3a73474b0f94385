-- What each column of a list holds, as somebody has said it, by the headings of the list; as JSON.
CREATE TABLE list_map (
    headings TEXT PRIMARY KEY,
    map      TEXT NOT NULL
) STRICT, WITHOUT ROWID;

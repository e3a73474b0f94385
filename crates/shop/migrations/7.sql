-- Quotations: every issue as it left, as the JSON text that the program made. made_at in seconds since 1970-01-01 UTC.
CREATE TABLE quotation (
    number   TEXT NOT NULL CHECK (number <> ''),
    issue    INTEGER NOT NULL CHECK (issue >= 1),
    customer TEXT NOT NULL,
    made_at  INTEGER NOT NULL,
    body     TEXT NOT NULL,
    PRIMARY KEY (number, issue)
) STRICT, WITHOUT ROWID;

CREATE INDEX quotation_newest ON quotation (made_at DESC);

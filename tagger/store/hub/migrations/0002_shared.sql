-- What stations may share besides their lots: checklists by what is in them, and what was learned
-- about sets. Rows are only added; the first word on a thing stays.

CREATE TABLE tagger.checklist (
    digest text PRIMARY KEY,
    name text NOT NULL,
    station text NOT NULL REFERENCES tagger.station,
    at timestamptz NOT NULL DEFAULT now(),
    bytes bytea NOT NULL CHECK (length(bytes) <= 33554432)
);

CREATE TABLE tagger.learned (
    kind text NOT NULL,
    key text NOT NULL,
    station text NOT NULL REFERENCES tagger.station,
    at timestamptz NOT NULL DEFAULT now(),
    value jsonb NOT NULL,
    PRIMARY KEY (kind, key)
);

GRANT SELECT ON tagger.checklist, tagger.learned TO tagger_publish, tagger_read;
GRANT INSERT ON tagger.checklist, tagger.learned TO tagger_publish;

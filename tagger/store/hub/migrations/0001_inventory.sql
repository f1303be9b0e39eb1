-- One inventory of several stations. A lot is owned by the station that published it first.

CREATE SCHEMA tagger;

CREATE TABLE tagger.version (
    number integer PRIMARY KEY,
    applied timestamptz NOT NULL DEFAULT now()
);

CREATE TABLE tagger.station (
    id text PRIMARY KEY,
    name text NOT NULL UNIQUE,
    said timestamptz NOT NULL DEFAULT now()
);

-- id: the identity of the lot's journal. n, at_byte, tail: its lines, its bytes and the checksum of
-- its last line, as far as they are published. lists: what the prices of its checklists come from.
-- mark: another one with each publication, so that a station sees what it has not pulled yet.
CREATE TABLE tagger.lot (
    id text PRIMARY KEY,
    station text NOT NULL REFERENCES tagger.station,
    n bigint NOT NULL,
    at_byte bigint NOT NULL,
    tail text NOT NULL,
    lists text NOT NULL DEFAULT '',
    mark uuid NOT NULL DEFAULT gen_random_uuid(),
    published timestamptz NOT NULL DEFAULT now(),
    cards integer NOT NULL,
    state jsonb NOT NULL
);
CREATE INDEX lot_station ON tagger.lot (station);

-- doc: the card as tagger export writes it, with its price and who says so. rest: what else the
-- stations know of it.
CREATE TABLE tagger.card (
    lot text NOT NULL REFERENCES tagger.lot ON DELETE CASCADE,
    id integer NOT NULL,
    doc jsonb NOT NULL,
    rest jsonb NOT NULL DEFAULT '{}',
    PRIMARY KEY (lot, id)
);
CREATE INDEX card_stock_number ON tagger.card ((doc ->> 'stock number'))
    WHERE doc ->> 'stock number' <> '';

-- A sale of a card that lies at another station. seen: the tags of the card as they were known to
-- who asks; wish: what is noted of the sale.
CREATE TABLE tagger.asked (
    id uuid PRIMARY KEY,
    lot text NOT NULL,
    card integer NOT NULL,
    station text NOT NULL REFERENCES tagger.station,
    seen jsonb NOT NULL,
    wish jsonb NOT NULL,
    state text NOT NULL DEFAULT 'open'
        CHECK (state IN ('open', 'done', 'refused', 'over')),
    why text NOT NULL DEFAULT '',
    at timestamptz NOT NULL DEFAULT now(),
    answered timestamptz
);
-- No card is sold twice: one open or done wish a card.
CREATE UNIQUE INDEX asked_once ON tagger.asked (lot, card) WHERE state IN ('open', 'done');
CREATE INDEX asked_by ON tagger.asked (station, state);

DO $$
BEGIN
    IF NOT EXISTS (SELECT FROM pg_catalog.pg_roles WHERE rolname = 'tagger_publish') THEN
        CREATE ROLE tagger_publish NOLOGIN;
    END IF;
    IF NOT EXISTS (SELECT FROM pg_catalog.pg_roles WHERE rolname = 'tagger_read') THEN
        CREATE ROLE tagger_read NOLOGIN;
    END IF;
END
$$;

GRANT USAGE ON SCHEMA tagger TO tagger_publish, tagger_read;
GRANT SELECT ON ALL TABLES IN SCHEMA tagger TO tagger_publish, tagger_read;
-- By columns: nobody who publishes can make a lot or a wish another station's.
GRANT INSERT, UPDATE (name, said) ON tagger.station TO tagger_publish;
GRANT INSERT, UPDATE (n, at_byte, tail, lists, mark, published, cards, state)
    ON tagger.lot TO tagger_publish;
GRANT INSERT, DELETE, UPDATE (doc, rest) ON tagger.card TO tagger_publish;
GRANT INSERT, UPDATE (state, why, answered) ON tagger.asked TO tagger_publish;

"""The hub's tables, rights and lines, against a real PostgreSQL: what is there, who may what, and
what is said when it does not do as asked."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from support.postgres import OWNER, PASSWORD, server
from support.shop import harbor
from support.stations import Shop

from tagger.errors import HubDown, HubError, TaggerError
from tagger.store.hub.connection import connected
from tagger.store.hub.publishing import LotToPublish, publish_lot
from tagger.store.hub.schema import check_version, migrations, set_up, version
from tagger.store.hub.stations import StationId, register

NORTH = StationId("1" * 32, "north")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    """A hub that is set up, and one station with a lot of three cards."""
    made = Shop(server(), tmp_path_factory.mktemp("shop"), "store", ["north"])
    made.stations[0].lot("box 12", [harbor(str(n), "Ada Marsh") for n in range(1, 4)])
    return made


@pytest.fixture(autouse=True)
def password(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PGPASSWORD", PASSWORD)


def test_the_tables_are_as_the_catalogue_of_the_database_has_them(shop: Shop) -> None:
    columns = shop.sql(
        "SELECT relname, attname, format_type(atttypid, atttypmod), attnotnull FROM pg_attribute "
        "JOIN pg_class ON pg_class.oid = attrelid WHERE relnamespace = 'tagger'::regnamespace "
        "AND relkind = 'r' AND attnum > 0 AND NOT attisdropped ORDER BY relname, attnum"
    )
    found: dict[str, list[str]] = {}
    for table, name, kind, needed in columns:
        assert needed is (name != "answered"), (table, name)
        found.setdefault(str(table), []).append(f"{name} {kind}")
    zone = "timestamp with time zone"
    assert {name: found[name] for name in ("version", "station", "lot", "card", "asked")} == {
        "version": ["number integer", f"applied {zone}"],
        "station": ["id text", "name text", f"said {zone}"],
        "lot": [
            "id text", "station text", "n bigint", "at_byte bigint", "tail text", "lists text",
            "mark uuid", f"published {zone}", "cards integer", "state jsonb",
        ],
        "card": ["lot text", "id integer", "doc jsonb", "rest jsonb"],
        "asked": [
            "id uuid", "lot text", "card integer", "station text", "seen jsonb", "wish jsonb",
            "state text", "why text", f"at {zone}", f"answered {zone}",
        ],
    }  # fmt: skip


def test_no_card_has_two_wishes_by_an_index(shop: Shop) -> None:
    [(unique, where)] = shop.sql(
        "SELECT indisunique, pg_get_expr(indpred, indrelid) FROM pg_index "
        "WHERE indexrelid = 'tagger.asked_once'::regclass"
    )
    assert unique
    assert "open" in str(where)
    assert "done" in str(where)


MAY = {
    "tagger_publish": {
        ("station", "INSERT"), ("lot", "INSERT"), ("card", "INSERT"), ("card", "DELETE"),
        ("asked", "INSERT"),
    },
    "tagger_read": set(),
}  # fmt: skip


@pytest.mark.parametrize("role", MAY)
def test_a_role_has_the_least_rights(shop: Shop, role: str) -> None:
    rights = shop.sql(
        "SELECT relname, right_, has_table_privilege(%s, pg_class.oid, right_) FROM pg_class, "
        "unnest(ARRAY['SELECT','INSERT','UPDATE','DELETE','TRUNCATE']) AS right_ "
        "WHERE relnamespace = 'tagger'::regnamespace AND relkind = 'r'",
        role,
    )
    core = ("version", "station", "lot", "card", "asked")
    wanted = {*MAY[role], *((table, "SELECT") for table in core)}
    assert {(t, r) for t, r, has in rights if has and t in core} == wanted
    # who publishes cannot make a lot or a wish another station's
    for table in ("lot", "asked"):
        [(may,)] = shop.sql(
            f"SELECT has_column_privilege(%s, 'tagger.{table}', 'station', 'UPDATE')", role
        )
        assert not may


def test_versions_go_forward_only(shop: Shop) -> None:
    url, newest = server().new_base("versions"), len(migrations())
    with connected(url) as line:
        with pytest.raises(HubError, match="set it up: tagger hub setup URL"):
            check_version(line)
        assert set_up(line) == (0, newest)
        assert set_up(line) == (newest, newest)
        check_version(line)
        # a newer tagger adds a step, and one that fails leaves all as it was
        broken = {**migrations(), newest + 1: "CREATE TABLE tagger.more (id int); SELECT 1/0"}
        with pytest.raises(HubError, match="division by zero"), connected(url) as other:
            set_up(other, broken)
        assert version(line) == newest
        newer = {**migrations(), newest + 1: "CREATE TABLE tagger.more (id int)"}
        assert set_up(line, newer) == (newest, newest + 1)
        for refused in (set_up, check_version):
            with pytest.raises(HubError, match=r"by a newer tagger .* update tagger here"):
                refused(line)
        line.execute("DELETE FROM tagger.version WHERE number > 0")
        line.execute("INSERT INTO tagger.version VALUES (0)")
        line.execute("CREATE TABLE tagger.kept ()")
        with pytest.raises(HubError, match="no tables of tagger"):
            check_version(line)


def test_who_may_not_make_roles_is_told(shop: Shop) -> None:
    base = "of_a_poor_owner"
    server().new_base(base)
    poor = shop.user("poor", "tagger_read").replace("/store", f"/{base}")
    with connected(poor) as line, pytest.raises(HubError, match="Use the owner's user"):
        set_up(line)


# What goes wrong


def fails(name: str, body: str) -> Callable[[Shop], None]:
    """A hub where each new card meets this."""

    def harm(shop: Shop) -> None:
        shop.sql(
            f"CREATE OR REPLACE FUNCTION public.fails() RETURNS trigger LANGUAGE plpgsql "
            f"SECURITY DEFINER AS $$ BEGIN {body} RETURN NEW; END $$"
        )
        shop.sql(
            "CREATE TRIGGER fails BEFORE INSERT ON tagger.card FOR EACH ROW "
            "WHEN (NEW.id = 3) EXECUTE FUNCTION public.fails()"
        )

    harm.__name__ = name
    return harm


HARMS = {
    "its disk is full": fails("full", "RAISE 'could not extend file' USING ERRCODE = '53100';"),
    "a limit that its owner set": fails("limit", "RAISE 'too much' USING ERRCODE = '53400';"),
    "line to the hub .* broke": fails("killed", "PERFORM pg_terminate_backend(pg_backend_pid());"),
    "the work was cancelled": fails("cancelled", "PERFORM pg_cancel_backend(pg_backend_pid());"),
    "no more rows than two": fails("rows", "RAISE 'no more rows than two';"),
}


def published(url: str, home: Path) -> int:
    with connected(url) as line:
        register(line, NORTH)
        return publish_lot(line, NORTH, LotToPublish(home, "box 12")).cards


@pytest.mark.parametrize("said", HARMS)
def test_a_publication_that_fails_leaves_nothing(shop: Shop, said: str) -> None:
    home = shop.stations[0].top / "box 12"
    url = shop.user("north")
    shop.sql("DELETE FROM tagger.lot")
    HARMS[said](shop)
    try:
        with pytest.raises(HubError, match=said) as told:
            published(url, home)
    finally:
        shop.sql("DROP TRIGGER fails ON tagger.card")
    assert str(told.value).count("\n") == 0
    assert shop.sql("SELECT count(*) FROM tagger.card") == [(0,)]
    assert shop.sql("SELECT count(*) FROM tagger.lot") == [(0,)]
    assert published(url, home) == 3


def test_who_may_only_read_publishes_nothing(shop: Shop) -> None:
    url = shop.user("looks", "tagger_read")
    with connected(url) as line:
        check_version(line)
        assert line.execute("SELECT count(*) FROM tagger.card").fetchone() is not None
    with pytest.raises(HubError, match="may not do that"), connected(url) as line:
        register(line, StationId("2" * 32, "looks"))


def urls(shop: Shop) -> dict[str, str]:
    good = shop.url
    return {
        "has a password in it": good.replace(OWNER, f"{OWNER}:secret"),
        "has a password in it;": f"{good}?password=secret",
        "is not a URL like": "host=localhost dbname=x",
        "cannot be read": f"{good}?sslmoode=require",
        "has no such database": good.replace("/store", "/none"),
        "TLS as the URL asks": f"{good}?sslmode=require",
        "cannot be reached": good.replace(str(server().port), "1"),
    }


def test_a_line_that_cannot_be_is_told_in_one_sentence(
    shop: Shop, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    for said, url in urls(shop).items():
        with pytest.raises(TaggerError) as told, connected(url):
            pass
        assert said.rstrip(";") in str(told.value)
        assert "\n" not in str(told.value)
        assert "secret" not in str(told.value)
    with pytest.raises(HubDown), connected(urls(shop)["cannot be reached"]):
        pass
    monkeypatch.setenv("PGPASSWORD", "another word")
    for url in (shop.url, shop.url.replace(OWNER, "nobody_known")):
        with pytest.raises(HubError, match=r"password; check ~/\.pgpass") as told, connected(url):
            pass
        assert "another word" not in str(told.value)
    monkeypatch.delenv("PGPASSWORD")
    monkeypatch.setenv("PGPASSFILE", str(tmp_path / "pgpass"))
    with pytest.raises(HubError, match=r"check ~/\.pgpass"), connected(shop.url):
        pass
    (tmp_path / "pgpass").write_text(f"*:*:*:{OWNER}:{PASSWORD}\n", encoding="utf-8")
    (tmp_path / "pgpass").chmod(0o600)
    with connected(shop.url) as line:
        check_version(line)

"""The migrations and the models say the same, and an old store comes up to date."""

import re
import shutil
import textwrap
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, create_engine, inspect

from app.planning.day import Day
from app.storage import versions
from app.storage.engine import close_store, open_store, reading, writing
from app.storage.queries.plans import newest_number
from app.storage.refusals import StoreDamaged, StoreTooNew
from app.storage.tables import METADATA
from app.storage.translate import day_of

VERSIONS = sorted((versions.MIGRATIONS / "versions").glob("*.py"))


def checks_of(connection: Connection) -> dict[str, set[tuple[str, str]]]:
    """Return the CHECK constraints of every table, by name and text."""
    seen = inspect(connection)
    return {
        table: {
            (str(check["name"]), re.sub(r"\s+", " ", check["sqltext"]))
            for check in seen.get_check_constraints(table)
        }
        for table in seen.get_table_names()
        if table != "alembic_version"
    }


def test_migrations_make_what_the_models_describe(store: Path) -> None:
    """Tests tables, columns, keys, indexes and uniqueness."""
    with reading() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, METADATA) == []


def test_migrations_make_the_checks_of_the_models(store: Path) -> None:
    """Tests what the comparison of Alembic leaves out."""
    engine = create_engine("sqlite://")
    with engine.begin() as fresh, reading() as connection:
        METADATA.create_all(fresh)
        assert checks_of(connection) == checks_of(fresh)


def test_every_constraint_has_a_name(store: Path) -> None:
    """Without a name no later migration could take a constraint away."""
    with reading() as connection:
        seen = inspect(connection)
        for table in METADATA.tables:
            named = [*seen.get_foreign_keys(table), *seen.get_unique_constraints(table)]
            assert all(each["name"] for each in named), table


def test_migrations_are_one_numbered_line(store: Path) -> None:
    """Tests that each follows the one before and says in its docstring why it is there."""
    with reading() as connection:
        scripts = ScriptDirectory.from_config(versions.config(connection))
    walked = [each.revision for each in scripts.walk_revisions()][::-1]
    assert walked == [path.name[:4] for path in VERSIONS]
    assert scripts.get_heads() == [versions.newest()]
    for path in VERSIONS:
        assert path.read_text("utf-8").startswith('"""'), path.name


def test_a_store_that_is_up_to_date_is_left_alone(store: Path) -> None:
    """Tests that the second start has nothing to bring up."""
    with writing() as connection:
        assert versions.upgrade(connection, store) is False


@pytest.mark.parametrize("found", [path.name[:4] for path in VERSIONS[:-1]])
def test_a_store_of_any_older_version_comes_up_to_date(tmp_path: Path, found: str) -> None:
    """Tests each step of the line as a starting point."""
    from alembic import command

    path = tmp_path / "old.sqlite"
    engine = create_engine(f"sqlite:///{path}")
    with engine.begin() as connection:
        command.upgrade(versions.config(connection), found)
    engine.dispose()
    open_store(path)
    with reading() as connection:
        assert versions.version_of(connection) == versions.newest()
        assert compare_metadata(MigrationContext.configure(connection), METADATA) == []
    close_store()


def with_one_more(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, body: str) -> None:
    """Give the program one more migration, which does `body`."""
    more = tmp_path / "migrations"
    shutil.copytree(versions.MIGRATIONS, more, ignore=shutil.ignore_patterns("__pycache__"))
    script = f"""
import sqlalchemy as sa
from alembic import op
revision, down_revision = "9000", "{versions.newest()}"
def upgrade():
{textwrap.indent(textwrap.dedent(body), "    ")}
"""
    (more / "versions" / "9000_one_more.py").write_text(script)
    monkeypatch.setattr(versions, "MIGRATIONS", more)


def test_moving_a_table_keeps_the_rows_that_point_to_it(
    planned: int,
    store: Path,
    knots_day: Day,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """With keys on, dropping the old table would delete every stage, run and plan with it."""
    close_store()
    body = """
        with op.batch_alter_table("productions", recreate="always") as batch:
            batch.add_column(sa.Column("colour", sa.String(), nullable=True))
    """
    with_one_more(tmp_path, monkeypatch, body)
    open_store(store)
    with reading() as connection:
        assert connection.exec_driver_sql("SELECT colour FROM productions").scalar() is None
        assert day_of(connection, planned) == knots_day
        assert newest_number(connection, planned) == 1


@pytest.mark.parametrize(
    ("body", "trouble"),
    [
        ('op.execute("DELETE FROM stages"); raise ZeroDivisionError', ZeroDivisionError),
        ('op.execute("DELETE FROM kitchens")', StoreDamaged),
    ],
)
def test_a_migration_that_fails_changes_nothing(
    planned: int,
    store: Path,
    knots_day: Day,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    body: str,
    trouble: type[Exception],
) -> None:
    """Tests one that breaks off, and one that leaves rows pointing nowhere."""
    close_store()
    with monkeypatch.context() as patched:
        with_one_more(tmp_path, patched, body)
        with pytest.raises(trouble):
            open_store(store)
    open_store(store)
    with reading() as connection:
        assert day_of(connection, planned) == knots_day


def test_a_store_of_a_newer_version_is_left_alone(store: Path) -> None:
    """Tests that an older program refuses in a sentence, and changes nothing."""
    with writing() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
    close_store()
    before = store.read_bytes()
    with pytest.raises(StoreTooNew, match="newer version of the program"):
        open_store(store)
    assert store.read_bytes() == before


def test_a_file_of_another_program_is_left_alone(tmp_path: Path) -> None:
    """Tests a database that holds something else."""
    path = tmp_path / "other.sqlite"
    with create_engine(f"sqlite:///{path}").begin() as connection:
        connection.exec_driver_sql("CREATE TABLE recipes (name TEXT)")
    with pytest.raises(StoreDamaged, match="something else"):
        open_store(path)
    with create_engine(f"sqlite:///{path}").begin() as connection:
        assert inspect(connection).get_table_names() == ["recipes"]


def test_ingredients_in_lists_become_rows(tmp_path: Path) -> None:
    """Tests that a store of the version before keeps every ingredient, in its order."""
    from alembic import command

    path = tmp_path / "old.sqlite"
    engine = create_engine(f"sqlite:///{path}")
    listed = '[{"name": "flour", "amount": 250, "unit": "g"}, {"name": "salt", "per": "set"}]'
    rows = f"""
    INSERT INTO kitchens (id, name) VALUES (1, 'k');
    INSERT INTO productions VALUES
        (1, 1, 't', 'class', 'UTC', '2027-03-04T07:00', 0, 0, 0, 0.95, 1, 'hands', 0, 'x', null);
    INSERT INTO demonstrations VALUES (1, 1, 0, 'a', null, 'A', null);
    INSERT INTO stages (id, demonstration_id, position, key, yields, zone, keeps_min, cost, loss,
        ingredients, tools, container, look, caution, photo, raw_animal, ready_to_eat,
        needs_temperature_control)
        VALUES (9, 1, 0, 's', 1, 'chill', 5, 1, 0, '{listed}', '[]', '', '', '', '', 0, 0, 0);
    UPDATE numbers SET last = 9
    """
    with engine.begin() as connection:
        command.upgrade(versions.config(connection), "0013")
        for statement in rows.split(";"):
            connection.exec_driver_sql(statement)
    engine.dispose()
    open_store(path)
    with reading() as connection:
        (stage,) = day_of(connection, 1).demonstration("a").stages
    close_store()
    assert [(each.name, each.amount, each.unit, each.per) for each in stage.ingredients] == [
        ("flour", 250, "g", "copy"),
        ("salt", None, "", "set"),
    ]

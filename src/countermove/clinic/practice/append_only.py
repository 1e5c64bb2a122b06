"""
Rows that are written once: a database trigger refuses to change or delete them.

The guard stands in the database, so that neither a slip of ours nor a tool beside us rewrites what
was measured. A correction is a new row that points to the old. Deleting is possible only while an
`ErasurePermit` is open, changing never.
"""

from __future__ import annotations

from typing import Any

from django.apps.registry import Apps
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

REFUSAL = "this record is append-only: write a correction instead"

SQLITE = """
CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table}
BEGIN SELECT RAISE(ABORT, '{refusal}'); END;
CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table}
WHEN NOT EXISTS (SELECT 1 FROM practice_erasurepermit WHERE closed_at IS NULL)
BEGIN SELECT RAISE(ABORT, '{refusal}'); END;
"""
POSTGRESQL = """
CREATE OR REPLACE FUNCTION clinic_append_only() RETURNS trigger AS $$
BEGIN
  IF TG_OP = 'DELETE' THEN
    IF EXISTS (SELECT 1 FROM practice_erasurepermit WHERE closed_at IS NULL)
    THEN RETURN OLD; END IF;
  END IF;
  RAISE EXCEPTION '{refusal}' USING ERRCODE = 'integrity_constraint_violation';
END; $$ LANGUAGE plpgsql;
CREATE TRIGGER {table}_append_only BEFORE UPDATE OR DELETE ON {table}
FOR EACH ROW EXECUTE FUNCTION clinic_append_only();
CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table}
FOR EACH STATEMENT EXECUTE FUNCTION clinic_append_only();
"""
TAKE_DOWN = {
    "sqlite": "DROP TRIGGER {table}_no_update; DROP TRIGGER {table}_no_delete;",
    "postgresql": "DROP TRIGGER {table}_append_only ON {table};"
    " DROP TRIGGER {table}_no_truncate ON {table};",
}
PUT_UP = {"sqlite": SQLITE, "postgresql": POSTGRESQL}


class AppendOnly(models.Model):
    """A model whose rows are written once; its migration must `guard` its table."""

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Insert; a second save is refused here already, with the table's own words."""
        if not self._state.adding:
            raise ValueError(f"{type(self).__name__}: {REFUSAL}")
        super().save(*args, **kwargs)


def guard(table: str) -> migrations.RunPython:
    """Give the migration step that puts the triggers on a table."""

    def run(scripts: dict[str, str], editor: BaseDatabaseSchemaEditor) -> None:
        script = scripts[editor.connection.vendor].format(table=table, refusal=REFUSAL)
        if editor.connection.vendor == "sqlite":
            for statement in _statements(script):
                editor.execute(statement)
        else:
            editor.execute(script)

    def forwards(apps: Apps, editor: BaseDatabaseSchemaEditor) -> None:
        run(PUT_UP, editor)

    def backwards(apps: Apps, editor: BaseDatabaseSchemaEditor) -> None:
        run(TAKE_DOWN, editor)

    return migrations.RunPython(forwards, backwards)


def _statements(script: str) -> list[str]:
    """Split a script at the end of each trigger; SQLite's driver takes one statement a call."""
    ends = "END;" if "END;" in script else ";"
    return [part.strip() + ends for part in script.split(ends) if part.strip()]

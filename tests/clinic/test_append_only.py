"""What was measured is written once: the database itself refuses anything else."""

import pytest
from django.apps import apps
from django.db import DatabaseError, connection, transaction
from django.utils import timezone

from countermove.catalogue import load_catalogue
from countermove.clinic.people.models import Clearance
from countermove.clinic.practice.append_only import AppendOnly
from countermove.clinic.practice.models import AccessEntry, ErasurePermit
from countermove.clinic.visits.models import Measurement
from countermove.clinic.work.examinations import examine_athlete
from countermove.clinic.work.models import Result

GUARDS = {
    "sqlite": ("no_update", "no_delete"),
    "postgresql": ("append_only", "no_truncate"),
}
TRIGGERS = {
    "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = %s",
    "postgresql": "SELECT tgname FROM pg_trigger WHERE tgrelid = %s::regclass AND NOT tgisinternal",
}
GUARDED = [model for model in apps.get_models() if issubclass(model, AppendOnly)]


@pytest.mark.django_db
@pytest.mark.parametrize("model", GUARDED, ids=lambda model: model.__name__)
def test_every_such_table_is_guarded(model):
    with connection.cursor() as cursor:
        cursor.execute(TRIGGERS[connection.vendor], [model._meta.db_table])
        names = {row[0] for row in cursor.fetchall()}
    table = model._meta.db_table
    assert names == {f"{table}_{name}" for name in GUARDS[connection.vendor]}


@pytest.mark.django_db
def test_a_change_or_a_delete_is_refused_by_the_database(juno):
    for query in (
        Measurement.objects.filter(visit__athlete=juno),
        Clearance.objects.filter(athlete=juno),
    ):
        column = "test" if query.model is Measurement else "asked"
        value = query.values_list(column, flat=True)[0]
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
            query.update(**{column: value})
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
            query._raw_delete(query.db)
    assert Measurement.objects.filter(visit__athlete=juno).count() > 20


@pytest.mark.django_db
def test_a_second_save_is_refused_with_the_way_on(juno):
    row = Measurement.objects.first()
    row.trials = [99]
    with pytest.raises(ValueError, match="write a correction instead"):
        row.save()


@pytest.mark.django_db
def test_results_and_the_access_log_are_guarded_too(juno, ada, site):
    examine_athlete(juno, load_catalogue())
    AccessEntry.objects.create(by=ada, site=site, what="view", kind="athlete", key=juno.key)
    for model in (Result, AccessEntry):
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
            model.objects.all()._raw_delete("default")


@pytest.mark.django_db
def test_an_open_permit_lets_rows_be_erased_and_never_changed(juno, ada):
    permit = ErasurePermit.objects.create(by=ada, reason="asked by the athlete", key=juno.key)
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        Measurement.objects.update(note="other")
    Measurement.objects.all()._raw_delete("default")
    permit.closed_at = timezone.now()
    permit.save()
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        Clearance.objects.all()._raw_delete("default")

from django.db import migrations

from countermove.clinic.practice.append_only import guard

TABLES = (
    "people_clearance",
    "people_override",
    "people_consent",
)


class Migration(migrations.Migration):
    dependencies = [("people", "0001_initial"), ("practice", "0001_initial")]
    operations = [guard(table) for table in TABLES]

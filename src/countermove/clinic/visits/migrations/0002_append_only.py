from django.db import migrations

from countermove.clinic.practice.append_only import guard

TABLES = (
    "visits_treatment",
    "visits_measurement",
    "visits_recording",
    "visits_trialmark",
)


class Migration(migrations.Migration):
    dependencies = [("visits", "0001_initial"), ("practice", "0001_initial")]
    operations = [guard(table) for table in TABLES]

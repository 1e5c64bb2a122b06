from django.db import migrations

from countermove.clinic.practice.append_only import guard

TABLES = ("visits_template", "visits_drillchange")


class Migration(migrations.Migration):
    dependencies = [("visits", "0003_two_visits"), ("practice", "0001_initial")]
    operations = [guard(table) for table in TABLES]

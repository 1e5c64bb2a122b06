from django.db import migrations

from countermove.clinic.practice.append_only import guard

TABLES = ("work_result",)


class Migration(migrations.Migration):
    dependencies = [("work", "0001_initial"), ("practice", "0001_initial")]
    operations = [guard(table) for table in TABLES]

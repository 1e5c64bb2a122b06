from django.db import migrations

from countermove.clinic.practice.append_only import guard

TABLES = ("practice_accessentry",)


class Migration(migrations.Migration):
    dependencies = [("practice", "0001_initial")]
    operations = [guard(table) for table in TABLES]

from django.db import migrations

from countermove.clinic.practice.append_only import guard


class Migration(migrations.Migration):
    dependencies = [("practice", "0003_own_entry")]
    operations = [guard("practice_ownentry")]

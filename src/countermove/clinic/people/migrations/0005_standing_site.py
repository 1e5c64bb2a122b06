import django.db.models.deletion
from django.db import migrations, models


def fill(apps, schema_editor):
    """Give every standing row the site of its athlete."""
    standing = apps.get_model("people", "Standing")
    athlete = apps.get_model("people", "Athlete")
    theirs = athlete.objects.filter(pk=models.OuterRef("athlete_id")).values("site_id")[:1]
    standing.objects.update(site_id=models.Subquery(theirs))


def site(**more):
    return models.ForeignKey(
        editable=False,
        on_delete=django.db.models.deletion.PROTECT,
        related_name="+",
        to="practice.site",
        **more,
    )


class Migration(migrations.Migration):
    dependencies = [
        ("people", "0004_calls_made"),
        ("practice", "0002_append_only"),
    ]

    operations = [
        migrations.RemoveIndex(model_name="standing", name="people_stan_urgency_7d5bd4_idx"),
        migrations.RemoveIndex(model_name="standing", name="people_stan_clear_u_8d94d6_idx"),
        migrations.AddField(model_name="standing", name="site", field=site(null=True)),
        migrations.RunPython(fill, migrations.RunPython.noop),
        migrations.AlterField(model_name="standing", name="site", field=site()),
        migrations.AddIndex(
            model_name="standing",
            index=models.Index(
                fields=["site", "-urgency", "clear_until"], name="people_stan_site_id_25e8dd_idx"
            ),
        ),
        migrations.RemoveIndex(model_name="callmade", name="people_call_athlete_257ad3_idx"),
        migrations.AddIndex(
            model_name="callmade",
            index=models.Index(fields=["on", "athlete"], name="people_call_on_7b6b8e_idx"),
        ),
        migrations.AddIndex(
            model_name="standing",
            index=models.Index(
                fields=["site", "clear_until"], name="people_stan_site_id_057c13_idx"
            ),
        ),
    ]

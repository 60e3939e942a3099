from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("records", "0002_figures_are_never_edited"),
    ]

    operations = [
        migrations.AddField(
            model_name="job",
            name="attempt",
            field=models.PositiveSmallIntegerField(default=0),
        ),
        migrations.AddField(
            model_name="job",
            name="beat_at",
            field=models.DateTimeField(null=True),
        ),
        migrations.AddField(
            model_name="job",
            name="is_stop_asked",
            field=models.BooleanField(default=False),
        ),
        migrations.AddField(
            model_name="job",
            name="progress",
            field=models.JSONField(default=dict),
        ),
    ]

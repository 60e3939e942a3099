from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("batches", "0012_find_returns_by_day"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddField(
            model_name="claim",
            name="was_kept",
            field=models.BooleanField(default=False, verbose_name="had been kept for her"),
        ),
        migrations.AddField(
            model_name="letter",
            name="is_by_mail",
            field=models.BooleanField(default=True, verbose_name="by e-mail"),
        ),
        migrations.AddField(
            model_name="letter",
            name="told_at",
            field=models.DateTimeField(null=True, verbose_name="told by telephone or card at"),
        ),
        migrations.AddIndex(
            model_name="letter",
            index=models.Index(
                condition=models.Q(("is_by_mail", False), ("told_at__isnull", True)),
                fields=["person"],
                name="letter_to_tell",
            ),
        ),
    ]

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("people", "0001_initial")]

    operations = [
        migrations.DeleteModel("SignInCode"),
        migrations.CreateModel(
            name="SignInCode",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("address_hash", models.CharField(max_length=64)),
                ("slot", models.PositiveSmallIntegerField()),
                ("email", models.EmailField(blank=True, max_length=254)),
                ("code_hash", models.CharField(max_length=64)),
                ("browser_hash", models.CharField(max_length=64)),
                ("sent_at", models.DateTimeField()),
                ("expires_at", models.DateTimeField()),
                ("guess_count", models.PositiveSmallIntegerField(default=0)),
                ("used_at", models.DateTimeField(null=True)),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("address_hash", "slot"), name="code_slot_once")
                ],
                "indexes": [
                    models.Index(fields=["browser_hash"], name="code_by_browser"),
                    models.Index(fields=["sent_at"], name="code_by_age"),
                ],
            },
        ),
    ]

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("batches", "0004_ask_how_the_floss_came_out"),
    ]

    operations = [
        migrations.AddField(
            model_name="plan",
            name="replaces",
            field=models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="followers",
                to="batches.plan",
            ),
        ),
        migrations.AddField(
            model_name="plan",
            name="replaced_at",
            field=models.DateTimeField(null=True),
        ),
        migrations.AddField(
            model_name="lay",
            name="freed_at",
            field=models.DateTimeField(null=True, verbose_name="planned anew"),
        ),
        migrations.RemoveConstraint(model_name="plan", name="one_committed_plan"),
        migrations.AddConstraint(
            model_name="plan",
            constraint=models.UniqueConstraint(
                condition=models.Q(("committed_at__isnull", False), ("replaced_at__isnull", True)),
                fields=("batch",),
                name="one_committed_plan",
            ),
        ),
        migrations.AddConstraint(
            model_name="plan",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("replaced_at__isnull", True), ("committed_at__isnull", False), _connector="OR"
                ),
                name="only_a_committed_plan_is_replaced",
            ),
        ),
        migrations.AddConstraint(
            model_name="lay",
            constraint=models.CheckConstraint(
                condition=models.Q(("cut_at__isnull", True), ("freed_at__isnull", True), _connector="OR"),
                name="a_cut_lay_is_not_freed",
            ),
        ),
    ]

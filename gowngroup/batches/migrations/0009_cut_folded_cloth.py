from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("batches", "0008_cut_kit_by_kit"),
    ]

    operations = [
        migrations.AlterField(
            model_name="batch",
            name="cutting_way",
            field=models.CharField(
                choices=[
                    ("together", "All gowns of a lot together – least cloth"),
                    ("kit by kit", "Kit by kit – each kit’s pieces side by side, easier to pack"),
                    ("folded", "Folded in half lengthwise – two layers at once, quicker to cut"),
                ],
                default="together",
                max_length=10,
                verbose_name="how shall the cloth be cut?",
            ),
        ),
    ]

from django.db import migrations, models

SMOCK, EITHER = ("smock",), ("smock", "pleat")


def told_by_words(steps: list[str]) -> list[int]:
    """After how many steps pleating and smocking end, as sheets have told it until now; nothing where words do not tell."""
    first = next((at for at, step in enumerate(steps) if _speaks_of(SMOCK, step)), 0)
    after = first
    while after < len(steps) and _speaks_of(EITHER, steps[after]):
        after += 1
    return [first, after] if 0 < first < after < len(steps) else []


def _speaks_of(parts: tuple[str, ...], step: str) -> bool:
    return any(part in step.lower() for part in parts)


def tell_stages(apps, schema_editor):
    for revision in apps.get_model("catalog", "DesignRevision").objects.exclude(chart=None):
        if ends := told_by_words(revision.order_of_work):
            revision.stage_ends = ends
            revision.save(update_fields=["stage_ends"])


class Migration(migrations.Migration):
    dependencies = [
        ("catalog", "0007_set_in_entredeux_insertion_and_beading"),
    ]

    operations = [
        migrations.AddField(
            model_name="designrevision",
            name="stage_ends",
            field=models.JSONField(default=list, verbose_name="steps after which a stage ends"),
        ),
        migrations.RunPython(tell_stages, migrations.RunPython.noop),
    ]

from django.db import migrations

from gowngroup.records.triggers import append_only


class Migration(migrations.Migration):
    dependencies = [("records", "0001_initial")]

    operations = [append_only("records_figurechange")]

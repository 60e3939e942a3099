"""Kit sheets as they were made, kept to be served again as they are."""

from django.db import models

from gowngroup.batches.models import Kit


class KeptSheets(models.Manager["KitSheetFile"]):
    """Kept sheets without their content, which is read only where it is served."""

    def get_queryset(self) -> models.QuerySet["KitSheetFile"]:
        return super().get_queryset().defer("content")


class KitSheetFile(models.Model):
    """A kit sheet as it was made for a reader; changed data make a new version, and a trigger keeps each as it is.

    The sum of its data covers all the sheet says and how it is written: unit, paper, print, hand and language.
    """

    kit = models.ForeignKey(Kit, models.PROTECT, related_name="sheet_files")
    version = models.PositiveSmallIntegerField()
    at = models.DateTimeField()
    paper_size = models.CharField(max_length=8)
    length_unit = models.CharField(max_length=4)
    has_large_print = models.BooleanField(default=False)
    is_left_handed = models.BooleanField(default=False)
    page_count = models.PositiveSmallIntegerField()
    data_sha256 = models.CharField(max_length=64)
    content_sha256 = models.CharField(max_length=64)
    content = models.BinaryField()

    objects = KeptSheets()

    class Meta:
        ordering = ["kit", "version"]
        constraints = [
            models.UniqueConstraint(fields=["kit", "version"], name="kit_sheet_version_once"),
            models.UniqueConstraint(fields=["kit", "data_sha256"], name="kit_sheet_kept_once"),
        ]

    def __str__(self) -> str:
        return f"{self.kit} {self.version}"


class KitSheetPrint(models.Model):
    """That a kept sheet was given out, and when first; what was never given out counts as not printed."""

    file = models.OneToOneField(KitSheetFile, models.PROTECT, related_name="print")
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.file} {self.at:%Y-%m-%d}"

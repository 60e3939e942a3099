"""Once a day: remind those who sew of kits that are due, and tell those who wait of kits that suit them."""

from django.core.management import BaseCommand
from django.utils import timezone

from gowngroup.batches.actions import remind_sewers, tell_those_waiting


class Command(BaseCommand):
    help = "Send the day's letters about kits; running it again sends none twice."

    def handle(self, **options: object) -> None:
        at = timezone.now()
        reminder_count, told_count = remind_sewers(at=at), tell_those_waiting(at=at)
        self.stdout.write(f"{reminder_count} reminders, {told_count} letters about kits waiting.")

"""Once a day: remind those who sew of kits that are due, and tell those who wait of kits that suit them.

Letters that could not be sent are tried again first, and what is kept for a time only is forgotten.
"""

from django.core.management import BaseCommand
from django.utils import timezone

from gowngroup.batches.actions import remind_sewers, tell_those_waiting
from gowngroup.people.actions import forget_what_is_old, send_due_letters


class Command(BaseCommand):
    help = "Send the day's letters about kits; running it again sends none twice."

    def handle(self, **options: object) -> None:
        at = timezone.now()
        forget_what_is_old(at=at)
        again_count = send_due_letters(at=at)
        reminder_count, told_count = remind_sewers(at=at), tell_those_waiting(at=at)
        self.stdout.write(
            f"{reminder_count} reminders, {told_count} letters about kits waiting, "
            f"{again_count} sent at another try."
        )

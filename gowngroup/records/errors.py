"""How an action says no: a sentence for the person, the field it concerns, the status of the answer."""


class Refusal(Exception):
    """An action was refused; `message` says what to do, `field` names the form field if there is one."""

    status = 422

    def __init__(self, message: str, *, field: str | None = None) -> None:
        super().__init__(message)
        self.message = str(message)
        self.field = field


class NotNow(Refusal):
    """It cannot be done just now, and may be tried again after a while."""

    status = 503

    def __init__(self, message: str, *, retry_after_s: int, field: str | None = None) -> None:
        super().__init__(message, field=field)
        self.retry_after_s = retry_after_s


class Taken(Refusal):
    """Somebody else was first, or the row has moved on since it was shown."""

    status = 409


class Short(Refusal):
    """There is not enough of something on the shelf."""

    status = 409

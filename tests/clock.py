"""A clock that a test sets by hand."""

from datetime import datetime, timedelta

START = datetime.fromisoformat("2024-05-01T20:00:00+02:00")


class Clock:
    """Tells the same time until it is put on."""

    def __init__(self):
        self.at = START

    def __call__(self):
        return self.at

    def goes(self, **how_far):
        """Put it on, or back."""
        self.at += timedelta(**how_far)

"""The store's clock and its new names."""

import secrets
from datetime import UTC, datetime, timedelta

LETTERS = "23456789abcdefghjkmnpqrstvwxyz"  # none that looks like another one


def now(later: timedelta = timedelta()) -> str:
    """This moment, or a later one, in UTC."""
    return (datetime.now(UTC) + later).strftime("%Y-%m-%dT%H:%M:%SZ")


def new_id() -> str:
    """A name that nobody guesses and everybody can read out."""
    return "".join(secrets.choice(LETTERS) for _ in range(12))

"""How far a study is and how long it takes yet, by the steps done so far: each has its usual share of the whole."""

import time
from dataclasses import dataclass, field
from typing import NamedTuple

SHARES = {
    "concepts": ("looking at the ways to load the machines", 0.03),
    "cycles": ("finding the cycle of each cell", 0.04),
    "simulation": ("simulating weeks of work", 0.27),
    "short runs": ("simulating what is uncertain", 0.23),
    "draws": ("working out how sure the figures are", 0.25),
    "machines": ("trying other numbers of machines to an operator", 0.05),
    "ways to tend": ("trying other ways to tend the machines", 0.04),
    "safeguarding": ("simulating other ways to keep people away", 0.03),
    "sizes": ("simulating other sizes", 0.02),
    "waits": ("working out waits that come together", 0.01),
    "presenters": ("trying other numbers of trays", 0.005),
    "shifts": ("trying other shifts", 0.005),
    "files": ("writing the proposal and its files", 0.02),
}  # in their order: what each does, and its part of the time of a study of two machines and a hundred ways
INSIDE = {
    "compiling": "compiling the simulation",
    "warm-up": "finding how long a week has to be",
}  # a step within another
LEAST, SOONER, LATER = 0.03, 0.7, 1.5  # before so much is done nothing is said; then how far off it may be


class Far(NamedTuple):
    """How far it is: what is done now, how much of that (0 of 0: nobody counts), for how long, and how much of all."""

    words: str
    done: int
    total: int
    lasting_s: float
    share: float
    left_s: float | None  # None: too early to say


@dataclass(slots=True)
class Pace:
    """One study under way, as it tells its steps."""

    began: float = field(default_factory=time.monotonic)
    step: str = ""
    batch: int = 0  # how often the step was begun: simulation goes on in rounds
    done: int = 0
    total: int = 0
    since: float = field(default_factory=time.monotonic)
    inner: tuple[str, int, int] | None = None

    def tell(self, step: str, done: int, total: int, now: float | None = None) -> None:
        """A line of the study. A step within another one leaves that where it is."""
        at = time.monotonic() if now is None else now
        if step in INSIDE:
            if self.inner is None or self.inner[0] != step or done == total:
                self.since = at
            self.inner = (step, done, total) if done < total else None
            return
        if step != self.step:
            self.batch, self.since = 0, at
        elif done < self.done:
            self.batch, self.since = self.batch + 1, at
        self.step, self.done, self.total, self.inner = step, done, total, None

    def share(self) -> float:
        """How much of the whole is done, as far as the usual shares go. Of a step in rounds each fills half of what is
        left of it, for nobody knows how many there will be."""
        names = list(SHARES)
        if self.step not in SHARES:
            return 0.0
        before = sum(SHARES[each][1] for each in names[: names.index(self.step)])
        within = self.done / self.total if self.total else 0.0
        rounds = 0.5**self.batch
        in_step = (1.0 - rounds) + rounds * within * (0.5 if self.step == "simulation" else 1.0)
        return min(1.0, before + SHARES[self.step][1] * in_step)

    def far(self, now: float | None = None) -> Far:
        """How far it is."""
        at, share = time.monotonic() if now is None else now, self.share()
        left = (at - self.began) * (1.0 - share) / share if share >= LEAST else None
        name, done, total = self.inner or (self.step, self.done, self.total)
        return Far(step_words(name), done, total, at - self.since, share, left)


def step_words(step: str) -> str:
    """What a study does, and how far on its way that is."""
    if step in SHARES:
        return f"{SHARES[step][0]} (step {list(SHARES).index(step) + 1} of {len(SHARES)})"
    return INSIDE.get(step, step) or "reading the inquiry"


def left_words(far: Far | None) -> str:
    """How long it takes yet, in whole minutes, with how far off that may be."""
    if far is None or far.left_s is None:
        return "How long it takes is said here as soon as the first steps are done; two to five minutes as a rule."
    if LATER * far.left_s < 60.0:
        return "Less than a minute more, as it goes now."
    if SOONER * far.left_s < 60.0:
        return f"About half a minute to {max(2, round(LATER * far.left_s / 60.0 + 0.5))} minutes more, as it goes now."
    sooner, later = max(1, round(SOONER * far.left_s / 60.0)), max(2, round(LATER * far.left_s / 60.0 + 0.5))
    return f"About {sooner} to {later} minutes more, as it goes now."


def lasts_words(seconds: float) -> str:
    """How long a step lasts already.

    >>> lasts_words(4.2), lasts_words(75.0)
    ('4 s', '1 min 15 s')
    """
    minutes, rest = divmod(int(seconds), 60)
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"

"""The bar shows itself only for work that lasts, and never on standard output."""

import pytest

from millhand.cli.progress import ScreenWatch, watching
from millhand.run import watched


def watch_with_clock(seconds: float) -> ScreenWatch:
    """A watch without a terminal, whose clock goes on by `seconds` at each look."""
    looks = iter(range(1000))
    return ScreenWatch(terminal=False, clock=lambda: next(looks) * seconds)


def test_short_work_shows_nothing(capfd: pytest.CaptureFixture[str]) -> None:
    """Work of less than a second leaves both streams empty."""
    assert list(watched(watch_with_clock(0.01), "reading", "abc", total=3)) == ["a", "b", "c"]

    assert capfd.readouterr() == ("", "")


def test_long_work_without_a_terminal_leaves_one_last_line(capfd: pytest.CaptureFixture[str]) -> None:
    """Where nobody looks, one line says what was done, on standard error."""
    list(watched(watch_with_clock(10.0), "simulating", range(3), total=3))

    out, err = capfd.readouterr()
    assert out == ""
    assert err.startswith("simulating: 3 done in ")
    assert err.count("\n") == 1


def test_long_work_at_a_terminal_shows_a_bar_and_takes_it_away(capfd: pytest.CaptureFixture[str]) -> None:
    """The bar names the work and is gone at the last piece."""
    watch = ScreenWatch(terminal=True, patience_s=0.0)

    watch.step("simulating", 1, 2)
    shown = watch.bar
    watch.step("simulating", 2, 2)

    assert shown is not None
    assert shown.tasks[0].description == "simulating"
    assert watch.bar is None
    assert capfd.readouterr().out == ""


def work_that_breaks(seen: list[ScreenWatch]) -> None:
    """A command that shows a bar and is interrupted under it."""
    with watching() as watch:
        watch.terminal, watch.patience_s = True, 0.0
        watch.step("simulating", 1, 2)
        assert watch.bar is not None
        seen.append(watch)
        raise KeyboardInterrupt


def test_the_bar_is_gone_when_the_work_breaks() -> None:
    """However a command ends, the terminal is left clean."""
    seen: list[ScreenWatch] = []

    with pytest.raises(KeyboardInterrupt):
        work_that_breaks(seen)

    assert [watch.bar for watch in seen] == [None]

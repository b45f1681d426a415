"""Counted random numbers: the same everywhere, different for every part of the key, and even."""

import math

from millhand.solvers.sampling.streams import mixed, stream_key, uniform

# The first outputs of the generator whose output function this is, started at 1234567, as its authors' reference
# program prints them (from memory, not re-read).
REFERENCE = [6457827717110365317, 3203168211198807973, 9817491932198370423]
GAMMA = 0x9E3779B97F4A7C15


def test_mixed_gives_the_reference_sequence() -> None:
    """The n-th output is the function of the start plus n steps."""
    assert [mixed(1234567 + (n + 1) * GAMMA) for n in range(3)] == REFERENCE


def test_a_number_stays_what_it_was() -> None:
    """Bytes of every run hang on these digits."""
    key = stream_key(seed=1, source=1_000_002, replication=3, day=4)

    assert key == 0xA683996809E95DD9
    assert uniform(key, 0) == 0.31426023923168966


def test_each_part_of_the_key_opens_another_stream() -> None:
    """Neighbours in seed, source, replication or day share nothing, and swapping two parts is not the same."""
    parts = [(seed, source, rep, day) for seed in (0, 1) for source in (0, 1) for rep in (0, 1) for day in (0, 1)]
    keys = {stream_key(seed=a, source=b, replication=c, day=d) for a, b, c, d in parts}

    assert len(keys) == len(parts)


def test_uniform_is_open_and_even() -> None:
    """Strictly inside 0 and 1; mean, variance and twenty classes as they should be."""
    key = stream_key(seed=5, source=7, replication=0, day=0)
    numbers = [uniform(key, n) for n in range(20_000)]
    classes = [0] * 20
    for number in numbers:
        classes[int(number * 20)] += 1
    chi_square = sum((count - 1000) ** 2 / 1000 for count in classes)

    assert 0.0 < min(numbers) < max(numbers) < 1.0
    assert abs(math.fsum(numbers) / 20_000 - 0.5) < 4 / math.sqrt(12 * 20_000)
    assert chi_square < 43.8  # 19 degrees of freedom: passed 999 times in 1000


def test_streams_of_neighbouring_days_are_not_alike() -> None:
    """The correlation of the same counter on two days is that of chance."""
    first, second = (stream_key(seed=1, source=1, replication=0, day=day) for day in (0, 1))
    count = 10_000
    product = math.fsum((uniform(first, n) - 0.5) * (uniform(second, n) - 0.5) for n in range(count)) / count

    assert abs(product * 12) < 4 / math.sqrt(count)

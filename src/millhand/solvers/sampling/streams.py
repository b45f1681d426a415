"""Random numbers by counting: the same key gives the same numbers, whoever asks and in whatever order.

A stream belongs to one source of chance (docs/streams.md lists their numbers) in one replication on one day. Its n-th
uniform is a hash of (seed, source, replication, day) and n, so nothing is shared between streams and nothing has to be
handed on. The hash is splitmix64 (Steele, Lea and Flood, Fast splittable pseudorandom number generators, 2014; the
constants are from memory, not re-read).
"""

MASK = 0xFFFF_FFFF_FFFF_FFFF
GAMMA = 0x9E37_79B9_7F4A_7C15
FIRST = 0xBF58_476D_1CE4_E5B9
SECOND = 0x94D0_49BB_1331_11EB


def mixed(value: int) -> int:
    """The 64 bits of `value`, stirred: splitmix64's output function."""
    value &= MASK
    value = ((value ^ (value >> 30)) * FIRST) & MASK
    value = ((value ^ (value >> 27)) * SECOND) & MASK
    return value ^ (value >> 31)


def stream_key(*, seed: int, source: int, replication: int, day: int) -> int:
    """The 64 bits that open one stream; every part of the key is stirred in by a round of its own."""
    key = mixed(seed + GAMMA)
    for part in (source, replication, day):
        key = mixed((key ^ (part & MASK)) + GAMMA)
    return key


def uniform(key: int, count: int) -> float:
    """The `count`-th number (from 0) of the stream opened by `key`, strictly between 0 and 1."""
    value = (key + (count + 1) * GAMMA) & MASK
    value = ((value ^ (value >> 30)) * FIRST) & MASK
    value = ((value ^ (value >> 27)) * SECOND) & MASK
    value ^= value >> 31
    return ((value >> 12) + 0.5) * 2.0**-52

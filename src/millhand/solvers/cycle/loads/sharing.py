"""How soon work that may be shared can be done: the least time in which resources do all jobs, split as they like."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

Job = Mapping[str, float]  # resource: how long it would take for the whole job


@dataclass(frozen=True, slots=True, kw_only=True)
class Shared:
    """Resources that depend on each other's work, and the least time in which they can do it."""

    resources: tuple[str, ...]
    time: float


def shared_times(jobs: Sequence[Job]) -> list[Shared]:
    """The least time of each group of resources that share jobs; a job may be split among those who can do it."""
    return [Shared(resources=tuple(group), time=time) for group, time in (least(part) for part in groups(jobs))]


def groups(jobs: Sequence[Job]) -> list[list[Job]]:
    """Jobs that hang together through their resources."""
    head: dict[str, str] = {}

    def top(name: str) -> str:
        while head[name] != name:
            name = head[name]
        return name

    for job in jobs:
        names = list(job)
        for name in names:
            head.setdefault(name, name)
        for name in names[1:]:
            head[top(name)] = top(names[0])
    found: dict[str, list[Job]] = {}
    for job in jobs:
        if job:
            found.setdefault(top(next(iter(job))), []).append(job)
    return list(found.values())


def least(jobs: list[Job]) -> tuple[list[str], float]:
    """The resources that set the time of one group, and that time."""
    names = list(dict.fromkeys(name for job in jobs for name in job))
    own = dict.fromkeys(names, 0.0)
    free: list[Job] = []
    for job in jobs:
        if len(job) == 1:
            ((name, time),) = job.items()
            own[name] += time
        else:
            free.append(job)
    if not free:
        return names, max(own.values())
    alike = all(len(job) == len(names) and min(job.values()) == max(job.values()) for job in free)
    if alike:
        together = (sum(own.values()) + sum(next(iter(job.values())) for job in free)) / len(names)
        longest = max(names, key=lambda name: own[name])
        return (names, together) if together >= own[longest] else ([longest], own[longest])
    if len(free) == 1 and not any(own.values()):
        if min(free[0].values()) <= 0:
            return names, 0.0
        return names, 1.0 / sum(1.0 / time for time in free[0].values())
    return names, split_time(free, own)


def split_time(free: list[Job], own: Mapping[str, float]) -> float:
    """The general case, as a linear programme: shares of each job per resource, the longest load as short as can be."""
    from scipy.optimize import linprog

    names = list(own)
    pairs = [(number, name) for number, job in enumerate(free) for name in job]
    load = [[free[n][r] if r == name else 0.0 for n, r in pairs] + [-1.0] for name in names]
    whole = [[1.0 if n == number else 0.0 for n, _ in pairs] + [0.0] for number in range(len(free))]
    answer = linprog(
        [0.0] * len(pairs) + [1.0],
        A_ub=load,
        b_ub=[-own[name] for name in names],
        A_eq=whole,
        b_eq=[1.0] * len(free),
        bounds=[(0, None)] * (len(pairs) + 1),
        method="highs",
    )
    return float(answer.fun or 0.0)

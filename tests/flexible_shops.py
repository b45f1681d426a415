"""Flexible job shops in the file form of a cell: jobs that go from machine to machine by themselves, each operation at
one of several machines. Also the way back from the form in which they are printed as numbers."""

import random
from typing import Any

Form = dict[str, Any]
Job = list[dict[int, int]]  # for each operation: machine and time


def shop(jobs: list[Job], machines: int) -> Form:
    """Each job has a supply of its own, so all may begin in any order; machines have room for all that wait."""
    stations: Form = {
        f"raw{number}": {"kind": "supply", "capacity": None, "self_out": True} for number, _ in numbered(jobs)
    }
    machine = {"kind": "process", "in_queue": None, "self_out": True}
    stations |= {f"m{number + 1}": machine for number in range(machines)}
    stations["done"] = {"kind": "sink", "capacity": None}
    return {
        "format": "millhand-cell/1",
        "name": "flexible job shop, no transport",
        "grid_s": 1,
        "goal": "makespan",
        "stations": stations,
        "parts": {f"job{number}": {"lot": {"size": 1}, "route": route(number, job)} for number, job in numbered(jobs)},
    }


def numbered(jobs: list[Job]) -> list[tuple[int, Job]]:
    """The jobs counted from one."""
    return list(enumerate(jobs, start=1))


def route(number: int, job: Job) -> list[Form]:
    """One job as the steps of a part."""
    steps: list[Form] = [{"at": [f"raw{number}"]}]
    for choice in job:
        times = {f"m{machine}": time for machine, time in choice.items()}
        steps.append({"at": list(times), "time_s": times})
    return [*steps, {"at": ["done"]}]


def printed(rows: str) -> list[Job]:
    """Jobs as collections print them: a row each, the number of operations, then for each the number of machines and so
    many pairs of machine (counted from nought) and time."""
    return [job_of([int(number) for number in row.split()]) for row in rows.strip().splitlines()]


def job_of(numbers: list[int]) -> Job:
    """One such row."""
    job: Job = []
    rest = iter(numbers)
    for _ in range(next(rest)):
        job.append({next(rest) + 1: next(rest) for _ in range(next(rest))})
    return job


def random_jobs(dice: random.Random) -> tuple[list[Job], int]:
    """Two or three jobs of one to four operations on two or three machines, small enough for every order."""
    machines, count = dice.choice([2, 3]), dice.choice([2, 3])
    lengths = [dice.choice([1, 2, 3] if count == 3 else [2, 3, 4]) for _ in range(count)]
    return [[random_choice(dice, machines) for _ in range(length)] for length in lengths], machines


def random_choice(dice: random.Random, machines: int) -> dict[int, int]:
    """The machines of one operation, each with its own time, now and then none."""
    chosen = sorted(dice.sample(range(1, machines + 1), dice.choice([1, 1, 2])))
    return {machine: dice.randint(0 if dice.random() < 0.2 else 1, 9) for machine in chosen}

"""All formulas: importing this package fills the register."""

from millhand.formulas import (
    by_hand,
    cashflow,
    contact,
    estimate,
    exchange,
    feasibility,
    finite_source,
    floor,
    grip,
    hours,
    ladder,
    lifting,
    lifting_frequency,
    loads,
    losses,
    money,
    motion,
    oee,
    output,
    packing,
    people_time,
    plan,
    rates,
    reach,
    saving,
    separation,
    statistics,
    timestudy,
    unattended,
    unlike_machines,
    wage,
    worker_machine,
)
from millhand.formulas.register import REGISTER, SUFFIXES, Formula, formula, unit_of

SUBJECTS = (
    by_hand, cashflow, contact, estimate, exchange, feasibility, finite_source, floor, grip, hours, ladder, lifting,
    lifting_frequency, loads, losses, money, motion, oee, output, packing, people_time, plan, rates, reach, saving,
    separation, statistics, timestudy, unattended, unlike_machines, wage, worker_machine,
)  # fmt: skip

__all__ = ["REGISTER", "SUBJECTS", "SUFFIXES", "Formula", "formula", "unit_of"]

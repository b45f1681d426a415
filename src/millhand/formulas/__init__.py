"""All formulas: importing this package fills the register."""

from millhand.formulas import (
    contact,
    exchange,
    finite_source,
    floor,
    grip,
    hours,
    lifting,
    lifting_frequency,
    loads,
    money,
    motion,
    oee,
    output,
    packing,
    rates,
    reach,
    saving,
    separation,
    statistics,
    timestudy,
    unattended,
    worker_machine,
)
from millhand.formulas.register import REGISTER, SUFFIXES, Formula, formula, unit_of

SUBJECTS = (
    contact, exchange, finite_source, floor, grip, hours, lifting, lifting_frequency, loads, money, motion,
    oee, output, packing, rates, reach, saving, separation, statistics, timestudy, unattended, worker_machine,
)  # fmt: skip

__all__ = ["REGISTER", "SUBJECTS", "SUFFIXES", "Formula", "formula", "unit_of"]

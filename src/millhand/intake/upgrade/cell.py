"""Upgrades of the cell format, oldest first; number 1 is the newest, so there are none yet."""

from millhand.intake.upgrade.chain import Upgrade

CELL_UPGRADES: tuple[Upgrade, ...] = ()

"""The catalogue: generic components and default ranges, read from data files, as the stages get them."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from millhand.model.concept import Component
from millhand.model.fact import Assumption, Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class HandChange:
    """A cheap change of the manual process: where it applies, what it changes by which factor, what it costs."""

    id: str
    title: str
    kinds: tuple[str, ...]  # machine kinds
    when: str  # words: when it fits
    effects: Mapping[str, Fact] = field(
        default_factory=dict
    )  # outside, inside, walk, breaks_lost, machines_per_operator
    price: Fact  # money, per machine unless words say once
    per: str = "machine"  # machine or once


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """Why a combination of choices makes no sense: the first rule that fits a concept drops it, in words."""

    id: str
    when: Mapping[str, tuple[str, ...]]  # choice or inquiry word: values for which the rule fits
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """All of it. Money in `currency` of `price_year`; `figures` are times, rates and shares by name, as Facts."""

    currency: str
    price_year: int
    components: Mapping[str, Component]
    figures: Mapping[str, Fact]  # catalogue.<name>: exchange times, fault rates, ramp-up, contingency ...
    assumptions: Mapping[str, Assumption]  # what intake fills gaps with
    hand_changes: tuple[HandChange, ...]
    rules: tuple[Rule, ...]

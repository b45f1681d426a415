"""Where the printed payback and the middle of the draws lie far apart: by how much, and which input spreads it most."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from millhand.model.fact import Fact
from millhand.model.study import Study
from millhand.report.comparison import subject, title
from millhand.report.tongue import tongue

FAR = 0.25  # of the printed figure: below that, both are read as the same


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """The two figures of the concept whose money is looked at, as fact ids; `half` None: not back in half of the draws
    within the years counted. `spread`: the input with the largest share in the spread of the payback."""

    likely: str
    half: str | None
    later: bool
    spread: str | None

    @property
    def key(self) -> str:
        """Which of the sentences says it."""
        if self.half is None:
            return "never"
        return "later" if self.later else "sooner"


def apart(study: Study, facts: Mapping[str, Fact]) -> Apart | None:
    """None where nothing was drawn, where the money never comes back, and where the two lie close together."""
    looked = subject(study)
    case = looked.case if looked is not None else None
    if case is None or case.payback_months is None or case.hurdle_chance is None:
        return None
    top = f"concepts.{case.concept}"
    half = next((key for key in (f"{top}.case.middle.payback", f"{top}.sure.payback_p50") if key in facts), None)
    likely = facts[case.payback_months].value
    later = half is None or facts[half].value > likely
    if half is not None and abs(facts[half].value - likely) <= FAR * likely:
        return None
    sure = study.decision.sureness
    known = [each for each in sure.shares if each.payback_total] if sure is not None else []
    most = max(known, key=lambda each: facts[each.payback_total or ""].value, default=None)
    return Apart(likely=case.payback_months, half=half, later=later, spread=most.fact if most else None)


def half_words(study: Study, facts: Mapping[str, Fact], figure: Callable[[str | None], str]) -> str:
    """The same as plain English sentences, `figure` writing the months; "" where there is nothing to say."""
    found = apart(study, facts)
    if found is None:
        return ""
    texts = tongue("en")
    slots = {"likely": figure(found.likely), "half": figure(found.half)}
    told = [texts.text(f"report.half.{found.key}").format_map(slots)]
    if found.spread is not None and facts[found.spread].title:  # a path is no name for a reader
        told.append(texts.text("report.half.spread").format_map({"input": title(facts[found.spread])}))
    return " ".join(told)

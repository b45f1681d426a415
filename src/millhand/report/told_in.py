"""The language that a report of one study is told in: the language's own words, and those of the study's concepts."""

from dataclasses import replace

from millhand.model.study import Study
from millhand.report.proposal.ground import concept_item
from millhand.report.proposal.telling import Teller
from millhand.report.tongue import Tongue, tongue

AS_TODAY = ("as today",)  # what today's work is called in a sentence


def told_in(study: Study, language: str) -> Tongue:
    """A language that knows what the concepts of a study are called, each component by its own word."""
    base = tongue(language)
    if not base.words:
        return base
    teller = Teller(tongue=base, facts={}, currency="", pictures={})
    called = {each.concept.title: teller.plain(concept_item(each.concept)) for each in study.results}
    known = {title: words for title, words in called.items() if words}
    names = tuple(sorted((*known, *AS_TODAY), key=len, reverse=True))
    own = [each.name for each in study.inquiry.parts]
    if study.inquiry.claims is not None and study.inquiry.claims.by:
        own.append(study.inquiry.claims.by)
    return replace(base, words={**base.words, **known}, names=names, own=tuple(sorted(own, key=len, reverse=True)))

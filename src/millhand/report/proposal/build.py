"""The proposal of a study: its sections in their order, told in a language, with its pictures, typeset."""

import hashlib
from collections.abc import Iterator, Mapping
from datetime import timedelta
from typing import Any

from millhand.model.study import Study
from millhand.report.proposal import (
    agreed,
    alternatives,
    ask,
    by_hand,
    cell,
    fit,
    hand_plan,
    hand_risks,
    introduced,
    money,
    not_now,
    risks,
    safety,
    scope,
    short,
    understood,
)
from millhand.report.proposal.appendix import appendix
from millhand.report.proposal.ground import Ground, ground
from millhand.report.proposal.letter import Letter
from millhand.report.proposal.pdf import proposal_pdf
from millhand.report.proposal.pictures import pictures
from millhand.report.proposal.records import Document, Given, Item, Say, Section
from millhand.report.proposal.telling import Teller
from millhand.report.study_json import study_as_json
from millhand.report.tongue import Tongue, tongue

SHORT = (
    short.answer, understood.job, short.today, short.concept, short.output, short.people, money.price, by_hand.coming,
    short.cautions, short.planned, money.case, ask.asked, short.following,
)  # fmt: skip
LONG = (
    short.answer, not_now.not_now, understood.job, short.today, short.concept, cell.cycle, short.output, short.people,
    hand_plan.rounds, by_hand.people, agreed.handover, introduced.standing, fit.fit, money.price, by_hand.coming,
    money.cost, alternatives.options, money.case, alternatives.alternatives, ask.asked, risks.risks,
    hand_risks.remaining, cell.guarding, safety.levels, safety.going_in, safety.alone, safety.ways, safety.delivery,
    by_hand.guarding, by_hand.left_open, agreed.acceptance, by_hand.acceptance, agreed.duties, by_hand.duties,
    agreed.timeline, scope.scope,
)  # fmt: skip


def proposal(study: Study, letter: Letter, *, text: str = "") -> bytes:
    """proposal.pdf; the same study and letter give the same bytes. `text`: its study.json, where at hand already."""
    return proposal_pdf(told(study, letter, text=text), letter.on)


def told(study: Study, letter: Letter, *, text: str = "") -> dict[str, Any]:
    """All that the template is given."""
    base, words = ground(study, long=letter.form == "long"), tongue(letter.language)
    drawn = pictures(base, words)
    teller = Teller(
        tongue=words, facts=base.facts, currency=study.inquiry.shop.currency, pictures=drawn, internal=letter.internal
    )
    made = teller.document(document(base, letter, words, mark_of(study, text)))
    return made | {
        "company": paper(letter),
        "compact": not base.long,
        "footer": f"{made['title']} · {made['words']['caution']}",
    }


def mark_of(study: Study, text: str) -> str:
    """What the study is known by: the beginning of the hash of its study.json."""
    return hashlib.sha256((text or study_as_json(study)).encode("utf-8")).hexdigest()[:16]


def document(base: Ground, letter: Letter, words: Tongue, mark: str) -> Document:
    """Every section that the study has something for."""
    made, job = tuple(sections(base, letter)), Given(text=base.study.inquiry.name)
    return Document(
        title=Say(key="page.title" if base.proposed else "page.title_no", slots={"job": job}),
        head=tuple(head(base, letter, words, mark)),
        sections=made,
    )  # fmt: skip


def sections(base: Ground, letter: Letter) -> Iterator[Section]:
    """The sections of a form; the appendix last, for it tells what stands behind the others."""
    if not base.long:
        yield from (each for section in SHORT if (each := section(base)) is not None)
        return
    made = [each for section in LONG if (each := section(base)) is not None]
    made += [agreed.terms(base, letter.company), short.cautions(base), short.following(base)]
    yield from made
    yield appendix(base, [each for each in made if not each.internal])


def head(base: Ground, letter: Letter, words: Tongue, mark: str) -> Iterator[tuple[Say, Item]]:
    """For whom it is, and what identifies it."""
    company, study = letter.company, base.study
    if study.inquiry.shop.name:
        yield Say(key="page.shop"), Given(text=study.inquiry.shop.name)
    if company.number:
        yield Say(key="page.number"), Given(text=company.number)
    if company.revision:
        yield Say(key="page.revision"), Given(text=company.revision)
    yield Say(key="page.date"), Given(text=day(words, letter.on.isoformat()))
    if company.prices:
        yield Say(key="page.prices"), Given(text=company.prices)
    if company.valid_days is not None and base.offered:
        yield (
            Say(key="page.valid"),
            Given(text=day(words, (letter.on + timedelta(days=company.valid_days)).isoformat())),
        )
    slots: Mapping[str, Item] = {
        "version": Given(text=study.version), "seed": Given(text=str(study.seed)), "hash": Given(text=mark),
    }  # fmt: skip
    yield Say(key="page.study"), Say(key="page.study_words", slots=slots)


def day(words: Tongue, iso: str) -> str:
    """A date as the language writes it."""
    year, month, number = iso.split("-")
    return words.text("month.date").format(day=number.lstrip("0"), month=words.text(f"month.{int(month)}"), year=year)


def paper(letter: Letter) -> dict[str, Any] | None:
    """The head of the company's paper; None where no company was told."""
    company = letter.company
    if not company.name:
        return None
    logo = list(company.logo.data) if company.logo else None
    return {
        "name": company.name, "lines": [*company.address, *company.contact], "logo": logo,
        "format": company.logo.form if company.logo else "",
    }  # fmt: skip

"""How a page marks what it shows: a figure by its fact, a name by where it comes from, and plain words as they are."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from markupsafe import Markup, escape

from millhand.errors import ToolError
from millhand.model.fact import Choice, Fact
from millhand.model.study import Study
from millhand.report.comparison import opening
from millhand.report.study_json import all_choices, all_facts
from millhand.report.tongue import Tongue, tongue
from millhand.report.view import bare, listed, listed_at, listed_span, middle, sentence_parts, shown, span

DIGIT = re.compile(r"\d")
LETTERS = re.compile(r"[a-zäöüß]{3}")  # what can be read out as words; a standard's number is none
OWN_KEY = re.compile(r"\b(own|common)_(computation|practice)\b")  # what is no print and needs no key
GLUED = re.compile(r"(?<=[a-z]{3})(?=[0-9])")  # as in operator1, who is operator 1 to people
NOTHING = Markup('<span class="none">–</span>')


def near_name(fact_id: str, beside: str) -> str:
    """A fact's id as it is said beside another one of the same concept.

    >>> near_name("concepts.trays.case.npv", "concepts.trays.case.rate"), near_name("money.rate", "money.horizon")
    ('… case.npv', 'money.rate')
    """
    top = ".".join(beside.split(".")[:2]) + "."
    shared = top.startswith("concepts.") and fact_id.startswith(top)
    return f"… {fact_id.removeprefix(top)}" if shared else fact_id


def anchor(fact_id: str) -> str:
    """The page's own name of a fact's line in the appendix.

    >>> anchor("parts.bracket.time"), anchor("a/b")
    ('f-parts.bracket.time', 'f-a_2f_b')
    """
    return "f-" + re.sub(r"[^A-Za-z0-9_.-]", lambda match: f"_{ord(match[0]):x}_", fact_id)


def place(concept: str) -> str:
    """The page's own name of a concept's row in the comparison, to which a mark of a chart leads, and the name of the
    concept's own page where it has one.

    >>> place("drawers-floor_track")
    'way-drawers-floor_track'
    """
    return "way-" + anchor(concept).removeprefix("f-")


def own_names(study: Study) -> list[str]:
    """What the user calls things: his job, shop, machines, parts, shifts, operations, elements, and whoever serves."""
    inquiry = study.inquiry
    own = [inquiry.name, inquiry.shop.name]
    own += [each.name for group in (inquiry.machines, inquiry.parts, inquiry.shifts) for each in group]
    own += [operation.name for part in inquiry.parts for operation in part.operations]
    own += [element.name for element in inquiry.today.elements]
    return own + [
        name for result in study.results if result.cell for name in (*result.cell.stations, *result.cell.attendants)
    ]


def names_with_digits(study: Study) -> dict[str, str]:
    """Names that hold digits and may stand inside sentences, each with the mark that says whose name it is."""
    ours = [word for result in study.results for word in (result.concept.title, result.concept.id)]
    marked = dict.fromkeys(ours, "data-name") | dict.fromkeys(own_names(study), "data-given")
    both = {form: mark for name, mark in marked.items() for form in (name, opening(name))}
    return {name: mark for name, mark in both.items() if DIGIT.search(name)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """Marked pieces of one study's page."""

    facts: Mapping[str, Fact]
    choices: Mapping[str, Choice]
    currency: str
    names: Mapping[str, str] = field(default_factory=dict)
    given: frozenset[str] = frozenset()  # the user's own words, which are in no language of ours
    ways: bool = False  # each concept has a page of its own beside this one
    tongue: Tongue = field(default_factory=lambda: tongue("en"))

    def fact(self, fact_id: str) -> Fact:
        """The fact of that id."""
        if fact_id not in self.facts:
            raise ToolError(f"the page names the fact {fact_id}, which the study does not hold.", code="no_fact")
        return self.facts[fact_id]

    def text(self, key: str, slots: Mapping[str, object] | None = None) -> Markup:
        """A text of the report's catalogue with its places filled; what is no markup is escaped."""
        return escape(self.tongue.text(f"report.{key}")).format_map(slots or {})

    def told(self, key: str, slots: Mapping[str, object] | None = None) -> str:
        """The same as plain text: for attributes and charts, which escape it themselves."""
        return self.tongue.text(f"report.{key}").format_map(slots or {})

    def term(self, text: str) -> str:
        """The study's own words in the language of the page."""
        return self.tongue.term(text)

    def figure_text(self, fact: Fact, form: str, *, part: Callable[..., str] = middle) -> str:
        """A figure as the language of the page writes it, not marked: for attributes and charts."""
        return self.tongue.figure(part(fact, form, currency=self.currency))

    def marked(self, fact_id: str, text: str) -> Markup:
        """A figure as the language writes it, with the fact behind it, leading to its line in the appendix."""
        basis = self.fact(fact_id).basis
        return Markup('<a class="fact {}" href="#{}" data-fact="{}">{}</a>').format(
            basis, anchor(fact_id), fact_id, self.tongue.figure(text)
        )

    def figure(self, fact_id: str | None, form: str) -> Markup:
        """One figure in a format; a dash where there is none."""
        if fact_id is None:
            return NOTHING
        return self.marked(fact_id, shown(self.fact(fact_id), form, currency=self.currency))

    def value(self, fact_id: str | None, form: str) -> Markup:
        """One figure without its range."""
        if fact_id is None:
            return NOTHING
        return self.marked(fact_id, middle(self.fact(fact_id), form, currency=self.currency))

    def plain_value(self, fact_id: str, form: str) -> Markup:
        """One figure without its range and without a way to its fact, where something else is pressed already."""
        words = middle(self.fact(fact_id), form, currency=self.currency)
        return Markup('<span data-fact="{}">{}</span>').format(fact_id, self.tongue.figure(words))

    def bare(self, fact_id: str | None, form: str) -> Markup:
        """One figure without its unit, which the head of its column says."""
        return self.marked(fact_id, bare(self.fact(fact_id), form)) if fact_id else NOTHING

    def at(self, fact_id: str, value: float, form: str) -> Markup:
        """A number that follows from one fact, such as a line's amount in one month; without its unit."""
        return self.marked(fact_id, bare(at_value(self.fact(fact_id), value), form)) if value else NOTHING

    def ends(self, fact_id: str | None, form: str, *, unit: bool = False) -> Markup:
        """The range of a figure, P10 to P90; nothing where it is exact."""
        text = span(self.fact(fact_id), form, currency=self.currency, unit=unit) if fact_id else ""
        return self.marked(fact_id, text) if fact_id and text else Markup("")

    def low(self, fact_id: str, form: str) -> Markup:
        """The lower end of a figure's range, without its unit."""
        return self._end(fact_id, self.fact(fact_id).low, form)

    def high(self, fact_id: str, form: str) -> Markup:
        """The upper end of a figure's range, without its unit."""
        return self._end(fact_id, self.fact(fact_id).high, form)

    def own_unit(self, fact_id: str | None) -> Markup:
        """One figure in the format of its unit."""
        if fact_id is None:
            return NOTHING
        return self.marked(fact_id, listed(self.fact(fact_id), currency=self.currency))

    def own_ends(self, fact_id: str) -> Markup:
        """Its range, in the same format."""
        text = listed_span(self.fact(fact_id), currency=self.currency)
        return self.marked(fact_id, text) if text else Markup("")

    def own_low(self, fact_id: str) -> Markup:
        """The lower end of a range in the format of the fact's unit."""
        return self._own_end(fact_id, self.fact(fact_id).low)

    def own_high(self, fact_id: str) -> Markup:
        """The upper end of a range in the format of the fact's unit."""
        return self._own_end(fact_id, self.fact(fact_id).high)

    def most(self, fact_id: str, form: str) -> Markup:
        """The upper end of a range with its unit, the figure itself where it has none."""
        fact = self.fact(fact_id)
        whole = fact if fact.high is None else at_value(fact, fact.high)
        return self.marked(fact_id, middle(whole, form, currency=self.currency))

    def say(self, text: str) -> Markup:
        """A sentence with its figures marked, and with the names in it that hold digits."""
        told = self.tongue.told(text)
        pieces = sentence_parts(told or text, self.facts, currency=self.currency)
        said = Markup("").join(
            self.marked(piece.fact, piece.text) if piece.fact else self.named(piece.text) for piece in pieces
        )
        return said if told is not None else self.untold(text, said)

    def words(self, text: str, *, own: bool = False) -> Markup:
        """The study's own words in the language of the page; `own`: they are in it already."""
        told = text if own else self.tongue.told(text)
        return self.named(told) if told is not None else self.untold(text, self.named(text))

    def combination(self, text: str) -> Markup:
        """A combination by the names of its components, each in the language of the page."""
        if not self.tongue.words:
            return name_words(text.replace("_", " "))
        return name_words(", ".join(self.tongue.known(each) or each.replace("_", " ") for each in text.split("-")))

    def source(self, text: str | None) -> Markup:
        """Where something is printed or stands. Its title and its words stay in their language, and say which it is."""
        if not text or isinstance(text, Markup) or not self.tongue.words:
            return source_words(text)
        plain = own_key(text)
        told = self.tongue.told(plain)
        named = " " not in plain or not LETTERS.search(plain)  # a formula, a place in a file, a standard's number
        if told is not None or named:
            return source_words(told or plain)
        return Markup('<span data-source lang="en">{}</span>').format(plain)

    def untold(self, text: str, shown: Markup) -> Markup:
        """What the language of the page has no words for stands in English, and says so to those who hear it."""
        if text.replace("_", " ").lower() in self.given or not LETTERS.search(text):
            return shown
        return Markup('<span lang="en">{}</span>').format(shown)

    def named(self, text: str) -> Markup:
        """Plain words, a name's underscores as spaces; names with digits in them say whose they are."""
        if not self.names or not DIGIT.search(text):
            return escape(text.replace("_", " "))
        parts = _any_of(tuple(self.names)).split(text)
        return Markup("").join(
            Markup("<span {}>{}</span>").format(Markup(self.names[part]), GLUED.sub(" ", part.replace("_", " ")))
            if part in self.names
            else escape(part.replace("_", " "))
            for part in parts
        )

    def of_fact(self, fact_id: str, text: str | None, *, own: bool = False) -> Markup:
        """Words that belong to a fact (its question, its note, its unit), marked by it where they hold digits; `own`:
        they are in the language of the page already."""
        if not text:
            return Markup("")
        told = text if own else self.tongue.told(text)
        words = escape(told or text)
        said = Markup('<span data-fact="{}">{}</span>').format(fact_id, words) if DIGIT.search(told or text) else words
        return said if told is not None else self.untold(text, said)

    def of_facts(self, fact_ids: Iterable[str], text: str) -> Markup:
        """Words that were made from several facts, marked by all of them where they hold digits."""
        told = self.tongue.told(text)
        words = escape(told or text)
        ids = self.ids(each for each in fact_ids if each in self.facts)
        said = Markup('<span data-fact="{}">{}</span>').format(ids, words) if DIGIT.search(told or text) else words
        return said if told is not None else self.untold(text, said)

    def way(self, concept: str, text: str) -> Markup:
        """What a concept is called, leading to its own page where there is one."""
        if not self.ways:
            return self.words(text)
        return Markup('<a class="way" href="{}">{}</a>').format(place(concept), self.words(text))

    def word(self, choice_id: str) -> Markup:
        """The word that stands in the place of a number: how a door opens, which control it is."""
        if choice_id not in self.choices:
            raise ToolError(f"the page names the word {choice_id}, which the study does not hold.", code="no_fact")
        return self.words(self.choices[choice_id].value)

    def ids(self, fact_ids: Iterable[str | None]) -> str:
        """The facts behind a chart, each once, for its mark."""
        return " ".join(dict.fromkeys(self.fact(fact_id).id for fact_id in fact_ids if fact_id))

    def _end(self, fact_id: str, value: float | None, form: str) -> Markup:
        if value is None:
            return NOTHING
        return self.marked(fact_id, bare(at_value(self.fact(fact_id), value), form))

    def _own_end(self, fact_id: str, value: float | None) -> Markup:
        if value is None:
            return NOTHING
        return self.marked(fact_id, listed_at(self.fact(fact_id), value, currency=self.currency))


def at_value(fact: Fact, value: float) -> Fact:
    """The same fact with another value, to show an end of its range."""
    return Fact(id=fact.id, value=value, unit=fact.unit, basis=fact.basis, source=fact.source)


def source_words(text: str | None) -> Markup:
    """Where something is printed or stands: a citation, a formula's name, a place in a file."""
    if not text:
        return Markup("")
    return Markup("<span data-source>{}</span>").format(text if isinstance(text, Markup) else own_key(text))


def own_key(text: str) -> str:
    """A citation as people read it: what is no print and has no key stands in plain words.

    >>> own_key("own_computation, share of a whole")
    'own computation, share of a whole'
    """
    return OWN_KEY.sub(r"\1 \2", text)


def meta_words(text: object) -> Markup:
    """What identifies this very study: version, seed, hash."""
    return Markup("<span data-meta>{}</span>").format(text)


def given_words(text: str) -> Markup:
    """The user's own words."""
    return Markup("<span data-given>{}</span>").format(text)


@lru_cache(maxsize=8)
def _any_of(names: tuple[str, ...]) -> re.Pattern[str]:
    """What finds any of these names, the longest first; a page asks thousands of times for the same ones."""
    return re.compile(f"({'|'.join(re.escape(name) for name in sorted(names, key=len, reverse=True))})")


def name_words(text: str) -> Markup:
    """A name out of the catalogue or of a concept."""
    return Markup("<span data-name>{}</span>").format(text)


def marks_of(study: Study, language: Tongue | None = None) -> Marks:
    """The marks of one study, in English where no language is named."""
    known = language or tongue("en")
    names = names_with_digits(study)
    return Marks(
        facts=all_facts(study),
        choices=all_choices(study),
        currency=study.inquiry.shop.currency,
        names=names | {known.term(name): mark for name, mark in names.items() if DIGIT.search(known.term(name))},
        given=frozenset(name.replace("_", " ").lower() for name in own_names(study)),
        tongue=known,
    )

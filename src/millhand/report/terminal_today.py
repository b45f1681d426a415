"""Today's process in the terminal: its elements, its round as a chart, what it yields and costs, what helps by hand."""

from collections.abc import Iterator

from rich.console import RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from millhand.model.part import ManualElement
from millhand.model.study import Study
from millhand.report.activity import WORDS, Chart, Doing, Lane, chart_of
from millhand.report.between_visits import caution, lines
from millhand.report.comparison import heading_words, load_sums, loss_key, loss_words, opening, today_figures, today_of
from millhand.report.measured import FENCES, FIT_RULE, Row, measured_rows
from millhand.report.terminal import COLUMNS, Page, heading, page_of
from millhand.report.terminal_by_hand import by_hand_parts
from millhand.report.terminal_people import people_parts, use_parts
from millhand.report.terminal_servicing import servicing_parts
from millhand.report.terminal_tending import loss_parts, way_parts

LOSS = {"loss": "loss that nothing here explains", "surplus": "more is shipped than the times make; written as a loss"}
MARKS: dict[Doing, str] = {"hands": "#", "way": "-", "waits": ".", "runs": "=", "stands": "_"}


def today_parts(study: Study) -> Iterator[RenderableType]:
    """All of today's process."""
    page = page_of(study)
    yield Text(f"{heading_words(study.inquiry)}: today")
    if study.odd:
        yield heading("Odd figures")
    for each in study.odd:
        yield Text(f"- {each.sentence}")
    yield heading("Elements of one load")
    yield element_table(page)
    yield from machine_parts(page)
    yield from measured_parts(page)
    yield from chart_parts(page)
    yield heading("What comes out, and what it takes")
    yield figure_table(page)
    loss = today_figures(study, today_of(study)).get("loss")
    if loss and loss_words(page.facts[loss].value):
        yield Text(f"Ask: {loss_words(page.facts[loss].value)}")
    yield from loss_parts(page)
    yield from people_parts(page)
    yield from use_parts(page)
    yield from way_parts(page)
    yield from servicing_parts(page)
    yield from verdict_parts(page)
    yield from by_hand_parts(page)


def element_table(page: Page) -> RenderableType:
    """Each element with its time and whether the machine stands for it."""
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False)
    table.add_column("", overflow="fold")
    table.add_column("time", justify="right", no_wrap=True)
    table.add_column("machine")
    table.add_column("each n-th load", justify="right")
    today = page.study.inquiry.today
    for element in today.elements:
        stands = "stands" if element.side.value == "outside" else "runs"
        table.add_row(
            named(element),
            page.figure(element.time_s.id, "seconds"),
            stands,
            often(page, element),
        )
    table.add_row("walk between two machines", page.figure(today.walk_s.id, "seconds"), "", "")
    for which, words, fact_id in load_sums(page.study):
        table.add_row(f"{which}: {words}" if which else words, page.figure(fact_id, "seconds"), "", "")
    return table


def named(element: ManualElement) -> str:
    """What an element is called, with the operation that it belongs to alone."""
    name = element.name.replace("_", " ")
    return f"{name}, {element.operation}" if element.operation else name


def often(page: Page, element: ManualElement) -> str:
    """At which loads an element is done; told by the part where that was said."""
    if element.every_parts is not None and element.every_parts.value == 1.0:
        return "each part"
    if element.every_parts is not None:
        return f"{page.figure(element.every_parts.id, 'parts')} parts"
    return page.figure(element.every_n.id, "count")


def machine_parts(page: Page) -> Iterator[RenderableType]:
    """What the machines do alone, hold or cannot wait for; nothing where nothing of it was told or assumed."""
    found = lines(page.study, page.facts)
    if not found:
        return
    yield heading("The machine beside its cycle")
    table = Table(box=None, show_header=False, padding=(0, 2, 0, 0), pad_edge=False)
    table.add_column("")
    table.add_column("", justify="right", no_wrap=True)
    for line in found:
        ends = page.ends(line.fact, line.form)
        words = f"{line.operation}: {line.words}" if line.operation else line.words
        table.add_row(words, page.figure(line.fact, line.form), f"({ends})" if ends else "")
    yield table
    if caution(found):
        yield Text(caution(found), style="italic")


def measured_parts(page: Page) -> Iterator[RenderableType]:
    """Elements that were timed: readings, spread, what is out of line, readings needed, rating, standard time."""
    rows = measured_rows(page.study)
    if not rows:
        return
    yield heading("Timed with the stopwatch")
    yield measured_table(page, rows)
    for row in rows:
        words = f"{opening(row.name)}: {row.source}; drawn from {row.fit}."
        if row.rows_out_of_line:
            words += f" Out of line: row {row.rows_out_of_line}."
        if row.short:
            words += f" Time on: {page.figure(row.needed, 'count')} readings are needed."
        yield Text(words)
    yield Text(f"{FENCES} {FIT_RULE}", style="italic")


def measured_table(page: Page, rows: tuple[Row, ...]) -> RenderableType:
    """One row an element."""
    table = Table(box=None, padding=(0, 1, 0, 0), pad_edge=False)
    table.add_column("", overflow="fold")
    for head in ("read-\nings", "mean", "devi-\nation", "out of\nline", "needed", "rating"):
        table.add_column(head, justify="right", no_wrap=True)
    table.add_column("allowance", no_wrap=True)
    table.add_column("standard\ntime", justify="right", no_wrap=True)
    for row in rows:
        table.add_row(
            row.name,
            page.figure(row.readings, "count"),
            page.figure(row.mean, "timed"),
            page.figure(row.deviation, "timed"),
            page.figure(row.out_of_line, "count"),
            page.figure(row.needed, "count"),
            page.figure(row.rating, "percent"),
            f"{page.figure(row.allowance, 'percent')} {row.convention}",
            page.figure(row.standard, "timed"),
        )
    return table


def chart_parts(page: Page) -> Iterator[RenderableType]:
    """One round with mean times: a lane a line, a character for each kind of work."""
    chart = chart_of(today_of(page.study))
    if chart is None:
        yield Padding(
            Text("The cycle of today's work cannot be found by this version: no activity chart."), (1, 0, 0, 0)
        )
        return
    yield heading("One round with mean times, without stops and breaks")
    yield Text("\n".join(chart_lines(chart)), no_wrap=True)


def chart_lines(chart: Chart, *, columns: int = COLUMNS) -> list[str]:
    """The chart as text: the lanes, a scale in seconds, the legend."""
    names = min(max(len(lane.words) for lane in chart.lanes), 20)
    room = columns - names - 2
    lines = [f"{lane.words[:names]:<{names}}  {lane_text(lane, chart, room)}" for lane in chart.lanes]
    end = f"{chart.period_s:.0f} s"
    lines.append(f"{'':<{names}}  0{end:>{room - 1}}")
    lines.append("  ".join(f"{MARKS[doing]} {WORDS[doing]}" for doing in chart.doings))
    return lines


def lane_text(lane: Lane, chart: Chart, room: int) -> str:
    """A lane in characters: in each column what takes most of its time, and what is too short for that at its place."""
    step = chart.period_s / room
    owners = [longest(lane, column * step, (column + 1) * step) for column in range(room)]
    for number, bar in enumerate(lane.bars):
        column = min(room - 1, int((bar.start_s + bar.end_s) / 2.0 / step))
        if number not in owners and owners.count(owners[column]) > 1:
            owners[column] = number
    return "".join(MARKS[lane.bars[number].doing] for number in owners)


def longest(lane: Lane, left_s: float, right_s: float) -> int:
    """The number of the bar that takes most of this time; of equal ones the first."""
    return max(
        range(len(lane.bars)),
        key=lambda number: min(right_s, lane.bars[number].end_s) - max(left_s, lane.bars[number].start_s),
    )


def figure_table(page: Page) -> RenderableType:
    """Shipped against modelled, the loss between them, hours and cost."""
    study = page.study
    today, figures = today_of(study), today_figures(study, today_of(study))
    loss = figures.get("loss")
    rows = [
        ("shipped, good parts a shift", study.inquiry.today.parts_per_shift.id, "parts"),
        ("shipped an hour", figures.get("shipped"), "per_hour"),
        ("modelled an hour", figures.get("modelled"), "per_hour"),
        (LOSS[loss_key(page.facts[loss].value) if loss else "loss"], figures.get("loss"), "percent"),
        ("people's hours a year", today.performance.operator_h_per_y if today and today.performance else None, "hours"),
        ("a worked hour costs", figures.get("hour_cost"), "money"),
        ("good parts a year", figures.get("parts_per_y"), "parts"),
        ("people's time costs a part", figures.get("cost"), "money"),
    ]
    table = Table(box=None, show_header=False, padding=(0, 2, 0, 0), pad_edge=False)
    table.add_column()
    table.add_column(justify="right", no_wrap=True)
    table.add_column(no_wrap=True)
    for words, fact_id, form in rows:
        if fact_id is not None:
            ends = page.ends(fact_id, form)
            table.add_row(words, page.figure(fact_id, form), f"({ends})" if ends else "")
    return table


def verdict_parts(page: Page) -> Iterator[RenderableType]:
    """What the checks say of today's process, each with its caution."""
    today = today_of(page.study)
    for verdict in today.verdicts if today else ():
        yield Padding(Text(page.say(verdict.words)), (1, 0, 0, 0))
        if verdict.caution:
            yield Text(verdict.caution, style="italic")

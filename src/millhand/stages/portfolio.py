"""The best set of jobs within a budget and somebody's time, and the order in which to do them."""

from collections.abc import Sequence
from dataclasses import replace

from millhand.errors import ToolError
from millhand.formulas.running import worth_now_money
from millhand.model.portfolio import Job, Option, Placed, Portfolio
from millhand.solvers.selecting.best_set import Item, best_order, best_set

MONTH_H = 140.0  # hours that somebody can give to such work in a month of the year, holidays and absence taken off
MORE = 1.1


def portfolio(jobs: Sequence[Job], *, budget: float | None, own_months: float | None) -> Portfolio:
    """Chosen so that the present worth in all is greatest, each as if begun at once; then put in the best order.

    ToolError where the jobs are counted in different money.
    """
    currencies = sorted({job.currency for job in jobs})
    if len(currencies) > 1:
        raise ToolError(
            f"the studies are in {' and '.join(currencies)}: put them into one currency (shop.currency and "
            "money.exchange_rate of their inquiries), then compare.", code="two_currencies",
        )  # fmt: skip
    jobs = apart(jobs)
    chosen = _chosen(jobs, budget, own_months)
    placed = _placed(jobs, chosen)
    taken = {each.job for each in placed}
    worth = _worth(jobs, chosen)
    return Portfolio(
        currency=currencies[0],
        budget=budget,
        own_months=own_months,
        placed=placed,
        left_out=tuple(job.name for job in jobs if job.name not in taken),
        outlay=sum(each.option.outlay for each in placed),
        worth=sum(each.worth for each in placed),
        more_money=None if budget is None else _worth(jobs, _chosen(jobs, MORE * budget, own_months)) - worth,
        more_time=None if own_months is None else _worth(jobs, _chosen(jobs, budget, MORE * own_months)) - worth,
    )


def apart(jobs: Sequence[Job]) -> tuple[Job, ...]:
    """The jobs, those of one name told apart by their files."""
    names = [job.name for job in jobs]
    return tuple(replace(job, name=f"{job.name} ({job.file})") if names.count(job.name) > 1 else job for job in jobs)


def _chosen(jobs: Sequence[Job], budget: float | None, own_months: float | None) -> tuple[int | None, ...]:
    """The option of each job."""
    items = [[Item(each.npv, (each.outlay, each.own_h)) for each in job.options] for job in jobs]
    hours = float("inf") if own_months is None else own_months * MONTH_H
    return best_set(items, (float("inf") if budget is None else budget, hours))


def _worth(jobs: Sequence[Job], chosen: Sequence[int | None]) -> float:
    """Present worth of a choice, each job as if begun at once."""
    return sum(job.options[at].npv for job, at in zip(jobs, chosen, strict=True) if at is not None)


def _placed(jobs: Sequence[Job], chosen: Sequence[int | None]) -> tuple[Placed, ...]:
    """The chosen ones in their order, one after the other as far as the shop's own people are needed."""
    done: list[tuple[Job, Option]] = [
        (job, job.options[at]) for job, at in zip(jobs, chosen, strict=True) if at is not None
    ]
    rate = max((job.rate for job, _ in done), default=0.0)
    order = best_order([(option.npv, option.own_h / MONTH_H) for _, option in done], rate=rate)
    placed, month = [], 0.0
    for job, option in (done[place] for place in order):
        ends = month + option.own_h / MONTH_H
        placed.append(
            Placed(
                job=job.name, option=option, begins_months=month, ends_months=ends,
                worth=worth_now_money(option.npv, rate=job.rate, horizon_y=ends / 12.0),
            )
        )  # fmt: skip
        month = ends
    return tuple(placed)

"""What if: at once as the map of facts says, by simulation as the cells run then."""

from pathlib import Path

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.maps import Base, base_of, looked_at
from millhand.road import visited
from millhand.run import Nobody, packed, unpacked
from millhand.trace import recomputed, steps
from millhand.web.asking import NEEDED, Asked, Asking, Told, answer
from millhand.web.kept_record import RECORD
from millhand.whatif import at_once, levers, simulated
from tests.mapped_mill import TRAYS, mapped
from tests.report.fixture_study import study
from tests.store.desk import a_store, one
from tests.web.serving import studied

WAGE = "people.wage"
pytestmark = pytest.mark.xdist_group("maps")


@pytest.fixture(scope="module")
def base() -> Base:
    """One mill's cell, on its whole road."""
    done = mapped()
    result = looked_at(done)
    assert result is not None
    assert result.concept.id == TRAYS
    return base_of(done, visited(done.inquiry), read_catalogue(), result, Nobody())


def test_nothing_moved_is_the_study_itself(base: Base) -> None:
    """To the last digit of its own facts."""
    case = base.case
    assert case.payback_months is not None
    point = at_once(base, {})

    assert point.payback_months == pytest.approx(base.done.facts[case.payback_months].value, rel=1e-12)
    assert point.npv_money == pytest.approx(base.done.facts[case.npv].value, rel=1e-12)


def test_at_once_is_what_the_whole_map_gives(base: Base) -> None:
    """Every fact worked out anew, not only those on the way to the case."""
    changes = {WAGE: base.done.facts[WAGE].value * 1.3}
    whole = recomputed(steps(base.done.facts), changes, {})

    assert at_once(base, changes).npv_money == pytest.approx(whole[base.case.npv], rel=1e-12)
    assert at_once(base, changes).npv_money > at_once(base, {}).npv_money


def test_each_lever_holds_its_value_between_its_ends(base: Base) -> None:
    """Wage first; nothing below nought, no share above one, no figure twice, and each one moves something."""
    found = levers(base)

    assert found[0].fact.id == WAGE
    assert len({each.fact.id for each in found}) == len(found) <= 12
    for each in found:
        assert 0.0 <= each.low <= each.fact.value <= each.high
        assert each.low < each.high


def test_money_alone_needs_no_simulation(base: Base) -> None:
    """The cells run as they did, so both ways say the same."""
    changes = {WAGE: base.done.facts[WAGE].value * 0.7}

    assert simulated(base, changes) == at_once(base, changes)


def test_the_process_that_answers_asks_for_the_record_once(tmp_path: Path) -> None:
    """A record of the store, read in another process; figures that are none of the levers are left alone."""
    with a_store(tmp_path) as store:
        piece = studied(store, one(store).id, {"own": {RECORD: packed(mapped())}})
        asking = Asking(store=store)
        try:
            told = asking.ask(Asked(piece, {WAGE: 1e6, "no.such.fact": 1.0}, False))
            assert told is not None
            assert told.point is not None
            assert told.point.npv_money > told.before.npv_money
            assert asking.ask(Asked(piece, {}, False)) == told._replace(point=told.before)
            with pytest.raises(KeyError):
                asking.ask(Asked("another", {}, False))
        finally:
            asking.close()


def test_a_record_is_read_as_a_record_and_nothing_else() -> None:
    """What comes back is equal to what was kept; a question about an unknown study asks for its record."""
    assert unpacked(packed(study())) == study()
    assert answer(Asked("not there", {}, False), None) == NEEDED
    assert isinstance(answer(Asked("there", {}, False), packed(study())), Told)

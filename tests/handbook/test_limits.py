"""The registers of limits, tables, advice and sources, and the range checks."""

from __future__ import annotations

from math import inf, nan

import pytest

from overslab.ground.faults import Faulty
from overslab.ground.units import to_customary, to_si
from overslab.handbook import sources
from overslab.handbook.limits import (
    Limit,
    Table,
    declare,
    known_advice,
    known_limits,
    known_tables,
    limits_for,
    load_chapters,
    practice_for,
)
from overslab.handbook.ranges import hold, not_in_table, said, within
from overslab.handbook.working import known_formulas

load_chapters()
LIMITS = tuple(known_limits())
TABLES = tuple(known_tables())
KNOWN = {"read", "memory", "common practice", "derived"}


def test_every_limit_says_where_it_is_from_and_how_it_is_known():
    assert len(LIMITS) > 100
    for limit in LIMITS:
        assert limit.source.strip(), limit
        assert limit.topic.strip(), limit
        assert limit.known in KNOWN
        assert limit.value == limit.value
        assert limit.known in limit.cited
        assert limit.source in limit.cited


def test_every_table_and_advice_too():
    assert len(TABLES) >= 8
    for item in (*TABLES, *known_advice()):
        assert item.source.strip()
        assert item.known in KNOWN


def test_a_topic_has_at_most_one_default_of_a_quantity():
    defaults = [(limit.topic, limit.quantity, limit.bound) for limit in LIMITS if limit.practice]
    assert len(defaults) == len(set(defaults))


def test_found_by_topic_by_quantity_and_by_a_word():
    by_topic = limits_for("unbonded thickness")
    assert {limit.topic for limit in by_topic} == {"unbonded thickness"}
    by_quantity = limits_for("riser_m")
    assert {limit.quantity for limit in by_quantity} == {"riser_m"}
    by_word = limits_for("weep screed above")
    assert len(by_word) == 2
    assert limits_for("no such thing") == ()
    assert limits_for("") == ()


def test_a_topic_without_a_default_must_be_chosen():
    with pytest.raises(KeyError):
        practice_for("safety in bending")


def test_a_limit_becomes_a_check_both_ways():
    least = Limit("a", "thickness_m", to_si(3, "in"), "a book", "1999", "read", topic="t")
    assert least.check(found=to_si(3, "in")).passes
    assert not least.check(found=to_si(2.99, "in")).passes
    most = Limit("a", "gap_m", 0.1 + 0.2, "a book", "", "read", topic="t", bound="at most")
    assert most.check(found=0.3).passes
    assert not most.check(found=0.30001).passes
    assert most.check(found=0.31, slack=0.02).passes
    assert least.check(found=0.1).source == "a book, 1999 (read)"
    twice = Limit("a", "thickness_m", 0.1, "a book of 1999", "1999", "read", unit="in")
    assert twice.cited == "a book of 1999 (read)"
    assert twice.printed == "3.93701 in"
    given = Limit("a", "gap_m", 1.0, "a book", "", "read", topic="t", bound="is")
    with pytest.raises(ValueError, match="no limit"):
        given.check(found=1.0)


def test_declared_again_the_same_is_one_and_different_is_refused():
    first = LIMITS[0]
    assert declare(first) == (first,)
    changed = Limit(
        first.name, first.quantity, first.value + 1, first.source, first.edition, first.known,
        topic=first.topic, bound=first.bound,
    )  # fmt: skip
    with pytest.raises(TypeError):
        declare(changed)


def test_tables_keep_the_digits_of_the_page_and_give_si():
    table = Table(
        "t", "topic", ("slab_thickness_m", "word"), ((4, "four"),), "a book", "", "read",
        {"slab_thickness_m": "in"},
    )  # fmt: skip
    assert table.rows[0][0] == 4
    assert table.si_rows[0] == {"slab_thickness_m": pytest.approx(0.1016), "word": "four"}
    assert table.as_printed("slab_thickness_m", 0.1016) == pytest.approx(4)
    for broken in (
        {"rows": ((4,),)},
        {"printed_in": {"other": "in"}},
        {"printed_in": {"word": "cubits"}},
    ):
        with pytest.raises(TypeError):
            Table(
                **{
                    "name": "t", "topic": "topic", "columns": ("slab_thickness_m", "word"),
                    "rows": ((4, "four"),), "source": "a book", "edition": "", "known": "read",
                    **broken,
                }
            )  # fmt: skip


def test_every_source_has_something_and_nothing_is_lost():
    ours = [
        entry
        for entry in known_formulas()
        if entry.function.__module__.startswith("overslab.handbook.")
    ]
    found = sources.sources(only=ours)
    assert all(len(source) > 0 for source in found)
    assert len({source.title for source in found}) == len(found)
    assert sorted(entry.name for source in found for entry in source.formulas) == sorted(
        entry.name for entry in ours
    )
    assert sum(len(source.limits) for source in found) == len(tuple(known_limits()))
    assert sum(len(source.tables) for source in found) == len(tuple(known_tables()))
    assert sum(len(source.advice) for source in found) == len(tuple(known_advice()))


def test_the_longest_title_wins():
    assert sources.publication_of("ACI 302.1R-80, section 2", "read") == "ACI 302.1R-80"
    assert sources.publication_of("any book: page 3", "read") == "any book"
    assert sources.publication_of("any book: page 3", "derived") == sources.DERIVED
    assert sources.publication_of("trade", "common practice") == sources.COMMON


def test_topics_put_the_default_first():
    by_topic = dict(sources.topics())
    thickness = by_topic["unbonded thickness"]
    assert thickness[0].practice
    assert not any(limit.practice for limit in thickness[1:])
    values = [limit.value for limit in thickness[1:]]
    assert values == sorted(values)


def test_all_values_outside_their_range_are_told_at_once():
    with pytest.raises(Faulty) as told:
        hold(
            within("slab_thickness_m", 0.0, above=0, unit="in"),
            within("poisson", 0.6, least=0, most=0.5),
            within("difference_c", 4.0),
            within("strength_pa", nan, above=0, unit="psi"),
            source="a book, section 2",
        )
    faults = {fault.place: fault for fault in told.value.faults}
    assert set(faults) == {"slab_thickness_m", "poisson", "strength_pa"}
    assert faults["slab_thickness_m"].limit == "slab thickness is above 0 in; a book, section 2"
    assert faults["poisson"].limit == "poisson is at least 0 and at most 0.5; a book, section 2"
    assert faults["strength_pa"].code == "handbook-not-a-number"
    assert "book" in str(told.value)


@pytest.mark.parametrize(
    ("value", "holds"), [(1.0, False), (1.0001, True), (2.0, True), (2.0001, False), (inf, False)]
)
def test_ends_of_a_range(value, holds):
    assert within("x", value, above=1.0, most=2.0).holds is holds


@pytest.mark.parametrize(
    ("value", "holds"), [(0.9999, False), (1.0, True), (1.9999, True), (2.0, False)]
)
def test_ends_of_another_range(value, holds):
    assert within("x", value, least=1.0, below=2.0).holds is holds


def test_names_are_said_without_their_unit():
    assert said("old_thickness_m") == "old thickness"
    assert said("subgrade_pa_per_m") == "subgrade"
    assert said("m") == "m"
    assert "rows 1 to 4" in str(not_in_table("row", 5, rows="rows 1 to 4", source="a book"))


def test_a_fault_speaks_in_the_unit_of_print():
    one = within("slab_thickness_m", to_si(2, "in"), least=to_si(4, "in"), unit="in")
    with pytest.raises(Faulty) as told:
        hold(one, source="a table")
    fault = told.value.faults[0]
    assert fault.value == "2 in"
    assert "at least 4 in" in fault.limit
    assert to_customary(one.value, "in") == pytest.approx(2)

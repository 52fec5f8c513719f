"""Records known by numbers are equal exactly where their fields are, keep what they were made of, and travel."""

import pickle
from decimal import Decimal
from itertools import product

from costplan.circuits.needs import Bundle, Item, Need, Return, Spec, Work


def records() -> list[tuple[object, object]]:
    """Records made twice, some of them of others of their own kind, each with its fields as plain tuples."""
    spec = ("breaker", (("poles", "2"),))
    return [
        (Spec(*spec), ("spec", spec)),
        (Spec(*spec), ("spec", spec)),
        (Spec("breaker"), ("spec", ("breaker", ()))),
        (Work("run", Decimal(5)), ("work", "run", 5)),
        (Work("run", Decimal("5.0")), ("work", "run", 5)),
        (Work("run", Decimal("5.1")), ("work", "run", Decimal("5.1"))),
        (Bundle((Need(Spec(*spec), 1),), (Work("run", Decimal(5)),)), ("bundle", spec, 5)),
        (Bundle((Need(Spec(*spec), 1),), (Work("run", Decimal("5.0")),)), ("bundle", spec, 5)),
        (Return(Item(Spec("outlet"))), ("return", ())),
        (Return(Item(Spec("outlet")), inner=(Return(Item(Spec("plug"))),)), ("return", ("plug",))),
        (Return(Item(Spec("outlet")), inner=(Return(Item(Spec("cord"))),)), ("return", ("cord",))),
        (Return(Item(Spec("plug"))), ("return", "plug")),
        (Return(Item(Spec("outlet")), cut_off=True), ("return", ())),
    ]


def test_equal_fields_one_number() -> None:
    made = records()
    for (one, its), (other, others) in product(made, made):
        assert (one == other) == (its == others)
        assert its != others or hash(one) == hash(other)


def test_what_is_equal_prints_as_it_was_made() -> None:
    work, other = Work("run", Decimal("5.0")), Work("run", Decimal(5))
    assert {other: 1}[work] == 1
    assert (str(work.quantity), str(other.quantity)) == ("5.0", "5")


def test_numbers_stay_at_home() -> None:
    for one, _ in records():
        hash(one)
        there = pickle.loads(pickle.dumps(one))
        assert "_number" not in there.__dict__
        assert there == one

from contextlib import suppress
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costplan.files import quantities as q


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("12", "12"),
        ("1,250.5", "1250.5"),
        ("3/4", "0.75"),
        ("7-1/2", "7.5"),
        ("7 1/2", "7.5"),
        ("-3", "-3"),
        ("\u22123", "-3"),
        ("\u20133", "-3"),
        (" .5 ", "0.5"),
    ],
)
def test_numbers_as_the_trade_writes_them(text: str, number: str) -> None:
    assert q.parse_number(text) == Decimal(number)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("6_20", 'is "6_20", not a number; if it is one, write it without the underscore'),
        ("24O", 'is "24O", not a number; did you mean 240?'),
        ("1.234,56", 'is "1.234,56"; is that 1234.56? Write the decimals after a point: 1234.56'),
        ("12,5", 'is "12,5"; is that 12.5? Write the decimals after a point: 12.5'),
        ("", "is empty; write it like 1.5"),
        (
            "2031-06-30",
            'is "2031-06-30", a day and not a number; write a number; years count from today, which is year 0, '
            "so that in three years is 3",
        ),
        (
            "none",
            'is "none", not a number; write 0 if there is none, else a number like 1.5; leave the word out where '
            "nobody knows, or for no limit",
        ),
        ("yes", 'is "yes", not a number; write how much or how many, 0 for none, like 1.5'),
        ("1e999999", 'is "1e999999", not a number; write it like 1.5'),
        ("3/0", 'is "3/0", not a number; write it like 1.5'),
        ("nan", 'is "nan", not a number; write it like 1.5'),
        ("٣", 'is "٣", not a number; write it like 1.5'),
    ],
)
def test_what_is_not_a_number_is_said(text: str, message: str) -> None:
    with pytest.raises(ValueError, match=r"^is") as error:
        q.parse_number(text)

    assert str(error.value) == message


@pytest.mark.parametrize(
    ("parse", "text", "value"),
    [
        (q.parse_length_ft, "35 ft", "35"),
        (q.parse_length_ft, "18 in", "1.5"),
        (q.parse_length_ft, "20'", "20"),
        (q.parse_hours, "45 min", "0.75"),
        (q.parse_fraction, "4 %", "0.04"),
        (q.parse_fraction, "0.04", "0.04"),
        (q.parse_money_cents, "$1,250.00", "125000"),
        (q.parse_money_cents, "€ 12", "1200"),
        (q.parse_money_cents, "12.50 USD", "1250"),
        (q.parse_money_cents, "17 cents", "17"),
        (q.parse_money_cents, "17.5 Cents", "17.5"),
        (q.parse_money_cents, "1 cent", "1"),
        (q.parse_money_cents, "17¢", "17"),
        (lambda text: q.parse_quantity(text, q.HORSEPOWER_UNITS), "half hp", "0.5"),
        (lambda text: q.parse_quantity(text, q.HORSEPOWER_UNITS), "Half horse", "0.5"),
        (lambda text: q.parse_quantity(text, q.HORSEPOWER_UNITS), "a quarter horsepower", "0.25"),
        (lambda text: q.parse_quantity(text, q.HORSEPOWER_UNITS), "half a horse", "0.5"),
        (lambda text: q.parse_quantity(text, q.HORSEPOWER_UNITS), "1/2 hp", "0.5"),
        (lambda text: q.parse_quantity(text, q.HORSEPOWER_UNITS), "1-1/2 hp", "1.5"),
        (lambda text: q.parse_quantity(text, q.HORSEPOWER_UNITS), "1 1/2hp", "1.5"),
        (lambda text: q.parse_quantity(text, q.HORSEPOWER_UNITS), "½ hp", "0.5"),
        (lambda text: q.parse_quantity(text, q.HORSEPOWER_UNITS), "1½ hp", "1.5"),
    ],
)
def test_quantities_are_turned_into_the_inside_unit(parse: object, text: str, value: str) -> None:
    assert callable(parse)
    assert round(parse(text), 20) == Decimal(value)


def test_fractions_of_a_horsepower_keep_their_unit() -> None:
    assert q.parse_quantity("3/4 hp", q.HORSEPOWER_UNITS) == Decimal("0.75")
    assert q.parse_quantity("1-1/2hp", q.HORSEPOWER_UNITS) == Decimal("1.5")


def test_a_metre_is_3_281_feet() -> None:
    # NIST Handbook 44, 2024, Appendix C: 1 foot is exactly 0.3048 m.
    assert q.parse_length_ft("10.7 m") == Decimal("10.7") / Decimal("0.3048")


def test_unknown_unit_names_the_known_ones() -> None:
    with pytest.raises(ValueError, match=r"in a unit that is not known here; allowed units: A, amp, amps$"):
        q.parse_quantity("1400 lm", q.CURRENT_UNITS)


def test_watts_where_amperes_are_asked_for_are_told_what_they_come_to() -> None:
    """1400 W / 240 V is 5.83 A; on three phases amperes are watts over the root of three and the volts."""
    with pytest.raises(ValueError, match=r"power and no current; write amperes.* 1400 W at 240 V is 5\.8 A$"):
        q.parse_quantity("1400 W", q.CURRENT_UNITS)


@pytest.mark.parametrize(("text", "hours"), [("80", 80), ("80 h", 80), ("80 hours a year", 80), (80, 80)])
def test_hours_of_one_year_are_read(text: object, hours: object) -> None:
    assert q.parse_hours_a_year(text) == Decimal(str(hours))


@pytest.mark.parametrize(
    ("text", "mend"),
    [("60 a month", "720 in 12 months"), ("4 h / week", "200 in 50 weeks"), ("2 per day", "500 in 250 days")],
)
def test_hours_of_a_part_of_the_year_are_told_the_years(text: str, mend: str) -> None:
    with pytest.raises(ValueError, match=f"{mend}$"):
        q.parse_hours_a_year(text)


def test_percent_without_a_sign_is_questioned() -> None:
    with pytest.raises(ValueError, match=r"^is 4 without a unit; write 4 % if that is meant$"):
        q.parse_fraction("4")


@given(
    st.one_of(
        st.text(max_size=30), st.integers(), st.floats(), st.none(), st.booleans(), st.lists(st.integers())
    )
)
def test_every_parser_answers_or_raises_value_error(found: object) -> None:
    for parse in (q.parse_number, q.parse_length_ft, q.parse_hours, q.parse_fraction, q.parse_money_cents):
        value: Decimal | None = None
        with suppress(ValueError):
            value = parse(found)
        assert value is None or (value.is_finite() and abs(value) < Decimal(10) ** 18)


@given(st.decimals(min_value=0, max_value=10**9 - 1, places=2))
def test_money_comes_back_to_the_cent(amount: Decimal) -> None:
    assert q.parse_money_cents(f"${amount:,.2f}") == amount * 100


@pytest.mark.parametrize(
    ("said", "feet"),
    [
        ("12'6\"", "12.5"),
        ("12' 6 in", "12.5"),
        ("12 ft 6 1/2 in", "12.5417"),
        ('6"', "0.5"),
        ("1½ ft", "1.5"),
        ("about 25 ft", "25"),
        ("~25", "25"),
        ("ca. 10.5 m", "34.4488"),
    ],
)
def test_lengths_are_read_as_a_tape_and_people_say_them(said: str, feet: str) -> None:
    assert round(q.parse_length_ft(said), 4) == Decimal(feet)


@pytest.mark.parametrize("said", ["25-30", "25-30 ft", "25 to 30 ft", "about 25-30 ft", "30–25 ft"])
def test_a_range_is_explained_with_its_larger_figure(said: str) -> None:
    with pytest.raises(ValueError, match="a range; write one figure, the larger where more costs more: 30"):
        q.parse_length_ft(said)


def test_fractions_of_the_trade_are_no_ranges() -> None:
    assert [q.parse_length_ft(said) for said in ("7-1/2", "12-1/2 ft", "7 - 1/2")] == [7.5, 12.5, 7.5]


def test_money_said_about_is_read() -> None:
    assert q.parse_money_cents("about $25") == 2500


@pytest.mark.parametrize(
    ("said", "why"), [("9" * 13, "too large"), ("0.00000000001", "too small"), (1e300, "too large")]
)
def test_what_no_shop_has_is_refused(said: object, why: str) -> None:
    with pytest.raises(ValueError, match=f"{why} to be meant"):
        q.parse_number(said)


@pytest.mark.parametrize(
    ("text", "mend"),
    [
        ("10/11/2026", "2026-10-11 or 2026-11-10"),
        ("20.10.2026", "2026-10-20"),
        ("11/11/2026", "2026-11-11"),
        ("2026/3/1", "2026-03-01"),
        ("31/31/2026", "2025-06-20"),
        ("next week", "2025-06-20"),
    ],
)
def test_a_day_written_otherwise_is_shown_as_it_is_read(text: str, mend: str) -> None:
    assert q.day_mend(text) == f"write it as year-month-day: {mend}"


def test_a_spreadsheets_number_of_a_day_is_told_as_the_day() -> None:
    # ISO/IEC 29500-1 18.17.4.1 counts day 1 as 1900-01-01 and a 29th of February 1900 (from memory); 45292 is
    # 2024-01-01, as any spreadsheet shows.
    assert q.day_mend("45292") == "a spreadsheet counts 2024-01-01 so: write 2024-01-01"


@pytest.mark.parametrize(("text", "both"), [("1.400", "1400.00 or 1.40"), ("$95.125", "95125.00 or 95.1250")])
def test_a_point_before_three_figures_of_money_is_asked_about(text: str, both: str) -> None:
    with pytest.raises(ValueError, match="which may be") as error:
        q.parse_money_cents(text)

    assert str(error.value).endswith(f"write {both}, whichever is meant")


def test_suppliers_lists_and_prices_below_one_have_thousandths() -> None:
    assert q.parse_money_cents("1.400", thousandths=True) == 140
    assert q.parse_money_cents("0.165") == Decimal("16.5")
    assert q.parse_money_cents("95.1250") == Decimal("9512.5")

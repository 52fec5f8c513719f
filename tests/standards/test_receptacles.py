import pytest

from costplan.standards import receptacles
from costplan.standards.conductors import awg_rank


@pytest.mark.parametrize(
    ("family", "volts", "phases", "neutral", "rating_a", "code"),
    [
        ("straight", 120, 1, False, 15, "NEMA 5-15"),
        ("straight", 120, 1, False, 20, "NEMA 5-20"),
        ("straight", 240, 1, False, 20, "NEMA 6-20"),
        ("straight", 240, 1, False, 30, "NEMA 6-30"),
        ("straight", 240, 1, False, 40, "NEMA 6-50"),
        ("straight", 208, 1, False, 20, "NEMA 6-20"),
        ("straight", 240, 1, True, 30, "NEMA 14-30"),
        ("straight", 240, 3, False, 50, "NEMA 15-50"),
        ("locking", 120, 1, False, 20, "NEMA L5-20"),
        ("locking", 240, 1, False, 20, "NEMA L6-20"),
        ("locking", 240, 1, True, 15, "NEMA L14-20"),
        ("locking", 208, 3, False, 15, "NEMA L15-20"),
        ("locking", 208, 3, True, 30, "NEMA L21-30"),
        ("locking", 480, 1, False, 20, "NEMA L8-20"),
        ("locking", 480, 3, False, 30, "NEMA L16-30"),
        ("locking", 480, 3, True, 20, "NEMA L22-20"),
        ("pin and sleeve", 120, 1, False, 15, "IEC 60309 20 A 2P+E 125 V 4h"),
        ("pin and sleeve", 240, 1, False, 30, "IEC 60309 30 A 2P+E 250 V 6h"),
        ("pin and sleeve", 240, 1, True, 30, "IEC 60309 30 A 3P+E 125/250 V 12h"),
        ("pin and sleeve", 240, 3, False, 30, "IEC 60309 30 A 3P+E 250 V 9h"),
        ("pin and sleeve", 208, 3, True, 60, "IEC 60309 60 A 3P+N+E 120/208 V 9h"),
        ("pin and sleeve", 480, 3, False, 70, "IEC 60309 100 A 3P+E 480 V 7h"),
    ],
)
def test_smallest_that_fits(
    family: str, volts: int, phases: int, neutral: bool, rating_a: int, code: str
) -> None:
    assert receptacles.smallest_configuration(family, volts, phases, neutral, rating_a).code == code


@pytest.mark.parametrize(("phases", "neutral", "code"), [(3, False, "NEMA 15-20"), (1, True, "NEMA 14-20")])
def test_what_nobody_stocks_is_passed_over(phases: int, neutral: bool, code: str) -> None:
    """15-15 and 14-15 exist, but the 20 A device is what the counter has; common practice, no source."""
    assert receptacles.smallest_configuration("straight", 240, phases, neutral, 15).code == code


def test_seldom_stocked_codes_exist() -> None:
    assert all(receptacles.find_configuration(code).new_work for code in receptacles.seldom_stocked())


@pytest.mark.parametrize("family", ["straight", "locking", receptacles.PIN_AND_SLEEVE])
@pytest.mark.parametrize("volts", [120, 208, 240, 480])
@pytest.mark.parametrize("phases", [1, 3])
@pytest.mark.parametrize("neutral", [False, True])
def test_whatever_fits_is_grounded_and_has_the_contacts(
    family: str, volts: int, phases: int, neutral: bool
) -> None:
    fitting = receptacles.fitting_configurations(family, volts, phases, neutral)
    contacts = 4 if phases == 3 and neutral else 3 if phases == 3 or (neutral and volts != 120) else 2

    assert all(known.ground and known.new_work and known.poles == contacts for known in fitting)
    assert [known.rating_a for known in fitting] == sorted({known.rating_a for known in fitting})
    assert not {"NEMA TT-30", "NEMA 10-30", "NEMA 18-20"} & {known.code for known in fitting}


def test_codes_are_unique() -> None:
    codes = [known.code for known in receptacles.configurations()]

    assert len(codes) == len(set(codes))


def test_family_that_ends_says_what_it_has() -> None:
    with pytest.raises(LookupError, match=r"locking family has no 50 A .*NEMA L6-15 \(15 A\).*NEMA L6-30"):
        receptacles.smallest_configuration("locking", 240, 1, neutral=False, rating_a=50)


def test_system_without_a_receptacle() -> None:
    with pytest.raises(LookupError, match="straight family has no grounding receptacle for 208 V, 3-phase"):
        receptacles.smallest_configuration("straight", 208, 3, neutral=True, rating_a=20)


def test_unknown_code_shows_how_codes_are_written() -> None:
    with pytest.raises(LookupError, match='have no configuration "6-20R"; they are written like "NEMA 6-20"'):
        receptacles.find_configuration("6-20R")


@pytest.mark.parametrize(
    ("rating_a", "awg"),
    [(15, "10"), (20, "10"), (25, "8"), (30, "8"), (40, "4"), (50, "4"), (60, "4"), (100, "1"), (110, "2/0")],
)
def test_largest_wire_of_terminals(rating_a: int, awg: str) -> None:
    """Common practice, no source."""
    assert receptacles.largest_terminal_awg(rating_a) == awg


def test_larger_devices_never_take_thinner_wire() -> None:
    ranks = [awg_rank(receptacles.largest_terminal_awg(rating_a)) for rating_a in range(15, 201, 5)]

    assert ranks == sorted(ranks)


def test_terminals_above_the_table() -> None:
    with pytest.raises(LookupError, match="has no row for 225 A"):
        receptacles.largest_terminal_awg(225)

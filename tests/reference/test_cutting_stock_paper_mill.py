"""The paper mill's order book: 211 pieces from rolls of 5600 mm; 73 rolls are the fewest.

Source: worked example of the encyclopedia article "Cutting stock problem"; inputs as printed there, the
optimum 73 from memory of the article and proved by its material bound, 407,160 / 5,600 = 72.7.
Millimetres stand for feet here.
"""

from collections.abc import Iterator

from strategies import everything_bought, make_catalog, offer, piece

from costplan.program.program import Program
from costplan.program.solver import solve

ROLL = 5600
ORDERS = {
    1380: 22,
    1520: 25,
    1560: 12,
    1710: 14,
    1820: 18,
    1880: 18,
    1930: 20,
    2000: 10,
    2050: 12,
    2100: 14,
    2140: 16,
    2150: 18,
    2200: 20,
}
FEWEST = 73
"""From memory; no fewer can be, since the pieces together are longer than 72 rolls."""


def test_the_material_alone_takes_73_rolls() -> None:
    assert -(-sum(size * count for size, count in ORDERS.items()) // ROLL) == FEWEST


def patterns(sizes: list[int], room: int) -> Iterator[tuple[int, ...]]:
    """Ways to cut a roll that leave no room for another piece; counts by size."""
    if not sizes:
        yield ()
        return
    most = room // sizes[0]
    for count in range(most, -1, -1):
        left = room - count * sizes[0]
        for rest in patterns(sizes[1:], left):
            if count == most or sum(n * s for n, s in zip(rest, sizes[1:], strict=True)) + sizes[0] > left:
                yield (count, *rest)


def test_73_rolls_are_proved_enough_by_cutting_patterns() -> None:
    """The solver proves it when a variable counts the rolls cut by one pattern."""
    sizes = sorted(ORDERS, reverse=True)
    ways = list(patterns(sizes, ROLL))
    program = Program()
    rolls = [program.variable(str(way), FEWEST + 9, 1) for way in ways]
    for i, size in enumerate(sizes):
        program.row(f"{size}", {rolls[k]: way[i] for k, way in enumerate(ways)}, low=ORDERS[size])
    answer = solve(program, seconds=30)
    assert len(ways) == 213
    assert (answer.cost, answer.proven) == (FEWEST, True)


def test_today_s_purchase_finds_73_rolls() -> None:
    catalog = make_catalog([offer("nm-12-2", "store", 1, f"reel of {ROLL} ft")])
    answer = everything_bought(catalog, {piece(size): count for size, count in ORDERS.items()}, seconds=60)
    assert (answer.cost, answer.proven) == (FEWEST * 100, True)

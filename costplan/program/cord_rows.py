"""Whole cords in the program: who hangs on which as it is, ends and all, today and later."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Return
from costplan.circuits.shelf import WholeCord, fits
from costplan.circuits.ways import Way
from costplan.ledger.aging import still_good
from costplan.ledger.cords_passed_on import cords_asked, cords_given, cords_on_the_shelf
from costplan.ledger.options import Option
from costplan.ledger.plan import CordAsked, WholeCordUsed
from costplan.program.program import Program, Terms
from costplan.program.stock import Stock, say
from costplan.years.stream import TODAY, Date, Use


class CordRows:
    """Adds a variable for every whole cord that a machine could hang on; `used` says which, `serving` by use."""

    def __init__(
        self,
        program: Program,
        facts: Facts,
        most: Callable[[Terms], int],
        stock_of: Callable[[str, Date, Return], Stock],
    ) -> None:
        """most: how many an expression can be; stock_of: the stock of things alike that are set free at a date."""
        self.program, self.facts, self._most, self._stock_of = program, facts, most, stock_of
        self.used: dict[int, WholeCordUsed] = {}
        self.serving: dict[Use, list[int]] = defaultdict(list)

    def add(self, options: Mapping[str, Iterable[Option]], ways: Mapping[str, Mapping[Way, int]]) -> None:
        """Cords that a machine could hang on as they are: of the shelf, and of machines that give theirs up."""
        takers: dict[CordAsked, Terms] = defaultdict(dict)
        shelved = cords_on_the_shelf(self.facts)
        given: dict[tuple[str, Date, WholeCord], Terms] = {("", TODAY, cord): {} for cord in shelved}
        for machine, found in options.items():
            for option in found:
                index = ways[machine][option.way]
                for asked in cords_asked(option.stream.uses):
                    takers[asked][index] = 1
                for (scenario, date), cord in cords_given(self.facts, option.stream).items():
                    given.setdefault((scenario, date, cord), {})[index] = -1
        for (scenario, date, cord), givers in given.items():
            count = shelved[cord] if (scenario, date) == ("", TODAY) else 0
            used: dict[str, Terms] = defaultdict(dict)
            for asked, terms in takers.items():
                whole = WholeCordUsed(cord, asked, count=0, scenario=scenario, since=date)
                if self._may_hang(whole):
                    high = min(count + self._most(dict.fromkeys(givers, 1)), self._most(terms))
                    used[asked.cable.scenario][self._variable(whole, terms, high)] = 1
            for name in [name for name in used if name] or list(used):
                row = givers | used.get("", {}) | used[name]
                self.program.row(f"whole cords {say(cord.cable)} {scenario} {date} {name}", row, high=count)

    def _may_hang(self, whole: WholeCordUsed) -> bool:
        """Whether a whole cord is there in time, fits, is not worn out, and saves the work of putting it together later."""
        asked = whole.asked
        wanted, since = asked.cable.scenario, asked.cable.since
        saves = not wanted or any(use.thing.reused for use in asked.pieces)
        in_time = whole.scenario in ("", wanted) and whole.since <= since
        if not saves or not in_time or not fits(whole.cord, tuple(use.thing for use in asked.pieces)):
            return False
        pieces = zip(asked.pieces, whole.cord.pieces, strict=True)
        return all(still_good(self.facts, use, item, whole.since[0]) for use, item in pieces)

    def _variable(self, whole: WholeCordUsed, terms: Terms, high: int) -> int:
        cord, asked = whole.cord, whole.asked
        index = self.program.variable(f"whole {say(cord.cable)} for {say(asked.cable.thing.item)}", high)
        self.used[index] = whole
        self.program.row(f"who takes whole cord {index}", {index: 1} | dict.fromkeys(terms, -1), high=0)
        for use in asked.served_by(cord):
            self.serving[use].append(index)
        for piece in asked.taken_of(cord):
            stock = self._stock_of(whole.scenario, whole.since, Return(piece))
            stock.used_by[index] = asked.cable.scenario
        return index

"""Builds the program over all streams: ways, the flow of stock, spaces, gear and limits.

Costs, visits and bids come in `frame`, today's purchase in `purchase`. Every cost coefficient put there is the rounded present
value of the very line that is printed, so the program's objective is the printed total to the cent.
"""

from collections.abc import Callable, Iterable, Mapping

from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.ledger.options import Option, Survey
from costplan.program.body import Body, Causes
from costplan.program.charges import Charges
from costplan.program.frame import Frame
from costplan.program.gear_rows import GearRows
from costplan.program.panel_rows import PanelRows
from costplan.program.program import Gives, Program
from costplan.program.stock_flow import OutOfTimeError, StockFlow
from costplan.sourcing.market import Market
from costplan.years.calendar import weights_of


def build_frame(
    facts: Facts,
    market: Market,
    survey: Survey,
    options: Mapping[str, Iterable[Option]],
    out_of_time: Callable[[], bool] = bool,
) -> Frame:
    """The program over these options, with today's purchase inside, for any way of hiring.

    What does not turn on the market is built once for a survey, under whatever rule its options are priced.
    Long cords make a stock for every length that may be left of them; where time is up before all is built, what is cut
    off cords is left out, and `Body.stock_rows` says so.
    """
    asked = {name: [(one.way, one.stream, one.count) for one in found] for name, found in options.items()}
    built_of = asked, survey.gear, {name: survey.change_years(name) for name in weights_of(facts.shop)}
    built: list[Body] = survey.bodies
    body = next((known for known in built if known.is_of(facts, built_of)), None)
    if body is None:
        try:
            body = _Builder(facts, survey, out_of_time).build(options, built_of)
        except OutOfTimeError:
            body = _Builder(facts, survey, offcuts=False).build(options, built_of)
        built.append(body)
    return Frame.buying(body, facts, market)


class _Builder:
    def __init__(
        self,
        facts: Facts,
        survey: Survey,
        out_of_time: Callable[[], bool] = bool,
        *,
        offcuts: bool = True,
    ) -> None:
        """offcuts: whether what is cut off cords is set free."""
        self.facts, self.survey = facts, survey
        self.program = Program()
        self.ways: dict[str, dict[Way, int]] = {}
        self.causes = Causes(self.program, {}, {})
        self.charges = Charges(weights_of(facts.shop))
        self.flow = StockFlow(facts, self.causes, self.charges, out_of_time, offcuts=offcuts)
        self.panels = PanelRows(self.program, facts)

    def build(self, options: Mapping[str, Iterable[Option]], built_of: object) -> Body:
        gear = GearRows(self.program, self.facts, self.survey, self.charges.apply)
        for machine, open_options in options.items():
            self.ways[machine] = {}
            count = 1
            for option in open_options:
                count = option.count
                self._option(machine, option)
            terms = dict.fromkeys(self.ways[machine].values(), 1)
            self.program.row(f"ways for {machine}", terms, count, count, (Gives.WAYS, machine))
        # Whole cords first: `StockFlow._resolve` reads `cords.serving`.
        self.flow.cords.add(options, self.ways)
        self.flow.add()
        self.panels.add(self.flow.waiting, self.flow.shared, gear)
        gear.gate(self.panels.spaces, self.causes.machine_of)
        gear.loads(options, self.ways)
        return Body(
            facts=self.facts,
            built_of=built_of,
            causes=self.causes,
            charged=self.charges.charged,
            ways=self.ways,
            reuse=self.flow.reuse,
            lasting=self.flow.lasting,
            shared=self.flow.shared,
            whole_cords=self.flow.cords.used,
            gear=gear,
            demand=self.charges.demand,
            askers=self.charges.askers(self.causes),
            stock_rows=None if self.flow.offcuts else frozenset(self.flow.stock_rows),
        )

    def _option(self, machine: str, option: Option) -> None:
        index = self.program.variable(f"{machine} by {option.way.describe()}", option.count)
        self.ways[machine][option.way] = index
        self.causes.machine_of[index] = machine
        for deed in option.stream.deeds:
            self.charges.apply(
                deed.bundle, self.charges.when(deed.scenario, deed.date[0]), {index: 1}, deed.trip
            )
        for use in option.stream.uses:
            self.flow.ask(use, {index: 1})
        for given in option.stream.given:
            self.flow.set_free(given.scenario, given.date, given.left, {index: 1})
        for key, poles in option.spaces.items():
            self.panels.spaces[key][index] = poles

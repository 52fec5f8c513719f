"""A shop surveyed in one market: what every search over it shares, and what was built and answered on it so far."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import partial

from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.ledger.crews import Hiring, hirings
from costplan.ledger.on_offer import priced
from costplan.ledger.options import Option, Survey, alike_for_ways, survey
from costplan.ledger.pricing import Pricer
from costplan.model.choices import SurplusRule
from costplan.program.build import build_frame
from costplan.program.choice import Choice
from costplan.program.clock import BUILDING, Clock
from costplan.program.frame import Frame
from costplan.program.ranked import Ranked
from costplan.sourcing.market import Market

Allowed = Callable[[Option], bool]


@dataclass
class Built:
    """What was built of a bench and answered on it so far; `alike` is the frame that its own is `repriced` from, if any."""

    alike: Frame | None = None
    frame: Frame | None = None
    choices: dict[str, Choice] = field(default_factory=dict)
    answered: list["Answered"] = field(default_factory=list)

    @property
    def for_others(self) -> Frame | None:
        """The frame that a bench of the same ways at other prices can be repriced from, if there is one."""
        return self.frame or self.alike


@dataclass(frozen=True)
class Bench:
    """One market surveyed: what every search over it shares."""

    facts: Facts
    pricers: tuple[Pricer, ...]
    priced_survey: Survey
    """The whole survey with what nobody sells in this market: such ways are closed, or keep what is there."""
    whole_survey: Survey
    """Every way of every machine, whatever is on offer; it serves other markets too."""
    built: Built = field(default_factory=Built, compare=False, repr=False)

    @classmethod
    def over(
        cls,
        facts: Facts,
        rule: SurplusRule,
        crews: Iterable[Hiring] | None = None,
        whole_survey: Survey | None = None,
        known: "Bench | None" = None,
    ) -> "Bench":
        """A shop under a sourcing rule.

        whole_survey: that of the shop, where it is at hand; known: the bench of the shop with other machines, crews or bids;
        what does not turn on these is found once.
        """
        market, firsts, built = Market(facts, rule), list[Pricer](), Built()
        alike = known if known and known.pricers and alike_for_ways(known.facts, facts) else None
        if alike is not None and (alike.facts.owner, alike.facts.tasks) == (facts.owner, facts.tasks):
            market, firsts = alike.pricers[0].market.repriced(facts, rule), list(alike.pricers)
        pricers = tuple(Pricer.among(firsts, facts, market, hiring) for hiring in (crews or hirings(facts)))
        whole = whole_survey or survey(facts, known.whole_survey if known is not None else None)
        found = priced(whole, market)
        if firsts and alike is not None and found == alike.priced_survey and _same_loads(alike.facts, facts):
            built = Built(alike.built.for_others)
        return cls(facts, pricers, found, whole, built)

    def choice(self, pricer: Pricer, clock: Clock | None = None) -> Choice:
        """The program of a way of hiring over all options with a price, built once; searches narrow a copy."""
        clock, name = clock or Clock(), pricer.hiring.name
        if name not in self.built.choices:
            self.built.choices[name] = self.frame(clock).hiring(pricer)
        return self.built.choices[name]

    def frame(self, clock: Clock) -> Frame:
        """The program before anybody is hired, built once; of a `repriced` bench from the first one's."""
        built, market = self.built, self.pricers[0].market
        if built.frame is None and built.alike is not None:
            built.frame = built.alike.repriced(market)
        elif built.frame is None:
            out_of_time = partial(clock.spent, BUILDING)
            built.frame = build_frame(self.facts, market, self.priced_survey, self.with_price(), out_of_time)
        return built.frame

    def build(self, clock: Clock) -> None:
        """Build the program of every way of hiring, so that copies of this process have it."""
        for pricer in self.pricers:
            self.choice(pricer, clock)

    def with_price(self) -> dict[str, tuple[Option, ...]]:
        """Options that lack no price, whether a rule is against them or not."""
        return {
            machine: tuple(option for option in options if option.missing is None)
            for machine, options in self.priced_survey.options.items()
        }

    def open_options(self, allowed: Allowed | None = None) -> dict[str, tuple[Option, ...]]:
        """Open options by machine, narrowed where the machine has any that `allowed` admits."""
        result = {}
        for machine, options in self.priced_survey.options.items():
            ready = tuple(option for option in options if option.open)
            narrowed = tuple(option for option in ready if allowed is None or allowed(option))
            result[machine] = narrowed or ready
        return result


def _same_loads(one: Facts, other: Facts) -> bool:
    """Whether the same machines run at once in two shops that are alike for ways."""
    return (one.shop.machines, one.shop.service) == (other.shop.machines, other.shop.service)


@dataclass(frozen=True)
class Answered:
    """The proven best plan of these ways of every machine: also the best of fewer ways, where it uses no other."""

    hirings: tuple[str, ...]
    ways: Mapping[str, frozenset[Way]]
    best: Ranked

    @classmethod
    def of(cls, bench: Bench, options: Mapping[str, tuple[Option, ...]], best: Ranked) -> "Answered":
        """What was asked, with the answer."""
        return cls(_hirings(bench), _ways(options), best)

    def answers(self, bench: Bench, options: Mapping[str, tuple[Option, ...]]) -> bool:
        """Whether its plan is the best of these ways too."""
        return self.hirings == _hirings(bench) and all(
            found <= self.ways[machine] and self.best.plan.ways[machine].keys() <= found
            for machine, found in _ways(options).items()
        )


def _hirings(bench: Bench) -> tuple[str, ...]:
    return tuple(pricer.hiring.name for pricer in bench.pricers)


def _ways(options: Mapping[str, tuple[Option, ...]]) -> dict[str, frozenset[Way]]:
    return {machine: frozenset(option.way for option in found) for machine, found in options.items()}

"""What to ask by phone before buying, and what hangs on the answer."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.needs import Need
from costplan.model.catalog import Condition
from costplan.model.money import format_cents
from costplan.reports.noted import Noted
from costplan.reports.remarks import Whom
from costplan.reports.remarks_text import questions_of
from costplan.reports.substitutes import Counterpart, unit_of
from costplan.sourcing.designation import described
from costplan.sourcing.market import Market
from costplan.sourcing.oddities import OLDEST_DAYS
from costplan.studies.comparison import OutOfRanking

ASK_HEAD = "To ask before you buy"
WHOM = {
    Whom.OWNER: "yourself",
    Whom.SUPPLIER: "any supplier",
    Whom.LANDLORD: "the landlord",
    Whom.UTILITY: "the utility",
}
"""Whom a shopping list has questions for, as it names them; the electrician's are on the scope sheet."""
ASK_EVERYONE = (
    "Ask every supplier: is it there today, how long does the price hold, what does cutting cost, "
    "and what is taken back (cut cable hardly ever is)? Common practice, no source."
)


@dataclass(frozen=True, slots=True)
class Question:
    """Something to ask by phone: whom, what, and why it matters."""

    whom: str
    what: str
    why: str

    @property
    def words(self) -> str:
        """The question in one phrase; of a sentence of its own it is said first what it is about."""
        if self.what.endswith(("?", ".")):
            return f"{self.whom}, {self.why}: {self.what}" if self.why else f"{self.whom}: {self.what}"
        return f"{self.whom}: {self.what}; {self.why}"


def questions(
    counterpart: Counterpart, rows: Iterable[int], out: Iterable[OutOfRanking]
) -> Iterable[Question]:
    """What to ask: offers without a price, old prices of the listed rows, ways out of the ranking for a price."""
    yield from _unpriced(counterpart)
    yield from _old_prices(counterpart, rows)
    reasons: dict[str, list[str]] = defaultdict(list)
    for entry in out:
        # A way that a rule keeps out is no question for a supplier.
        if entry.incomplete and not entry.refused:
            reasons[entry.reason].append(f"{entry.machine} by {entry.label}")
    for reason, ways in reasons.items():
        yield Question("any supplier", reason, f"until then it is not ranked: {', '.join(ways)}")


def noted_questions(found: Iterable[Noted]) -> Iterable[Question]:
    """What to ask because of what the plan contains, by whom to ask."""
    asked = list(questions_of(found, *WHOM))
    for whom, name in WHOM.items():
        for of, text, about in asked:
            if of is whom:
                yield Question(name, text, f"for {about}" if about else "")


def _unpriced(counterpart: Counterpart) -> Iterable[Question]:
    """Offers without a price that could stand in for a line, each with the price at which it would pay."""
    facts = counterpart.facts
    blank = {offer.row for offer in facts.catalog.offers if offer.price_cents is None}
    if not blank:
        return
    priced = [
        offer.model_copy(update={"price_cents": Decimal(0)}) if offer.row in blank else offer
        for offer in facts.catalog.offers
    ]
    market = Market(
        replace(facts, catalog=facts.catalog.model_copy(update={"offers": priced})),
        facts.shop.money.surplus,
    )
    for row, needs in sorted(counterpart.wanted.items()):
        line = counterpart.deals[row]
        if line.offer.condition is Condition.ON_HAND:
            continue
        usable = [{deal.offer.row: deal for deal in market.usable(need)} for need in needs]
        for other in sorted(set.intersection(*(set(deals) for deals in usable)) & blank):
            deal = usable[0][other]
            below = counterpart.ask_below(row, deal)
            if below is None:
                continue
            per = {"each": "each", "ft": "a foot"}.get(unit_of(deal), f"for a {unit_of(deal)}")
            yield Question(
                deal.supplier.name,
                f"price of {described(deal.part)} ({deal.offer.condition}), {_asked(needs)}",
                f"at {format_cents(below)} or less {per} it takes the place of "
                f"{line.part.name}, {line.offer.condition}, from {line.supplier.name}",
            )


def _asked(needs: Mapping[Need, int]) -> str:
    counts: Counter[int] = Counter()
    for need, count in needs.items():
        counts[need.length_ft] += count
    return ", ".join(
        f"{count} of {length} ft" if length else f"{count} in all" for length, count in sorted(counts.items())
    )


def _old_prices(counterpart: Counterpart, rows: Iterable[int]) -> Iterable[Question]:
    """One question a supplier about the prices on the list that are old or were never dated."""
    today = counterpart.facts.shop.today
    asked: dict[str, list[str]] = defaultdict(list)
    for row in rows:
        deal = counterpart.deals[row]
        offer = deal.offer
        if offer.condition is Condition.ON_HAND:
            continue
        if offer.seen is None:
            asked[deal.supplier.name].append(f"{deal.part.name} (no date)")
        elif (today - offer.seen).days > OLDEST_DAYS:
            asked[deal.supplier.name].append(f"{deal.part.name} (seen {offer.seen})")
    for supplier, words in asked.items():
        yield Question(
            supplier, f"today's price of {'; '.join(words)}", f"not seen in the last {OLDEST_DAYS} days"
        )

"""A shop that is there already: what today's plan keeps, takes from stock, buys, makes safe and gives back."""

from collections import Counter
from dataclasses import dataclass

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Item, awg_text
from costplan.circuits.shelf import cord_needs, shelf
from costplan.plans.ledger import courses_of
from costplan.plans.plan import Plan
from costplan.plans.ranking import Ranked
from costplan.reports.tables import table, wrapped
from costplan.years.calendar import scenarios_of


@dataclass(frozen=True, slots=True)
class Kept:
    """One machine today: pieces from stock, pieces bought, pieces set free; none at all means kept as it is."""

    machine: str
    from_stock: tuple[str, ...]
    bought: tuple[str, ...]
    set_free: tuple[str, ...]

    @property
    def as_it_is(self) -> bool:
        """Whether nothing is done."""
        return not (self.from_stock or self.bought or self.set_free)


@dataclass(frozen=True, slots=True)
class Leftover:
    """Pieces in stock after today: what becomes of them."""

    what: str
    count: int
    becomes: str


def kept_today(facts: Facts, plan: Plan) -> list[Kept]:
    """What becomes of every machine's circuit today, of machines that have one now or take from stock."""
    courses = courses_of(facts, plan)[scenarios_of(facts.shop)[0].name]
    reused = Counter({reuse: reuse.count for reuse in plan.reused if reuse.to_year == 0})
    cords = Counter({used: used.count for used in plan.whole_cords})
    found = []
    for machine, dated in sorted(courses.items()):
        from_stock, bought, freed = [], [], []
        has = facts.machines[machine].now is not None
        for change in (entry.change for entry in dated if entry.year == 0):
            freed += [piece(back.item) for back in change.returns]
            asked = cord_needs(change.stock_needs)
            whole = next(
                (w for w, n in cords.items() if n and asked and w.asked == tuple(a.item for a in asked)), None
            )
            if whole is not None:
                cords[whole] -= 1
                from_stock.append(f"{piece(whole.cord.cable)}, with both its ends")
            for need in change.stock_needs:
                if whole is not None and need in (asked or ()):
                    continue
                source = next((r for r, left in reused.items() if left and r.need == need.item), None)
                if source is None:
                    bought.append(piece(need.item))
                    continue
                reused[source] -= 1
                from_stock.append(_taken(source.item, need.item))
            bought += ["work and small parts"] if change.always else []
        if has or from_stock:
            found.append(Kept(machine, tuple(from_stock), tuple(bought), tuple(freed)))
    return found


def left_over(facts: Facts, plan: Plan) -> list[Leftover]:
    """What is in stock once today's work is done, and what is made safe."""
    courses = courses_of(facts, plan)[scenarios_of(facts.shop)[0].name]
    stock: Counter[tuple[Item, bool]] = Counter({(item, False): n for item, n in shelf(facts).items()})
    for dated in courses.values():
        for change in (entry.change for entry in dated if entry.year == 0):
            stock.update((back.item, back.item.spec.kind == "outlet") for back in change.returns)
    for reuse in plan.reused:
        if reuse.to_year == 0 and not reuse.installed:
            key = next(entry for entry in stock if entry[0] == reuse.item)
            stock[key] -= reuse.count
    for used in plan.whole_cords:
        for item in used.cord.pieces:
            stock[item, False] -= used.count
    later = {reuse.item for reuse in plan.reused if reuse.from_year == 0 and reuse.to_year > 0}
    rows = []
    for (item, fixed), count in stock.items():
        if count > 0:
            word = "made safe" if fixed else "goes to the shelf"
            rows.append(Leftover(piece(item), count, f"{word}, used again later" if item in later else word))
    return sorted(rows, key=lambda row: (row.becomes, row.what))


def kept_text(facts: Facts, ranked: Ranked) -> str:
    """The section of a shop that is there already; empty for one that is not."""
    if not any(machine.now for machine in facts.shop.machines) and not facts.shop.shelf:
        return ""
    rows = [
        [
            entry.machine,
            "kept as it is" if entry.as_it_is else "changed",
            *(wrapped(", ".join(words), 44) for words in (entry.from_stock, entry.bought, entry.set_free)),
        ]
        for entry in kept_today(facts, ranked.plan)
    ]
    parts = [table(["machine", "circuit", "from stock", "new", "set free"], rows, set())] if rows else []
    left = [[str(row.count), row.what, row.becomes] for row in left_over(facts, ranked.plan)]
    if left:
        parts.append("left over after today\n" + table(["count", "what", "becomes"], left, {0}))
    return "\n\n".join(parts)


def piece(item: Item) -> str:
    """An item of stock in words."""
    equal, low = dict(item.spec.equal), dict(item.spec.at_least)
    if item.spec.kind == "outlet":
        return f"outlet {equal['end']} at {equal['place']} ({equal['run']})"
    if item.spec.kind == "cord":
        size = f"{awg_text(int(low['awg']))}/{low['conductors']:f}"
        return f"cord {size}, {item.length_ft} ft"
    words = [item.spec.kind, equal.get("configuration", "")]
    if "rating_a" in low:
        words.append(
            f"{equal.get('poles', '')}-pole {low['rating_a']:f} A"
            if "poles" in equal
            else f"{low['rating_a']:f} A"
        )
    if "hp" in low:
        words.append(f"{low['hp']:f} hp")
    return " ".join(word for word in words if word)


def _taken(item: Item, need: Item) -> str:
    if item.length_ft and item.length_ft > need.length_ft:
        return f"{piece(item)}, cut down to {need.length_ft} ft"
    return piece(item)

"""A shop that is there already: what today's plan keeps, takes from stock, buys, makes safe and gives back."""

from collections import Counter
from dataclasses import dataclass, replace

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Item, awg_text
from costplan.circuits.shelf import shelf
from costplan.plans.aging import cord_asked
from costplan.plans.ranking import Ranked
from costplan.reports.tables import table, wrapped
from costplan.years.stream import End


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


def kept_today(facts: Facts, ranked: Ranked) -> list[Kept]:
    """What becomes of every machine's circuit today, of machines that have one now or take from stock."""
    plan = ranked.plan
    reused = Counter({reuse: reuse.count for reuse in plan.reused if reuse.use.since[0] == 0})
    cords = Counter({used: used.count for used in plan.whole_cords})
    found = []
    for chosen in ranked.chosen:
        stream, machine = chosen.option.stream, chosen.option.machine
        from_stock, bought, freed = [], [], []
        whole = next((used for used, n in cords.items() if n and used.asked == cord_asked(stream.uses)), None)
        if whole is not None:
            cords[whole] -= 1
            from_stock.append(f"{piece(whole.cord.cable)}, with both its ends")
        for use in (use for use in stream.uses if use.since[0] == 0):
            if use.present:
                freed += [piece(end.left.item) for _, end in use.ends[:1] if _today(end) and end and end.left]
                continue
            if whole is not None and use in whole.asked.served_by(whole.cord):
                continue
            source = next((r for r, left in reused.items() if left and r.use == use), None)
            if source is None:
                bought.append(piece(use.thing.item))
                continue
            reused[source] -= 1
            from_stock.append(_taken(source.item, use.thing.item))
        freed += [piece(left.item) for left in stream.given_today()]
        if any(deed.date[0] == 0 for deed in stream.deeds):
            bought.append("work and small parts")
        if facts.machines[machine].now is not None or from_stock:
            found.append(Kept(machine, tuple(from_stock), tuple(bought), tuple(freed)))
    return found


def _today(end: End | None) -> bool:
    return end is not None and end.date[0] == 0


def left_over(facts: Facts, ranked: Ranked) -> list[Leftover]:
    """What is in stock once today's work is done, and what is made safe."""
    stock = Counter(_ageless(item) for item in shelf(facts).elements())
    for chosen in ranked.chosen:
        for use in chosen.option.stream.uses:
            if use.present:
                stock.update(end.left.item for _, end in use.ends[:1] if _today(end) and end and end.left)
        stock.update(left.item for left in chosen.option.stream.given_today())
    for reuse in ranked.plan.reused:
        if reuse.use.since[0] == 0 and not reuse.installed:
            stock[_ageless(reuse.item)] -= reuse.count
    for used in ranked.plan.whole_cords:
        for item in used.asked.taken_of(used.cord):
            stock[_ageless(item)] -= used.count
    later = {
        _ageless(reuse.item) for reuse in ranked.plan.reused if reuse.since[0] == 0 and reuse.use.since[0] > 0
    }
    rows = []
    for item, count in stock.items():
        if count > 0:
            live = item in later or not facts.shop.building.make_safe
            outlet = "stays live" if live else "made safe"
            word = outlet if item.spec.kind == "outlet" else "goes to the shelf"
            rows.append(Leftover(piece(item), count, f"{word}, used again later" if item in later else word))
    return sorted(rows, key=lambda row: (row.becomes, row.what))


def _ageless(item: Item) -> Item:
    return replace(item, due=(), lives=())


def kept_text(facts: Facts, ranked: Ranked) -> str:
    """The section of a shop that is there already; empty for one that is not."""
    if not any(machine.now for machine in facts.shop.machines) and not facts.shop.shelf:
        return ""
    rows = [
        [
            entry.machine,
            _state(facts, entry),
            *(wrapped(", ".join(words), 44) for words in (entry.from_stock, entry.bought, entry.set_free)),
        ]
        for entry in kept_today(facts, ranked)
    ]
    parts = [table(["machine", "circuit", "from stock", "new", "set free"], rows, set())] if rows else []
    left = [[str(row.count), row.what, row.becomes] for row in left_over(facts, ranked)]
    if left:
        parts.append("left over after today\n" + table(["count", "what", "becomes"], left, {0}))
    return "\n\n".join(parts)


def _state(facts: Facts, entry: Kept) -> str:
    if entry.machine in facts.taken_away:
        return "taken away"
    return "kept as it is" if entry.as_it_is else "changed"


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

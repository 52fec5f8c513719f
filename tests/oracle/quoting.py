"""Quoted ways: put in, moved, renewed, and what comes back."""

from decimal import Decimal

from bench import Bench
from booking import State, Work, expected
from events import Happening, NotReckoned, Unit, lease_over

from costplan.model.catalog import Phase
from costplan.model.quotes import QuotedWay


class Quoting(Bench):
    """The part of a walk that knows quoted ways."""

    def _quoted_leaves(self, entry: Happening, state: State) -> bool:
        quoted = self.variants[entry.unit.machine].quoted
        if quoted is None or entry.what == "retooled":
            return False
        if quoted.move is None and entry.what != "shop moves":
            self.quoted_free[quoted.name, state.place] += 1
        if entry.what == "leaves":
            if quoted.move is not None and not self._moved_out(entry.year - 1):
                self.quoted_standing.remove((entry.unit, quoted))
            state.place, state.put_in = "", None
            return False
        if entry.what == "shop moves":
            self.quoted_free.clear()
        return True

    def _quoted_comes(self, year: int, entry: Happening, state: State, before: str, visit: object) -> None:
        quoted = self.variants[entry.unit.machine].quoted
        if quoted is None:
            return
        if entry.what == "moves" and quoted.move is not None:
            self._phase(year, visit, f"{quoted.name}: move", quoted.move)
            return
        key = (quoted.name, state.place)
        if entry.what != "shop moves" and self.quoted_free[key]:
            if quoted.renew:
                raise NotReckoned("A quoted outlet with renewals is used again; its age is not reckoned.")
            self.quoted_free[key] -= 1
            state.put_in = year
            return
        if year or not quoted.there_today:
            self._phase(year, visit, f"{quoted.name}: put in", quoted.put_in)
        if not self._moved_out(year):
            self.quoted_standing.append((entry.unit, quoted))
        state.put_in = year

    def _moved_out(self, year: int) -> bool:
        """Whether the shop is in another building by then."""
        return any(one.what == "shop moves" and one.year <= year for one in self.course.happenings)

    def _phase(self, year: int, visit: object, what: str, phase: Phase) -> None:
        hired, own = expected(phase.hours), expected(phase.own_hours)
        permit = "" if not phase.permit else "own" if own and not hired else "hired"
        self.works.append(
            Work(year, visit, what, self.label, hired, own, Decimal(0), permit, phase.money_cents)
        )

    def _quoted_taken_out(self) -> None:
        """Quoted outlets of the first building that stand when the lease ends, in use or left behind, are taken out."""
        over = lease_over(self.shop, self.course)
        for unit, quoted in self.quoted_standing if over is not None else []:
            if quoted.take_out:
                self._book_for(unit)
                self._phase(over, "year", f"{quoted.name}: take out", quoted.take_out)

    def _come_back(self) -> None:
        """Renewals and what comes back of quoted ways, worked out from when each was put in."""
        self._quoted_taken_out()
        for unit, state in self.states.items():
            self._book_for(unit)
            quoted = self.variants[unit.machine].quoted
            if quoted and state.place and quoted.comes_back_cents:
                self.works.append(
                    Work(
                        self.shop.years,
                        "",
                        f"{quoted.name}: comes back",
                        self.label,
                        back_cents=quoted.comes_back_cents,
                    )
                )
            if quoted is None or quoted.renew is None:
                continue
            for start, end in self._uses(unit, quoted):
                for year in range(start + quoted.renew.every, end, quoted.renew.every):
                    self._phase(year, "year", f"{quoted.name}: renew", quoted.renew)

    def _uses(self, unit: Unit, quoted: QuotedWay) -> list[tuple[int, int]]:
        """Spans from a putting in to the year in which it is no more needed; a renewal in that year is not done."""
        starts: list[int] = [] if self.machines[unit.machine].arrives else [0]
        spans = []
        for entry in self.course.happenings:
            if entry.unit != unit or entry.what == "retooled" or (entry.what == "moves" and quoted.move):
                continue
            if starts:
                spans.append((starts.pop(), entry.year))
            if entry.what != "leaves":
                starts = [entry.year]
        return spans + [(start, self.shop.years) for start in starts]

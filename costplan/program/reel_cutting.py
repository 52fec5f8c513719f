"""What pooled reels can be cut into: what they cannot is ruled out, and so is a reel that nobody needs."""

from collections import defaultdict
from collections.abc import Mapping, Sequence

from costplan.program.cutting_weights import telling_weights
from costplan.program.program import Program, ProgramRows, Terms
from costplan.sourcing.cutting import cutting_steps, fit_into_reels
from costplan.sourcing.deal import Deal

WORTH_A_ROW = 0.001
"""How much of a reel a relaxation must lack for a row that says so."""


class ReelRows(ProgramRows):
    """Rows that are added to a program with today's purchase once an answer shows that they are missing."""

    def __init__(
        self,
        program: Program,
        deals: Mapping[int, Deal],
        feet: Mapping[int, Mapping[int, int]],
        packs_of: Mapping[int, Sequence[int]],
        tempting: frozenset[int],
    ) -> None:
        """Add nothing yet.

        By offer: feet: the variables of pieces cut from its reels, each with its feet; packs_of: those of reels bought;
        tempting: where a reel more than is needed could cost nothing.
        """
        self.program, self.deals, self.tempting = program, deals, tempting
        self.feet, self.packs_of = feet, packs_of
        self.flows: Mapping[int, Mapping[tuple[int, int], int]] = {}

    def can_be_cut(self, values: tuple[int, ...]) -> bool:
        """Whether the pieces can be cut from the reels and need them all; where not, rows are added that rule that out."""
        needless, unfit = self.needless(values), self.unfit(values)
        for row in needless:
            self.forbid_needless(values, row)
        for row in unfit:
            if not self.weigh(values, row):
                self.tell_apart(row)
        return not needless and not unfit

    def unfit(self, values: tuple[int, ...]) -> frozenset[int]:
        """Offers whose pieces were not fitted into the reels bought."""
        return frozenset(
            row
            for row, (reels, pieces) in self._cut(values).items()
            if row not in self.flows and fit_into_reels(pieces, self.deals[row].pack or 0, reels) is None
        )

    def tell_apart(self, offer_row: int) -> None:
        """Say exactly which pieces come off an offer's pooled reels, by rows beside those that are there.

        A reel is a walk over its feet from 0: each step cuts a piece, and no more walks go on from a foot than reach it.
        Source: the arc-flow formulation of the cutting-stock problem, Valerio de Carvalho 1999, from memory.
        """
        length = self.deals[offer_row].pack or 0
        asides: dict[int, list[int]] = defaultdict(list)
        for index, feet in self.feet[offer_row].items():
            asides[feet].append(index)
        most = {
            size: sum(self.program.variables[index].high for index in found) for size, found in asides.items()
        }
        steps: dict[tuple[int, int], int] = {}
        leaving: dict[int, Terms] = defaultdict(dict)
        for at, size in cutting_steps(tuple(most), length):
            index = self.program.variable(f"offer {offer_row} cut {size} ft from {at}", most[size])
            steps[at, size] = index
            leaving[at][index] = 1
            leaving[at + size][index] = -1
        self.flows = {**self.flows, offer_row: steps}
        for at, terms in sorted(leaving.items()):
            bought = dict.fromkeys(self.packs_of[offer_row], -1) if at == 0 else {}
            self.program.row(f"cuts of offer {offer_row} at {at} ft", terms | bought, high=0)
        for size, found in asides.items():
            cut = {index: 1 for (_, piece), index in steps.items() if piece == size}
            as_set_aside = cut | dict.fromkeys(found, -1)
            self.program.row(f"{size} ft pieces from offer {offer_row}", as_set_aside, 0, 0)

    def first_fit(self, values: tuple[int, ...]) -> dict[int, int]:
        """An answer as a start: its pieces cut first fit, the longest first, from as many reels as that takes."""
        start = dict(enumerate(values))
        for row, steps in self.flows.items():
            length = self.deals[row].pack or 0
            _, pieces = self._cut(values)[row]
            reels: list[int] = []
            start |= dict.fromkeys(steps.values(), 0)
            for piece in sorted(pieces, reverse=True):
                reel = next((n for n, at in enumerate(reels) if at + piece <= length), len(reels))
                reels += [0] if reel == len(reels) else []
                start[steps[reels[reel], piece]] += 1
                reels[reel] += piece
            start |= {self.packs_of[row][0]: len(reels)}
        return start

    def needless(self, values: tuple[int, ...]) -> frozenset[int]:
        """Offers of which a reel is bought that the pieces could do without, to reach free delivery."""
        return frozenset(
            row
            for row, (reels, pieces) in self._cut(values).items()
            if reels
            and row in self.tempting
            and fit_into_reels(pieces, self.deals[row].pack or 0, reels - 1) is not None
        )

    def _cut(self, values: tuple[int, ...]) -> dict[int, tuple[int, list[int]]]:
        """Reels bought and the lengths cut from them, by offer."""
        return {
            row: (
                sum(values[index] for index in self.packs_of[row]),
                [feet for index, feet in asides.items() for _ in range(values[index])],
            )
            for row, asides in self.feet.items()
        }

    def forbid_needless(self, values: tuple[int, ...], offer_row: int) -> None:
        """Rule out that so many reels are bought for pieces that fewer hold: there are fewer reels, or more pieces."""
        reels, pieces = self._cut(values)[offer_row]
        packs, asides = self.packs_of[offer_row], self.feet[offer_row]
        name = f"reel without need {len(self.program.rows)} of offer {offer_row}"
        fewer = self.program.variable(f"{name}: fewer")
        high = sum(self.program.variables[index].high for index in packs)
        row = {**dict.fromkeys(packs, 1), fewer: high - reels + 1}
        self.program.row(f"{name}: fewer", row, high=high)
        ways_out = {fewer: 1}
        for size in sorted(set(asides.values())):
            count = sum(1 for piece in pieces if piece >= size)
            longer = {index: 1 for index, feet in asides.items() if feet >= size}
            more = self.program.variable(f"{name}: more of {size} ft or longer")
            row = {**longer, more: -(count + 1)}
            self.program.row(f"{name}: more of {size} ft or longer", row, low=0)
            ways_out[more] = 1
        self.program.row(f"{name}: a way out", ways_out, low=1)

    def weigh(self, values: Sequence[float], offer_row: int, beyond: float = 0) -> bool:
        """Rule out what is cut from an offer's reels, and all that weighs as much; False where no weights tell.

        In textbooks a cutting plane, from the Gilmore-Gomory dual of cutting stock (`cutting_weights`, from memory).

        beyond: how much of a reel must be missing for that.
        """
        length = self.deals[offer_row].pack or 0
        packs, asides = self.packs_of[offer_row], self.feet[offer_row]
        pieces: dict[int, float] = defaultdict(float)
        for index, feet in asides.items():
            if values[index]:
                pieces[feet] += values[index]
        reels = sum(values[index] for index in packs)
        weights = telling_weights(pieces, length, reels, set(asides.values()), beyond)
        if weights is None:
            return False
        row = {index: weights.by_ft[feet] for index, feet in asides.items()} | dict.fromkeys(
            packs, -weights.reel
        )
        self.program.row(f"weights {len(self.program.rows)} of offer {offer_row}", row, high=0)
        return True

    def cut_off(self, fractions: Sequence[float]) -> bool:
        """Rule out what a relaxation cuts from reels that are too few for it; whether there was anything."""
        cut = {row for row, asides in self.feet.items() if any(fractions[index] for index in asides)}
        offers = cut - self.flows.keys()
        told = [self.weigh(fractions, row, WORTH_A_ROW) for row in sorted(offers)]
        return any(told)
